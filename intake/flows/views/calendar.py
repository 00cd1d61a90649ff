"""What Calendar shows: each quarantine as a strip of days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class DayMark:
    """One day of one strip.

    `mark`: "" | done | due | overdue | slide | slide-done | skipped. `counted` False draws the
    day as not counted. Days without a DayMark before day 0 stay empty.
    """

    day: date
    mark: str
    counted: bool = True


@dataclass(frozen=True, slots=True)
class DayTask:
    """One task of the day under the cursor."""

    id: str
    day: date
    text: str
    kind: str  # as RoundTask.kind
    state: str
    was: date | None = None  # the date it had before it moved
    because: str = ""
    why: tuple[str, ...] = ()  # the chain of causes, newest first (key w)


@dataclass(frozen=True, slots=True)
class SystemStrip:
    """One water system in quarantine."""

    system: str
    occupants: str
    started: date
    days: tuple[DayMark, ...]
    said: str  # "day 11 of at least 30"
    earliest_release: date | None
    decided_by: str
    release_why: tuple[str, ...]
    tasks: tuple[DayTask, ...]
    checks: tuple[tuple[str, str, str], ...]  # (check, open|met|passed-by-reason, evidence)


@dataclass(frozen=True, slots=True)
class CalendarView:
    """All quarantines that run."""

    today: date
    first: date
    last: date
    systems: tuple[SystemStrip, ...]
    headline: str  # "earliest release North tub, Mon 14 Dec"
    because: str
