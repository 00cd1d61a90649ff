"""What the water must be for a course, judged from dated readings at their harmful end."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from intake.science.limits import allowed
from intake.science.problem import Refused, Warn
from intake.science.treatment import Condition

_SECOND = timedelta(seconds=1)

_COUNTS_AS = {
    "measured": ("measured",),
    "estimated": ("measured", "estimated"),
    "witnessed": ("measured", "witnessed"),
}


@dataclass(frozen=True, slots=True)
class Reading:
    """One dated reading with its ends, in the quantity's own unit; None: that end is open."""

    value: Decimal | None
    low: Decimal | None
    high: Decimal | None
    at_utc: datetime
    evidence: str = "measured"  # "measured" | "estimated" | "witnessed"


def age_h(reading: Reading, now_utc: datetime) -> Decimal:
    """Hours since `reading` was taken, to the second."""
    return Decimal((now_utc - reading.at_utc) // _SECOND) / 3600
