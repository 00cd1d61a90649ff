"""How far a parasite's life has come by a day, added up over the days of its water.

Each day adds the share 1 / D of a part of its life, D being the days it takes at that day's
temperature: for D = K / (T - T0) that is the sum of degree-days. What has to be waited for is
added up with the lows, what must not be missed with the highs. Of the day it begins on and the
day it ends on only parts count; together they are taken for the slower or the faster of the two.
Source: linear rate summation (degree-days), common practice of phenology; Zhang et al. 2021,
preprint doi 10.21203/rs.3.rs-560786/v1, for eggs that only pause in the cold.
"""

from __future__ import annotations

from datetime import date, timedelta

from intake.science.figures import figure
from intake.science.parasite import Parasite
from intake.science.problem import Refused
from intake.science.water_days import Ends, WaterDays

HORIZON_D = 1200
"""Further ahead nothing is dated [d]; the slowest time of the shipped tables is 222 d."""
WAIT_GENERATIONS = 1.5
"""Generations of the parasite to wait after the last treatment. Common practice."""
HAIR = 1e-9
"""Seven days of 11.9 add up to a hair under 83.3 in binary; a hair is no day."""


def over_by(
    parasite: Parasite, time: str, start: date, water: WaterDays, times: float = 1.0
) -> date | None:
    """The first day on which a part of its life is over for the slowest.

    Parameters
    ----------
    time
        Which part, by its name in the file.
    start
        The day it began.
    times
        How many of it one after the other, over 0.

    Returns
    -------
    date or None
        None where the water to come is so cold that this part is not known to be gone through.
        A day that is not known, or colder than anything measured, adds nothing.

    Raises
    ------
    Refused
        ``not-in-range`` where the days to come are outside the range, ``reading-missing`` where
        no temperature of the water is known.

    """
    added, first = 0.0, _slow(parasite, time, start, water)
    for n in range(1, HORIZON_D):
        day = start + timedelta(n)
        last = _slow(parasite, time, day, water)
        if added + min(first, last) >= times - HAIR:
            return day
        added += last
    return None


def before(parasite: Parasite, time: str, start: date, water: WaterDays) -> date:
    """The last whole day before a part of its life may be over for the fastest.

    A day that is not known is taken as warm as the warmest known one, a day colder than anything
    measured as the coldest that was. It is a day after `start` at least.

    Raises
    ------
    Refused
        ``not-in-range`` where a day is warmer than anything measured, or the days to come are
        outside the range; ``reading-missing`` where no temperature of the water is known.
    """
    added, first = 0.0, _fast(parasite, time, start, water)
    for n in range(1, HORIZON_D):
        day = start + timedelta(n)
        last = _fast(parasite, time, day, water)
        if added + max(first, last) > 1 + HAIR:
            return max(day - timedelta(1), start + timedelta(1))
        added += last
    raise ValueError(f"{parasite.id}: {time} has no end inside its range")


def wait_to(
    parasite: Parasite, start: date, water: WaterDays, times: float = WAIT_GENERATIONS
) -> date:
    """The day to which is waited after a treatment of `start`: so many generations by the lows.

    Nothing is refused. What is not known, or colder than anything measured, is taken for the
    coldest that was, so that the longest generation there is a figure for is waited out.
    """
    time = "generation"
    fits = parasite.times[time]
    coldest, warmest = min(f.low_c for f in fits), max(f.high_c for f in fits)
    added, first = 0.0, 0.0
    for n in range(HORIZON_D):
        known = water.on(start + timedelta(n))
        low = coldest if known is None else min(max(known[0], coldest), warmest)
        days = parasite.slow_d(time, low)
        rate = 0.0 if days is None else 1 / days
        if n and added + min(first, rate) >= times - HAIR:
            return start + timedelta(n)
        first, added = (rate, 0.0) if n == 0 else (first, added + rate)
    return start + timedelta(HORIZON_D)


def check_inside(parasite: Parasite, low_c: float, high_c: float, day: date | None = None) -> None:
    """Nothing, where a low and a high are inside what was measured.

    Raises
    ------
    Refused
        ``not-in-range``, with what the file says of colder or warmer water.
    """
    if parasite.low_c <= low_c and high_c <= parasite.high_c:
        return
    cold = low_c < parasite.low_c
    value = low_c if cold else high_c
    on = f" on {day.isoformat()}" if day is not None else ""
    raise Refused(
        "not-in-range",
        f"{parasite.id}: nothing is known at {figure(value)} C{on}, only from "
        f"{figure(parasite.low_c)} to {figure(parasite.high_c)} C",
        limit=parasite.low_c if cold else parasite.high_c,
        value=value,
        unit="C",
        source=parasite.range_source.text,
        way_out=parasite.below if cold else parasite.above,
    )


def _known(parasite: Parasite, day: date, water: WaterDays) -> Ends | None:
    if water.ahead is None:
        raise Refused(
            "reading-missing",
            f"{parasite.id}: no temperature of this water is known, so nothing is dated",
            source=parasite.range_source.text,
            way_out="read the lowest and the highest temperature of the water",
        )
    known = water.on(day)
    if known is not None and water.foretold(day):
        check_inside(parasite, *known)
    return known


def _slow(parasite: Parasite, time: str, day: date, water: WaterDays) -> float:
    known = _known(parasite, day, water)
    if known is None:
        return 0.0
    days = parasite.slow_d(time, min(known[0], parasite.high_c))
    return 0.0 if days is None else 1 / days


def _fast(parasite: Parasite, time: str, day: date, water: WaterDays) -> float:
    known = _known(parasite, day, water)
    high = water.warmest_c if known is None else known[1]
    assert high is not None
    check_inside(parasite, parasite.low_c, high, day)
    days = parasite.fast_d(time, max(high, parasite.low_c))
    return 0.0 if days is None else 1 / days
