"""The salt that tells a volume to 5 %, held against draws of the readings themselves."""

from __future__ import annotations

import random
from decimal import Decimal

import pytest

from intake.science.meter import MeterError
from intake.science.problem import Refused
from intake.science.salt import conductivity_us_cm_25c, salt_g_l_from_conductivity
from intake.science.spread import Size
from intake.science.volume.salt_needed import (
    GOAL_SHARE,
    Meter,
    SaltNeeded,
    half_share,
    salt_needed,
)

GRAM = Decimal(1)
DRAWS = 20_000


def meter(sort: str, before: float, error: MeterError, **more: Size) -> Meter:
    return Meter(sort, Size(before, error.half(before)), error, **more)


def outside(found: SaltNeeded, volume_l: float, one: Meter, goal: float) -> float:
    """The share of draws in which the gauged volume is further off than the goal.

    Readings are drawn about the truth, the curve's own 2 % with them; 95 % is 1.96 deviations.
    """
    draw = random.Random(20261125)
    fit = 0.02 if one.sort != "salt" else 0.0
    far = 0
    for _ in range(DRAWS):
        before = draw.gauss(one.before.value, one.before.half / 1.96)
        after = draw.gauss(found.after, one.error.half(found.after) / 1.96)
        curve = draw.gauss(1.0, fit / 1.96)
        rise = after - before
        if one.sort != "salt":
            # An independent second working of the rise, by the curve alone.
            rise = salt_g_l_from_conductivity(after) - salt_g_l_from_conductivity(before)
        gauged = float(found.salt_g) / rise * curve
        far += abs(gauged / volume_l - 1) > goal
    return far / DRAWS


CASES = [
    (300.0, meter("conductivity", 335.0, MeterError(share=0.02))),
    (300.0, meter("conductivity", 1800.0, MeterError(5.0, "uS/cm", 0.01))),
    (45.0, meter("conductivity", 120.0, MeterError(20.0, "uS/cm"))),
    (800.0, meter("salt", 0.3, MeterError(0.02, "g/L", 0.01))),
]


@pytest.mark.parametrize(("volume_l", "one"), CASES)
def test_it_is_as_near_as_it_says(volume_l: float, one: Meter) -> None:
    found = salt_needed(volume_l, one, None, Decimal("0.01"))
    assert found.enough
    # As for every interval of a volume: 94.3 to 98 % of the draws are inside.
    assert 0.02 <= outside(found, volume_l, one, GOAL_SHARE) <= 0.057
    less = float(found.salt_g) * 0.97
    assert half_share(less, volume_l, one) > GOAL_SHARE


def test_it_is_the_least_in_whole_steps() -> None:
    volume_l, one = CASES[0]
    fine, coarse = (salt_needed(volume_l, one, None, Decimal(step)) for step in ("0.1", "25"))
    assert coarse.salt_g % 25 == 0
    assert fine.salt_g <= coarse.salt_g < fine.salt_g + 25
    assert fine.rise_g_l == pytest.approx(float(fine.salt_g) / volume_l)
    step = salt_needed(volume_l, one, None, GRAM).salt_g
    assert half_share(float(step), volume_l, one) <= GOAL_SHARE
    assert half_share(float(step - 1), volume_l, one) > GOAL_SHARE


def test_the_limit_is_never_passed() -> None:
    volume_l, one = CASES[0]
    free = salt_needed(volume_l, one, None, GRAM)
    held = salt_needed(volume_l, one, float(free.salt_g) * 0.5 + 0.4, Decimal(10))
    assert held.salt_g <= Decimal(free.salt_g) / 2
    assert held.salt_g % 10 == 0
    assert not held.enough
    assert held.reaches > GOAL_SHARE
    with pytest.raises(Refused) as no:
        salt_needed(volume_l, one, 0.5, GRAM)
    assert no.value.code == "over-hard-limit"


def test_a_meter_too_coarse_says_the_best_it_can() -> None:
    one = meter("conductivity", 400.0, MeterError(share=0.06))
    found = salt_needed(300.0, one, None, GRAM)
    assert not found.enough
    tried = [half_share(grams, 300.0, one) for grams in range(20, 1600, 20)]
    assert found.reaches <= min(tried) * 1.001


def test_a_meter_in_ppm_or_without_compensation_takes_as_much() -> None:
    plain = salt_needed(300.0, meter("conductivity", 335.0, MeterError(share=0.01)), None, GRAM)
    ppm = meter("ppm", 167.5, MeterError(share=0.01), factor=Size(0.5))
    assert salt_needed(300.0, ppm, None, GRAM).salt_g == plain.salt_g
    raw_us_cm = 335.0 * (1 + 0.0195 * (15 - 25))
    raw = meter("conductivity", raw_us_cm, MeterError(share=0.01), temp_c=Size(15.0))
    warm = salt_needed(300.0, raw, None, GRAM)
    assert warm.salt_g >= plain.salt_g
    there = salt_g_l_from_conductivity(335.0)
    at_25c = conductivity_us_cm_25c(there + warm.rise_g_l)
    assert warm.after == pytest.approx(at_25c * (1 + 0.0195 * (15 - 25)))


def test_what_is_read_now_counts_as_salt() -> None:
    one = meter("conductivity", 1992.0, MeterError())
    assert one.there_g_l() == pytest.approx(1.0, abs=0.001)  # 1 g/L of NaCl reads 1992 uS/cm
