"""How fast a floating bag follows the water round it, fitted to what was measured of it."""

from __future__ import annotations

from collections.abc import Iterable
from math import log

from intake.science.bag import FLOAT_TAU_MIN
from intake.science.span import Span

USUAL_TAU_MIN = Span(33.0, FLOAT_TAU_MIN, 43.0)
"""Time in which a floating bag closes 63 % of a gap where nothing was measured yet [min].
Source: derived from Lim, Dhert & Sorgeloos 2003."""

TAU_BOUNDS_MIN = (15.0, 120.0)
"""Outside this no bag is believed to be, whatever was read [min]: a palmful of water in thin
film, a large bag kept in its foam box. Common practice."""

THERMOMETER_C = 0.3
"""Half-width (95 %) of a temperature read at the tub: thermometer and layers of the bag [C].
Common practice."""

_BAGS_DIFFER_PER_MIN = 0.018
"""Half-width (95 %) of 1/tau among bags [1/min]: 22 to 110 min. Common practice."""


def fitted_tau_min(gap_c: float, read: Iterable[tuple[float, float]]) -> Span:
    """The time in which this bag closes 63 % of a gap, from what was measured of it.

    Parameters
    ----------
    gap_c
        Bag minus vessel when the float began [C].
    read
        Minutes since then and bag minus vessel as measured [min, C]; times over 0.

    Returns
    -------
    Span
        [min], its ends the 95 % the thermometer leaves; the usual time where `read` is empty or
        the gap is within the thermometer's doubt.

    Notes
    -----
    Newton cooling: ln(gap at first / gap left) rises with time at the rate 1/tau. The rate is the
    mean of the usual one and each reading's own, weighted by 1/variance (JCGM 100:2008, 5.1), so
    that a reading taken too early to say much moves it little.
    """
    points = [(t, left) for t, left in read if t > 0.0]
    if not points or abs(gap_c) <= THERMOMETER_C:
        return USUAL_TAU_MIN
    weight = 1.0 / _BAGS_DIFFER_PER_MIN**2
    total = weight / FLOAT_TAU_MIN
    for minutes, left_c in points:
        left = max(left_c if gap_c > 0.0 else -left_c, THERMOMETER_C)
        variance = (THERMOMETER_C / left) ** 2 + (THERMOMETER_C / gap_c) ** 2
        weight += minutes**2 / variance
        total += minutes * log(abs(gap_c) / left) / variance
    rate, half = total / weight, weight**-0.5
    return Span(_tau(rate + half), _tau(rate), _tau(rate - half))


def _tau(rate_per_min: float) -> float:
    shortest, longest = TAU_BOUNDS_MIN
    return longest if rate_per_min * longest <= 1.0 else max(1.0 / rate_per_min, shortest)


def minutes_left(gap_c: float, aim_c: float, tau_min: float) -> float:
    """Minutes until a gap [C] is down to `aim_c` [C], 0 where it is already."""
    wide = abs(gap_c) / aim_c
    return tau_min * log(wide) if wide > 1.0 else 0.0
