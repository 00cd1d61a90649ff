"""The highest point of a curve, and the share of water that makes the most NH3."""

from __future__ import annotations

import random
from dataclasses import replace
from math import sin

import numpy as np
import pytest
from scipy.optimize import minimize_scalar  # type: ignore[import-untyped]

from intake.science import arrays
from intake.science.acclimation import SHARES, acclimate, worst_blend
from intake.science.acclimation_readings import Pair
from intake.science.blend import (
    MEQ_L_PER_DKH,
    Water,
    aired,
    at_temperature,
    blend,
    water_from_reading,
)
from intake.science.carbonate import ImpossibleWater
from intake.science.peak import highest
from intake.science.span import Span
from tests.science.bags import bag, vessel


@pytest.mark.parametrize("top", [0.0, 0.013, 0.3, 0.5, 0.777, 1.0])
def test_one_peak_anywhere(top: float) -> None:
    place, value = highest(lambda x: 2.0 - (x - top) ** 2, SHARES)
    assert place == pytest.approx(top, abs=1e-4)
    assert value == pytest.approx(2.0, abs=1e-8)


def test_the_higher_of_two_peaks_though_the_first_look_prefers_the_other() -> None:
    # Seen at steps of 0.1 the broad hill is the higher one; between them the narrow one is.
    def hills(x: float) -> float:
        return max(1.0 - 20.0 * (x - 0.3) ** 2, 1.2 - 200.0 * (x - 0.75) ** 2)

    coarse = [step / 10 for step in range(11)]
    assert max(coarse, key=hills) == 0.3
    place, value = highest(hills, coarse)
    assert place == pytest.approx(0.75, abs=1e-4)
    assert value == pytest.approx(1.2, abs=1e-5)


def test_as_scipy_finds_it() -> None:
    theirs = minimize_scalar(lambda x: -x * sin(3.0 * x), bounds=(0.0, 1.0), method="bounded")
    place, value = highest(lambda x: x * sin(3.0 * x), SHARES)
    assert place == pytest.approx(theirs.x, abs=2e-4)
    assert value == pytest.approx(-theirs.fun, rel=1e-7)


def random_pairs(count: int) -> list[Pair]:
    """Any two waters, and in turn a soft sour bag and the hard water waiting for it."""
    dice = random.Random(4)

    def water(ph: Span, kh_dkh: Span, tan_n_mg_l: float) -> Water:
        while True:
            try:
                return water_from_reading(
                    dice.uniform(ph.low, ph.high),
                    dice.uniform(kh_dkh.low, kh_dkh.high) * MEQ_L_PER_DKH,
                    dice.uniform(4.0, 32.0),
                    dice.uniform(0.0, tan_n_mg_l),
                    dice.uniform(0.0, 5.0),
                    dice.uniform(0.0, 7.0),
                )
            except ImpossibleWater:
                continue

    def span(low: float, high: float) -> Span:
        return Span(low, low, high)

    any_ph, any_kh = span(5.8, 8.8), span(0.5, 15.0)
    pairs = []
    for n in range(count):
        if n % 2:
            bag = water(any_ph, any_kh, 30.0)
            there = water(any_ph, any_kh, dice.choice((0.0, 0.5, 30.0)))
        else:
            bag = water(span(5.8, 6.8), span(0.5, 3.0), 30.0)
            there = water(span(7.5, 8.8), span(5.0, 15.0), 0.2)
        pairs.append(Pair(bag, there))
    return pairs


def in_open_air(pair: Pair, share: float) -> float:
    mixed = blend(pair.bag, pair.vessel, share)
    return max(
        aired(mixed).nh3_n_mg_l,
        aired(at_temperature(mixed, pair.vessel.temp_c)).nh3_n_mg_l,
    )


def scanned(pair: Pair, shares: arrays.Floats) -> arrays.Floats:
    """NH3 at every share, by the array sums."""

    def many(water: Water) -> arrays.Waters:
        return arrays.waters_from_readings(
            water.ph,
            water.alk_meq_l,
            water.temp_c,
            water.tan_n_mg_l,
            water.salt_g_l,
            water.gh_meq_l,
        )

    mixed = arrays.blends(many(pair.bag), many(pair.vessel), shares)
    there = replace(mixed, temp_c=np.full_like(mixed.temp_c, pair.vessel.temp_c))
    return np.maximum(arrays.aired(mixed).nh3_n_mg_l, arrays.aired(there).nh3_n_mg_l)


@pytest.mark.slow
def test_the_worst_share_is_a_fine_scans_on_500_random_pairs() -> None:
    fine = np.linspace(0.0, 1.0, 2001)
    inside = missed = 0
    for pair in random_pairs(500):
        share, nh3 = worst_blend(pair)
        assert nh3 == pytest.approx(in_open_air(pair, share), rel=1e-12)
        found = scanned(pair, fine)
        most = found.max()
        assert nh3 == pytest.approx(most, rel=1e-6)
        # Where two shares are as bad as each other, either may be told.
        assert abs(share - fine[found.argmax()]) < 1e-3 or nh3 >= most * (1.0 - 1e-9)
        inside += 0.0 < share < 1.0
        missed += max(in_open_air(pair, s) for s in SHARES) < most * (1.0 - 1e-4)
    assert inside > 200  # NH3 is not monotone in the share: in many pairs neither end is worst
    assert missed > 50  # and the shares first looked at would have missed some of it


def test_the_share_is_told_between_the_steps_first_looked_at() -> None:
    worst = acclimate(bag(18, 5.8, 0.84, 20), vessel(18, 8.4, 10)).worst_blend
    assert min(abs(worst.share - share) for share in SHARES) > 1e-3
    assert worst.nh3_n_mg_l_low <= worst.nh3_n_mg_l <= worst.nh3_n_mg_l_high
