"""One quarantine of a water, as the fold leaves it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any


@dataclass(slots=True)
class Quarantine:
    """One quarantine of a system, with the plan's text it began with.

    `dragged` is the system from which fish that were not released were moved in, where that began
    it, and `carried` the same one where nothing else lived here: its days go on. `bag_temp` is
    the bags' expected temperature [C] as the entry keeps it, `fish` how many are expected and
    `mass_g` the mass of each [g].
    """

    id: int
    system: int
    at: datetime
    plan: str
    plan_text: str
    plan_sha256: str
    expected: str = ""
    preventive: str = ""
    carried: int = 0
    dragged: int = 0
    bag_temp: dict[str, Any] | None = None
    fish: int = 0
    mass_g: float = 0.0
    released: datetime | None = None
    passed: list[tuple[int, datetime, str, str]] = field(default_factory=list)
