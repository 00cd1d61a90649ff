"""What was noted on the way across of a bag."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any


@dataclass(frozen=True, slots=True)
class Noted:
    """One entry: its number, when it happened, when it was written down, what it says."""

    entry: int
    at: datetime
    entered: datetime
    what: dict[str, Any]
