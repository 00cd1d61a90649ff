"""Acid water with ammonium in it: what would turn it into ammonia."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from intake.science.blend import Water, settled
from intake.science.change_limits import ChangeLimits
from intake.science.limits import allowed
from intake.science.water_change import after_change, three_states

BICARBONATE_G_PER_MOL = 84.007
"""Sodium bicarbonate. Source: IUPAC atomic weights."""

SHARES = tuple(n / 100.0 for n in range(5, 101, 5))
"""Shares of the water that are tried."""


def bicarbonate_g(volume_l: float, kh_meq_l: float) -> float:
    """Sodium bicarbonate [g] that raises the KH of `volume_l` [L] by `kh_meq_l` [meq/L].

    Examples
    --------
    >>> round(bicarbonate_g(300, 0.356634), 2)
    8.99
    """
    return volume_l * kh_meq_l * BICARBONATE_G_PER_MOL / 1000.0


def stirred_in(water: Water, kh_meq_l: float) -> Water:
    """The water with bicarbonate that raises its KH, kept from the air: as much carbon as KH."""
    alk, dic = water.alk_meq_l + kh_meq_l, water.dic_mmol_l + kh_meq_l
    return settled(replace(water, alk_meq_l=alk, dic_mmol_l=dic))


def is_acid(water: Water, limits: ChangeLimits) -> bool:
    """Whether pH or KH is so low that ammonia may hide as ammonium."""
    return not (
        allowed(water.ph, limits.acid_ph, None)
        and allowed(water.alk_meq_l, limits.kh_low_meq_l, None)
    )


def would_crash(
    water: Water, tap: Water | None, limits: ChangeLimits, asked_share: float = 0.0
) -> bool:
    """Whether raising the pH of this acid water puts NH3 over the limit.

    Parameters
    ----------
    water, tap
        As read; `tap` None where nothing is known of it: then a spoon of bicarbonate is tried.
    limits
        What is judged with.
    asked_share
        A share (0 to 1) that is tried beside those up to the largest one.

    Notes
    -----
    Open air alone counts, and every share in steps of 5 %: NH3 is not monotone in it.
    """
    if not is_acid(water, limits):
        return False
    return any(
        not allowed(there.nh3_n_mg_l, None, limits.nh3_n_mg_l)
        for there in _raised(water, tap, limits, asked_share)
    )


def _raised(
    water: Water, tap: Water | None, limits: ChangeLimits, asked_share: float
) -> Iterator[Water]:
    yield three_states(water, water.co2_mg_l).worst
    if tap is None:
        rise = max(0.0, limits.kh_wanted_meq_l - water.alk_meq_l)
        yield three_states(stirred_in(water, rise), water.co2_mg_l).worst
        return
    shares = {s for s in SHARES if allowed(s, None, limits.largest_share)}
    for share in sorted(shares | {asked_share}):
        yield after_change(water, tap, share).worst
