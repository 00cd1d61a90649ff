"""When a treatment against a parasite is given again: windows of days that follow its water.

Against what lays eggs a dose is wanted after the last egg present has hatched, by the lows, and
before the first new one lays, by the highs; where no day is both, one dose more is given between.
Against what is only reached while it swims free, doses follow each other without a gap until a
cycle and more is over. Each dose that was given moves what follows it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from intake.science.development import HORIZON_D, before, check_inside, over_by
from intake.science.parasite import COVER, EGGS, Parasite
from intake.science.problem import Refused
from intake.science.water_days import WaterDays
from intake.science.window_words import cannot, counted, covered, hatched, held_back

ENDLESS_D = 42
"""Doses are dated so far ahead where no end is known [d]: six weeks, common practice."""


@dataclass(frozen=True, slots=True)
class Pace:
    """How often a treatment may be given: not again within `least_d` [d].

    `stands_d` is how many whole days a dose stays in the water at its strength [d].
    """

    title: str
    least_d: float = 0.0
    stands_d: int = 0


@dataclass(frozen=True, slots=True)
class DoseWindow:
    """Dose `number` of a course, on `day` or any day from `from_day` to `to_day`."""

    number: int
    day: date
    from_day: date
    to_day: date
    because: str


@dataclass(frozen=True, slots=True)
class Repeats:
    """The doses still to come after those given, and when to look for the parasite.

    `begun` is the place of the dose the course counts from among those given: a dose past its
    window begins it again. `until` is when what swims free need no longer be kept out, None where
    that is not known or not the way. `cannot` says why the treatment cannot cover this water:
    then `windows` holds none of the doses it cannot give. `needed_to` is the last day any dose is
    needed to, given or not. `extra` says that no single day suits, so that more doses are given.
    """

    begun: int
    windows: tuple[DoseWindow, ...]
    look_day: date | None
    needed_to: date
    because: tuple[str, ...] = ()
    until: date | None = None
    cannot: str = ""
    extra: bool = False


ANY_PACE = Pace("")
"""A treatment that may be given whenever it is needed."""


def repeats(
    parasite: Parasite,
    given: Sequence[date],
    water: WaterDays,
    pace: Pace = ANY_PACE,
    today: date = date.min,
) -> Repeats:
    """The windows of the doses that follow those given.

    Parameters
    ----------
    given
        The local days of the doses so far, one at least. A window counts from the last of them;
        what follows it from the `day` of the one before, until that is given too.
    today
        No dose to come is on an earlier day, while its window is open.

    Raises
    ------
    Refused
        ``not-in-range`` where nothing was measured at the temperatures to come, or at a day as
        warm as one that was; ``reading-missing`` where no temperature of the water is known.
    ValueError
        Nothing given.

    Source: as each parasite's file says.
    """
    if not given:
        raise ValueError("no dose was given")
    days = sorted(given)
    if parasite.rule == EGGS:
        return _between(parasite, days, water, pace, today)
    if parasite.rule == COVER:
        return _covering(parasite, days, water, pace, today)
    last = days[-1]
    _check_ahead(parasite, water)
    look = last + timedelta(parasite.look_d)
    return Repeats(len(days) - 1, (), look, last)


def _check_ahead(parasite: Parasite, water: WaterDays) -> None:
    if water.ahead is not None:
        check_inside(parasite, *water.ahead)


# Eggs


def _between(
    parasite: Parasite, given: Sequence[date], water: WaterDays, pace: Pace, today: date
) -> Repeats:
    begun = 0
    for n in range(1, len(given)):
        if given[n] > before(parasite, "first-layer", given[n - 1], water):
            begun = n
    start, last, count = given[begun], given[-1], len(given) - begun
    hatch = _hatched(parasite, start, water)
    windows: list[DoseWindow] = []
    extra, why, said = False, "", counted(start, water)
    while last < hatch or count < parasite.doses:
        close = before(parasite, "first-layer", last, water)
        filler = last < hatch and hatch > close
        if filler:
            opens = _earliest(parasite, last, hatch, water)
        else:
            opens = min(hatch if last < hatch else _hatched(parasite, last, water), close)
        extra = extra or filler
        count += 1
        why = why or cannot(parasite, pace, last, close, water)
        day = close
        if not why:
            text = hatched(parasite, start if last < hatch else last, last, hatch, close, water)
            text += held_back(pace, opens, _again(pace, last))
            opens = max(opens, _again(pace, last))
            day = close if filler else min(max(opens, today), close)
            windows.append(DoseWindow(count, day, opens, close, text))
        last = day
    needed_to = windows[-1].to_day if windows and not why else last
    look = _hatched(parasite, needed_to, water)
    return Repeats(begun, tuple(windows), look, needed_to, said, cannot=why, extra=extra)


def _hatched(parasite: Parasite, start: date, water: WaterDays) -> date:
    found = over_by(parasite, "last-hatch", start, water)
    if found is None:
        raise ValueError(f"{parasite.id}: last-hatch has no end inside its range")
    return found


def _again(pace: Pace, last: date) -> date:
    """The first whole day on which the treatment may be given again."""
    return last + timedelta(-int(-pace.least_d // 1))


def _earliest(parasite: Parasite, last: date, hatch: date, water: WaterDays) -> date:
    """The first day from which as few doses as from the last day reach the hatching.

    It lies in the later half: a dose right after another reaches next to nothing new (common
    practice).
    """
    close = before(parasite, "first-layer", last, water)
    fewest = _doses_to(parasite, close, hatch, water)
    day = close - timedelta((close - last).days // 2)
    while day < close and _doses_to(parasite, day, hatch, water) > fewest:
        day += timedelta(1)
    return day


def _doses_to(parasite: Parasite, day: date, hatch: date, water: WaterDays) -> int:
    """How many doses after one on `day` it takes until one is on or after `hatch`."""
    count = 0
    while day < hatch:
        day = before(parasite, "first-layer", day, water)
        count += 1
    return count


# Cover


def _covering(
    parasite: Parasite, given: Sequence[date], water: WaterDays, pace: Pace, today: date
) -> Repeats:
    begun = 0
    for n in range(1, len(given)):
        gap = (given[n] - given[n - 1]).days
        if gap > _reach(parasite, given[n - 1], water, pace) + parasite.slack_d:
            begun = n
    start, last, count = given[begun], given[-1], len(given) - begun
    until = over_by(parasite, "generation", start, water, parasite.cycles)
    end = until or max(start + timedelta(ENDLESS_D), last)
    windows: list[DoseWindow] = []
    why = ""
    while last + timedelta(pace.stands_d) < end and count < HORIZON_D:
        reach = _reach(parasite, last, water, pace)
        opens, close = last + timedelta(reach), last + timedelta(reach + parasite.slack_d)
        count += 1
        why = why or cannot(parasite, pace, last, close, water)
        if not why:
            text = covered(parasite, start, reach, until, water)
            text += held_back(pace, opens, _again(pace, last))
            opens = max(opens, _again(pace, last))
            day = min(max(opens, today), close)
            windows.append(DoseWindow(count, day, opens, close, text))
            opens = day
        last = opens
    look = None if until is None else max(end, last) + timedelta(parasite.look_d)
    said = counted(start, water)
    return Repeats(begun, tuple(windows), look, max(last, end), said, until, why)


def _reach(parasite: Parasite, last: date, water: WaterDays, pace: Pace) -> int:
    """Days from a dose to the next one without a gap: by the warmest day in between [d]."""
    each = max(1, pace.stands_d)
    while True:
        ends = [water.on(last + timedelta(n)) for n in range(each + 1)]
        highs = [water.warmest_c if e is None else e[1] for e in ends]
        warmest = max((h for h in highs if h is not None), default=None)
        if warmest is None:
            text = f"{parasite.id}: no temperature of this water is known, so nothing is dated"
            raise Refused("reading-missing", text, way_out="read the water's temperature")
        check_inside(parasite, parasite.low_c, warmest)
        allowed = max(parasite.every_d(max(warmest, parasite.low_c)), pace.stands_d)
        if allowed <= each:
            return max(1, allowed)
        each += 1
