"""What a logger measured on each local day, kept small however many rows it has."""

from __future__ import annotations

from array import array
from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

from intake.clock import from_utc_text, utc_text

UNKNOWN_H = 36
"""A gap longer than this leaves days unknown [h], as between any two readings."""


DAY_S = 24 * 3600


@dataclass(frozen=True, slots=True)
class LoggedDay:
    """One local day of a logger [C]; `gap_h` is the longest time between two of its rows [h].

    `fall_c` is the furthest the temperature fell within 24 h up to a row of this day, from
    `fall_from_utc` to `fall_to_utc`.
    """

    day: date
    low_c: float
    high_c: float
    mean_c: float
    first_utc: datetime
    last_utc: datetime
    gap_h: float
    rows: int
    fall_c: float
    fall_from_utc: datetime
    fall_to_utc: datetime

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
            "fall_c": self.fall_c,
            "fall_from": utc_text(self.fall_from_utc),
            "fall_to": utc_text(self.fall_to_utc),
        }


def kept_day(kept: dict[str, Any]) -> LoggedDay:
    """A day as the journal kept it."""
    return LoggedDay(
        date.fromisoformat(kept["day"]), kept["low_c"], kept["high_c"], kept["mean_c"],
        from_utc_text(kept["first"]), from_utc_text(kept["last"]), kept["longest_gap_h"],
        kept["rows"], kept["fall_c"], from_utc_text(kept["fall_from"]),
        from_utc_text(kept["fall_to"]),
    )  # fmt: skip


@dataclass(slots=True)
class _Sum:
    """One day on its way: hundredths of a degree, seconds since 1970 UTC."""

    day: date
    ends: int
    first: int
    last: int
    low: int
    high: int
    total: int = 0
    rows: int = 0
    gap: int = 0
    fall: tuple[int, int, int] = (0, 0, 0)  # how far, from when, to when


class DaysLogged:
    """Takes rows in any order, six bytes for each, and tells them by local day."""

    def __init__(self, where: ZoneInfo) -> None:
        self.where = where
        self._seconds, self._hundredths = array("q"), array("h")

    def __len__(self) -> int:
        return len(self._seconds)

    def add(self, at_s: int, temp_c: float) -> None:
        """One row: seconds since 1970 UTC and a temperature [C]."""
        self._seconds.append(at_s)
        self._hundredths.append(round(temp_c * 100))

    def days(self) -> tuple[LoggedDay, ...]:
        """Every day with a row, in order."""
        found: list[_Sum] = []
        peaks: deque[tuple[int, int]] = deque()
        for at_s, temp in self._in_order():
            if not found or at_s >= found[-1].ends:
                found.append(self._begun(at_s, temp))
            here = found[-1]
            here.gap = max(here.gap, at_s - here.last)
            here.last, here.rows, here.total = at_s, here.rows + 1, here.total + temp
            here.low, here.high = min(here.low, temp), max(here.high, temp)
            # The front of the queue is the warmest row of the last 24 h.
            while peaks and peaks[-1][1] <= temp:
                peaks.pop()
            peaks.append((at_s, temp))
            while at_s - peaks[0][0] > DAY_S:
                peaks.popleft()
            here.fall = max(here.fall, (peaks[0][1] - temp, peaks[0][0], at_s))
        return tuple(_told(d) for d in found)

    def last_c(self) -> float:
        """The newest temperature [C]."""
        return max(zip(self._seconds, self._hundredths, strict=True))[1] / 100

    def _in_order(self) -> Iterable[tuple[int, int]]:
        """The rows by time; a file is nearly always written that way or the other round."""
        s, h = self._seconds, self._hundredths
        if all(a <= b for a, b in pairwise(s)):
            return zip(s, h, strict=True)
        if all(a >= b for a, b in pairwise(s)):
            return zip(reversed(s), reversed(h), strict=True)
        return ((s[n], h[n]) for n in sorted(range(len(s)), key=s.__getitem__))

    def _begun(self, at_s: int, temp: int) -> _Sum:
        day = _moment(at_s).astimezone(self.where).date()
        midnight = datetime.combine(day + timedelta(1), time(0), self.where)
        return _Sum(day, int(midnight.timestamp()), at_s, at_s, temp, temp, fall=(0, at_s, at_s))


def _told(of: _Sum) -> LoggedDay:
    fall, since, until = of.fall
    return LoggedDay(
        of.day, of.low / 100, of.high / 100, round(of.total / of.rows / 100, 2),
        _moment(of.first), _moment(of.last), round(of.gap / 3600, 2), of.rows,
        fall / 100, _moment(since), _moment(until),
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
