"""When fish were chilled: their water fell in a day, or they went from a warm bag into cold water.

Chilling carriers of the goldfish herpesvirus from 22 to 10 C raised it about fifty-fold within
24 h; warmth did not (Goodwin et al. 2009, J Fish Dis 32:271). So a fall is watched and a rise is
not. Nothing here says that any fish carries it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from intake.science.figures import figure
from intake.science.limits import compare
from intake.science.quarantine import Placed, QuarantineFacts, Temperature
from intake.science.restarts import local_day

FALL_H = 24
"""Time in which a fall counts as one [h], as in the trial."""

DAILY_H = 30
"""Hours between two readings of a min/max thermometer that is read once a day, with some slack
[h]. Common practice."""

WATCH_DAYS = 14
"""Days the fish are watched after it [d]: koi herpesvirus takes 14 on average, the goldfish's own
less; for want of a figure after a chill common practice."""

WHY = (
    "chilling healthy carriers from 22 to 10 C raised the goldfish herpesvirus about fifty-fold "
    "within 24 h (Goodwin et al. 2009, J Fish Dis 32:271); it does not say that these carry it"
)


@dataclass(frozen=True, slots=True)
class Chill:
    """One chill, watched up to the day `until`; `subject` is "" where all in the water had it."""

    at_utc: datetime
    entry: int
    subject: str
    text: str
    until: date


def chills(facts: QuarantineFacts, now_utc: datetime) -> tuple[Chill, ...]:
    """Every chill of the fish of a quarantine up to `now_utc`, oldest first.

    A fall counts once for each entry that tells of it, at its furthest. Falls before the first
    fish went in are nobody's, and what happened to fish that are gone is not watched.
    """
    here = {o.subject for o in facts.present}
    first = min((a.at_utc for a in facts.arrivals), default=None)
    if first is None or not here:
        return ()
    found = [
        _chill(facts, f.at_utc, f.entry, "", f.text)
        for f in falls(facts.temperatures, facts.drop_c, facts.time_zone)
        if first <= f.at_utc <= now_utc
    ]
    found += [
        _chill(facts, p.at_utc, p.entry, p.subject, text)
        for p in facts.placed
        if p.subject in here
        and p.at_utc <= now_utc
        and (text := into_cold(p, facts.step_c, facts.drop_c))
    ]
    return tuple(sorted(found, key=lambda c: (c.at_utc, c.entry, c.subject)))


def _chill(facts: QuarantineFacts, at_utc: datetime, entry: int, subject: str, text: str) -> Chill:
    until = local_day(at_utc, facts.time_zone) + timedelta(WATCH_DAYS)
    return Chill(at_utc, entry, subject, text, until)


@dataclass(frozen=True, slots=True)
class Told:
    """A fall that an entry tells of: how far [C], up to when, in words."""

    at_utc: datetime
    entry: int
    fall_c: float
    text: str


def falls(read: Iterable[Temperature], drop_c: float, time_zone: str) -> Iterable[Told]:
    """The furthest fall over `drop_c` [C] within 24 h for each entry and local day, unordered."""
    worst: dict[tuple[int, date], Told] = {}
    for fall in _all_falls(read):
        key = (fall.entry, local_day(fall.at_utc, time_zone))
        known = worst.get(key)
        if compare(fall.fall_c, drop_c) > 0 and (known is None or known.fall_c < fall.fall_c):
            worst[key] = fall
    return worst.values()


def _all_falls(read: Iterable[Temperature]) -> Iterator[Told]:
    known = sorted(read, key=lambda t: (t.at_utc, t.begins_utc, t.entry))
    day = timedelta(hours=FALL_H)
    for n, later in enumerate(known):
        yield from _within(later)
        for earlier in reversed(known[:n]):
            if later.at_utc - earlier.at_utc > timedelta(hours=DAILY_H):
                break
            if _apart(earlier, later) and later.at_utc - earlier.begins_utc <= day:
                yield _between(earlier, later)
            elif not earlier.spot and earlier.at_utc < later.at_utc and _same(earlier, later):
                yield _since_then(earlier, later)


def _within(t: Temperature) -> Iterator[Told]:
    """The fall inside the span of one reading."""
    if t.fall is not None:
        told = f"the water fell {figure(t.fall.fall_c)} C in {_hours(t.fall.hours)} by its logger"
        yield Told(t.fall.at_utc, t.entry, t.fall.fall_c, told)
    elif not t.spot:
        told = (
            f"the water was at {figure(t.low_c)} and at {figure(t.high_c)} C within a day; a "
            "min/max thermometer does not say which came first"
        )
        yield Told(t.at_utc, t.entry, t.high_c - t.low_c, told)


def _apart(earlier: Temperature, later: Temperature) -> bool:
    """Whether the whole of the second speaks of a later time of the same water."""
    return _same(earlier, later) and earlier.at_utc <= later.begins_utc


def _same(earlier: Temperature, later: Temperature) -> bool:
    """Whether both speak of the same water.

    A logger tells its own falls from day to day.
    """
    if earlier.fall is not None and later.fall is not None and earlier.entry == later.entry:
        return False
    other = earlier.vessel and later.vessel and earlier.vessel != later.vessel
    return not other


def _between(earlier: Temperature, later: Temperature) -> Told:
    hours = (later.at_utc - earlier.begins_utc).total_seconds() / 3600
    told = (
        f"the water fell from {figure(earlier.high_c)} to {figure(later.low_c)} C within "
        f"{_hours(hours)}"
    )
    return Told(later.at_utc, later.entry, earlier.high_c - later.low_c, told)


def _since_then(earlier: Temperature, later: Temperature) -> Told:
    """The fall that is certain: when the earlier span ended, the water was no colder than its low.

    What the later one has below that came after it, since it began after the earlier one did.
    """
    hours = (later.at_utc - earlier.at_utc).total_seconds() / 3600
    told = (
        f"the water fell from {figure(earlier.low_c)} or more to {figure(later.low_c)} C within "
        f"{_hours(hours)}"
    )
    return Told(later.at_utc, later.entry, earlier.low_c - later.low_c, told)


def _hours(hours: float) -> str:
    return f"{figure(round(hours, 1))} h" if hours >= 1 else f"{round(hours * 60)} min"


def into_cold(p: Placed, step_c: float, drop_c: float) -> str:
    """What is said of fish that went into water too much colder than their bag; "" where not.

    Too much is over `step_c` below the bag as it was last read, or over `drop_c` below the bag as
    it came [C].
    """
    if p.water_c is None:
        return ""
    for bag_c, limit, when in (
        (p.last_c, step_c, "was"), (p.bag_c, drop_c, "came in"),
    ):  # fmt: skip
        if bag_c is not None and compare(bag_c - p.water_c, limit) > 0:
            return (
                f"put into water of {figure(p.water_c)} C, the bag {when} at {figure(bag_c)} C: "
                f"more than {figure(limit)} C colder"
            )
    return ""
