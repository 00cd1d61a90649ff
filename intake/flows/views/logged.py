"""What a logger's file is shown as before it is recorded."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class DayLogged:
    """One day as it is read: low, high and mean, how many rows, the longest gap between two."""

    day: str
    low: str
    high: str
    mean: str
    rows: str
    gap: str


@dataclass(frozen=True, slots=True)
class LogLook:
    """A file as it would be kept; nothing is recorded yet.

    `told` says how it was read and what was left out, `care` what is to be watched. `same` is
    the entry that is this file already, 0 where there is none.
    """

    vessel: str
    file: str
    said: str  # "209 rows, Mon 9 Mar 10:00 to Sat 14 Mar 21:30"
    days: tuple[DayLogged, ...]
    told: tuple[str, ...]
    care: tuple[str, ...]
    same: int = 0
