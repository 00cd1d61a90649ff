"""What a logger measured on each local day, kept small however many rows it has."""

from __future__ import annotations

from array import array
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

from intake.clock import from_utc_text, utc_text

UNKNOWN_H = 36
"""A gap longer than this leaves days unknown [h], as between any two readings."""


@dataclass(frozen=True, slots=True)
class LoggedDay:
    """One local day of a logger [C]; `gap_h` is the longest time between two of its rows [h]."""

    day: date
    low_c: float
    high_c: float
    mean_c: float
    first_utc: datetime
    last_utc: datetime
    gap_h: float
    rows: int

    def kept(self) -> dict[str, Any]:
        """As the journal keeps it."""
        return {
            "day": self.day.isoformat(),
            "low_c": self.low_c,
            "high_c": self.high_c,
            "mean_c": self.mean_c,
            "first": utc_text(self.first_utc),
            "last": utc_text(self.last_utc),
            "longest_gap_h": self.gap_h,
            "rows": self.rows,
        }


def kept_day(kept: dict[str, Any]) -> LoggedDay:
    """A day as the journal kept it."""
    return LoggedDay(
        date.fromisoformat(kept["day"]), kept["low_c"], kept["high_c"], kept["mean_c"],
        from_utc_text(kept["first"]), from_utc_text(kept["last"]), kept["longest_gap_h"],
        kept["rows"],
    )  # fmt: skip


@dataclass(slots=True)
class _Sum:
    begins: int
    ends: int
    low: float = 99.0
    high: float = -99.0
    total: float = 0.0
    seconds: array[int] = field(default_factory=lambda: array("q"))


class DaysLogged:
    """Adds rows up by local day."""

    def __init__(self, where: ZoneInfo) -> None:
        self.where = where
        self.last: tuple[int, float] | None = None
        self._days: dict[date, _Sum] = {}
        self._here: _Sum | None = None

    def add(self, at_s: int, temp_c: float) -> None:
        """One row: seconds since 1970 UTC and a temperature [C]."""
        here = self._here
        if here is None or not here.begins <= at_s < here.ends:
            here = self._here = self._day_of(at_s)
        if temp_c < here.low:
            here.low = temp_c
        if temp_c > here.high:
            here.high = temp_c
        here.total += temp_c
        here.seconds.append(at_s)
        if self.last is None or at_s >= self.last[0]:
            self.last = (at_s, temp_c)

    def _day_of(self, at_s: int) -> _Sum:
        day = _moment(at_s).astimezone(self.where).date()
        if day not in self._days:
            begins, ends = (
                int(datetime.combine(d, time(0), self.where).timestamp())
                for d in (day, day + timedelta(1))
            )
            self._days[day] = _Sum(begins, ends)
        return self._days[day]

    def days(self) -> tuple[LoggedDay, ...]:
        """Every day with a row, in order."""
        return tuple(_told(day, self._days[day]) for day in sorted(self._days))


def _told(day: date, of: _Sum) -> LoggedDay:
    seconds = sorted(of.seconds)
    gap = max((b - a for a, b in pairwise(seconds)), default=0)
    return LoggedDay(
        day, round(of.low, 2), round(of.high, 2), round(of.total / len(seconds), 2),
        _moment(seconds[0]), _moment(seconds[-1]), round(gap / 3600, 2), len(seconds),
    )  # fmt: skip


def gaps(days: tuple[LoggedDay, ...]) -> Iterator[tuple[datetime, datetime]]:
    """The times of more than `UNKNOWN_H` hours of which the logger says nothing."""
    for before, after in pairwise(days):
        if after.first_utc - before.last_utc > timedelta(hours=UNKNOWN_H):
            yield before.last_utc, after.first_utc


def longest_gap_h(days: tuple[LoggedDay, ...]) -> float:
    """The longest time between two rows that follow each other [h]."""
    between = [(b.first_utc - a.last_utc).total_seconds() / 3600 for a, b in pairwise(days)]
    return round(max([*between, *(d.gap_h for d in days)], default=0.0), 2)


def _moment(at_s: int) -> datetime:
    return datetime.fromtimestamp(at_s, UTC)
