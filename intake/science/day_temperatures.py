"""What is known of a water's temperature on each local day, from what was read of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from intake.science.quarantine import Temperature

BRIDGE_H = 36
"""Elapsed hours between two readings up to which the time between them is known [h]. Common
practice: one missed daily reading, not two."""

NIGHT_ENDS = time(8)
"""Local time from which a single reading says nothing of the night before it. Common practice."""

HALF = 0.5
"""Share of a night or of the rest of a day that a span of readings holds for its low and high to
tell of that day. Common practice."""

REACH = timedelta(2)
"""How far beyond the days asked for lie the readings that may tell of them."""


@dataclass(frozen=True, slots=True)
class DayTemperature:
    """Lowest and highest temperature of one local day [C].

    `measured` is False where the readings tell too little of that day itself and those around
    it speak for it.
    """

    day: date
    low_c: float
    high_c: float
    measured: bool = True

    @property
    def mean_c(self) -> float:
        """Halfway between low and high [C]."""
        return (self.low_c + self.high_c) / 2


def day_temperatures(
    read: Iterable[Temperature],
    time_zone: str,
    first: date,
    last: date,
    now_utc: datetime,
    night_drop_c: float = 0.0,
) -> tuple[DayTemperature | None, ...]:
    """Each local day from `first` to `last`, None where nobody can say.

    A day is known where something was read on it, where the span of a reading holds half of its
    waking hours (a min/max thermometer speaks for the 24 h before it was read), or where it lies
    between two readings at most 36 h apart. A longer gap is unknown. A low counts for every day
    whose night or day it may have fallen on, a high for the day it holds most of, so that one
    warm afternoon never makes two warm days.

    Parameters
    ----------
    read
        Readings in any order; those after `now_utc` are left out.
    time_zone
        Whose midnights part the days.
    first, last
        Local dates, both included.
    now_utc
        The moment up to which readings are known.
    night_drop_c
        How far the water cools by night [C], 0 or more: the low of a day whose night nothing
        tells of lies this far below what was read by day.

    Notes
    -----
    Common practice throughout; the night's drop is the keeper's own figure.
    """
    zone = ZoneInfo(time_zone)
    known = sorted(
        (t for t in read if t.at_utc <= now_utc), key=lambda t: (t.begins_utc, t.at_utc)
    )
    days = {d: _Day(d, zone) for d in _dates(first - REACH, last + REACH)}
    for t in known:
        for day in _dates(_local(t.begins_utc, zone), _local(t.at_utc, zone)):
            if day in days:
                days[day].read.append(t)
    found = {day: here.judged(night_drop_c) for day, here in days.items()}
    for earlier, later in _gaps(known):
        if later.begins_utc - earlier.at_utc <= timedelta(hours=BRIDGE_H):
            _bridge(found, _local(earlier.at_utc, zone), _local(later.at_utc, zone))
    return tuple(found[day] for day in _dates(first, last))


class _Day:
    """One local day and the readings whose span touches it."""

    def __init__(self, day: date, zone: ZoneInfo) -> None:
        self.day = day
        self.begins = _instant(day, time(0), zone)
        self.dawn = _instant(day, NIGHT_ENDS, zone)
        self.ends = _instant(day + timedelta(1), time(0), zone)
        self.read: list[Temperature] = []

    def judged(self, night_drop_c: float) -> DayTemperature | None:
        """The day's low and high; None where what was read tells too little of it."""
        here = [t for t in self.read if self.begins <= t.at_utc < self.ends]
        highs = [t for t in self.read if self._tells(t)] or here
        lows = [t for t in self.read if self._tells(t) or self._tells_of_night(t)] or here
        if not highs:
            return None
        drop = 0.0 if any(self._tells_of_night(t) for t in self.read) else night_drop_c
        low = min(t.low_c - (drop if t.spot else 0.0) for t in lows)
        return DayTemperature(self.day, low, max(t.high_c for t in highs))

    def _tells(self, t: Temperature) -> bool:
        """Whether it is of this day alone, or holds half of its waking hours."""
        alone = self.begins <= t.begins_utc and t.at_utc < self.ends
        return alone or _share(t, self.dawn, self.ends) >= HALF

    def _tells_of_night(self, t: Temperature) -> bool:
        if t.spot:
            return t.at_utc < self.dawn
        return _share(t, self.begins, self.dawn) >= HALF


def _share(t: Temperature, begins: datetime, ends: datetime) -> float:
    return (min(t.at_utc, ends) - max(t.begins_utc, begins)) / (ends - begins)


def _gaps(known: Sequence[Temperature]) -> Iterator[tuple[Temperature, Temperature]]:
    """The readings at both ends of every stretch of which nothing was read, by their beginning."""
    edge: Temperature | None = None
    for t in known:
        if edge is not None and t.begins_utc > edge.at_utc:
            yield edge, t
        if edge is None or t.at_utc >= edge.at_utc:
            edge = t


def _bridge(found: dict[date, DayTemperature | None], before: date, after: date) -> None:
    """Fills the days between two that were read with what both of them say."""
    a, b = found.get(before), found.get(after)
    for day in _dates(before, after):
        if a is not None and b is not None and day in found and found[day] is None:
            low, high = min(a.low_c, b.low_c), max(a.high_c, b.high_c)
            found[day] = DayTemperature(day, low, high, measured=False)


def _dates(first: date, last: date) -> list[date]:
    return [first + timedelta(n) for n in range((last - first).days + 1)]


def _local(at_utc: datetime, zone: ZoneInfo) -> date:
    return at_utc.astimezone(zone).date()


def _instant(day: date, clock: time, zone: ZoneInfo) -> datetime:
    """The instant of a local time; where the clock skips it, the moment of the change."""
    return datetime.combine(day, clock, zone).astimezone(UTC)
