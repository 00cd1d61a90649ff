"""Until when a bottle or packet is good: the date printed on it, and its life once opened."""

from __future__ import annotations

import re
from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta

from intake.science.problem import Problem
from intake.science.text import quoted

_TEXT = re.compile(r"\s*(\d{1,4})\s*(d|days?|weeks?|months?|years?)\s*", re.IGNORECASE)
_DAYS = {"d": 1, "day": 1, "week": 7}
_MONTHS = {"month": 1, "year": 12}
LONGEST_YEARS = 20
"""A longer life on a label is taken for a slip of the hand. Common practice."""


@dataclass(frozen=True, slots=True)
class Keeps:
    """How long something keeps once opened: calendar months and days."""

    months: int = 0
    days: int = 0


def read_keeps(text: str) -> Keeps | Problem:
    """``6 months``, ``30 days``, ``2 weeks`` or ``1 year`` as it stands on a label."""
    found = _TEXT.fullmatch(text)
    if found is None:
        return Problem("not-a-number", f"{quoted(text)} is not a time once opened", "6 months")
    number, unit = int(found[1]), found[2].lower().rstrip("s")
    keeps = Keeps(_MONTHS.get(unit, 0) * number, _DAYS.get(unit, 0) * number)
    if not 0 < keeps.months * 30 + keeps.days <= LONGEST_YEARS * 365:
        hint = f"more than nothing, at most {LONGEST_YEARS} years"
        return Problem("out-of-range", f"{quoted(text)} is no time that a product keeps", hint)
    return keeps


def opened_until(opened: date, keeps: Keeps) -> date:
    """The last day on which something opened then is good.

    A month later is the same day of the next month, or its last day where that is shorter.

    Example
    -------
    >>> opened_until(date(2026, 8, 31), Keeps(months=6))
    datetime.date(2027, 2, 28)
    """
    months = opened.year * 12 + opened.month - 1 + keeps.months
    year, month = divmod(months, 12)
    day = min(opened.day, monthrange(year, month + 1)[1])
    return date(year, month + 1, day) + timedelta(days=keeps.days)


def past(day: date, expires: date | None, opened: date | None, keeps: Keeps | None) -> str:
    """Why something is past on that day; nothing where it is good, or where no date is known."""
    if expires is not None and day > expires:
        return f"past its date, {expires.isoformat()}"
    if opened is None or keeps is None:
        return ""
    until = opened_until(opened, keeps)
    if day > until:
        return f"opened {opened.isoformat()} and past its life since {until.isoformat()}"
    return ""
