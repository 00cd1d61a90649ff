"""The low and the high end of one way across, minute by minute, in at most 25 runs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

from intake.science.acclimation_limits import AcclimationLimits
from intake.science.acclimation_options import (
    SLOW_HALF_TIME_MIN,
    Option,
    Plan,
    fast_half_time_min,
    outcome,
)
from intake.science.acclimation_readings import Known, Pair
from intake.science.bag import Minute
from intake.science.bag_courses import KH_HALF_DKH, LEAST_KH_DKH, PH_HALF, Band, between
from intake.science.blend import MEQ_L_PER_DKH, Water, water_from_reading
from intake.science.carbonate import PH_RANGE, ImpossibleWater
from intake.science.span import Span

HALF_TIMES = 5
"""How many half-times of CO2 are run with each pair of waters."""


def band(
    option: Option,
    known: Known,
    limits: AcclimationLimits,
    air: str,
    also: Plan | None = None,
) -> tuple[Band, ...]:
    """What the fish may meet on one way across at every minute.

    Parameters
    ----------
    option
        One of the ways of `acclimate`.
    known, limits, air
        What it was worked out from.
    also
        Another plan that is run with the waters as they harm: a drip, beside a drip whose binder
        may do nothing.

    Returns
    -------
    tuple of Band
        Temperature as read; pH and NH3 [mg/L as N] at the fast end of gas exchange with the
        least and the most that unknown KH, gas exchange and the doubt of the meters leave.

    Notes
    -----
    The waters as read and four corners of them, each with `HALF_TIMES` half-times of CO2 where
    the bag stands open: 25 runs at most, 5 where it stays shut; `also` is run at the fast end.
    """
    fast = fast_half_time_min(limits, air)
    slow = max(SLOW_HALF_TIME_MIN[air], fast)
    stages, _ = option.plan(known.nominal, fast)
    is_open = any(stage.co2_half_time_min is not None for stage in stages)
    count = HALF_TIMES if is_open else 1
    halves = [between(fast, slow, n / max(count - 1, 1)) for n in range(count)]
    runs = [
        outcome(pair, option.plan, half, known).curve
        for pair, half in product((known.nominal, *_corners(known)), halves)
    ]
    if also is not None:
        runs += [outcome(pair, also, fast, known).curve for pair in _corners(known)]
    return tuple(_at(minute, [path[n] for path in runs]) for n, minute in enumerate(option.curve))


def _at(likely: Minute, every: list[Minute]) -> Band:
    ph = [likely.water.ph, *(m.water.ph for m in every)]
    nh3 = [likely.water.nh3_n_mg_l, *(m.water.nh3_n_mg_l for m in every)]
    return Band(
        likely.minute,
        likely.water.temp_c,
        Span(min(ph), ph[0], max(ph)),
        Span(min(nh3), nh3[0], max(nh3)),
    )


def _corners(known: Known) -> Iterator[Pair]:
    """Of the readings that make least and most NH3, those with the least and the most KH."""
    for every, end in ((known.best, min), (known.worst, max)):
        ph = end((p.bag.ph for p in every), default=0.0)
        at_end = [p for p in every if p.bag.ph == ph]
        if at_end:
            yield min(at_end, key=lambda p: p.bag.alk_meq_l)
            yield max(at_end, key=lambda p: p.bag.alk_meq_l)
    if not known.best and not known.worst:
        for ph, kh in product((-PH_HALF, PH_HALF), (-KH_HALF_DKH, KH_HALF_DKH)):
            read = _off(known.nominal.bag, ph, kh)
            if read is not None:
                yield replace(known.nominal, bag=read)


def _off(water: Water, ph: float, kh_dkh: float) -> Water | None:
    """A water as a meter that is off would have read it; None where there is none such."""
    kh = max(water.alk_meq_l + kh_dkh * MEQ_L_PER_DKH, LEAST_KH_DKH * MEQ_L_PER_DKH)
    low, high = PH_RANGE
    try:
        return water_from_reading(
            min(max(water.ph + ph, low), high),
            kh,
            water.temp_c,
            water.tan_n_mg_l,
            water.salt_g_l,
            water.gh_meq_l,
        )
    except ImpossibleWater:
        return None
