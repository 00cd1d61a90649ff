"""Waters by the array: the same figures as one by one, and nothing wrong goes on silently."""

from __future__ import annotations

import random
from math import isnan

import numpy as np
import pytest

from intake.science import arrays, blend
from intake.science.ammonia import NotInRange
from intake.science.blend import MEQ_L_PER_DKH, Water, water_from_reading
from intake.science.carbonate import ImpossibleWater

FIELDS = ("temp_c", "ph", "alk_meq_l", "dic_mmol_l", "tan_n_mg_l", "salt_g_l", "gh_meq_l")
FIGURES = (*FIELDS, "nh3_n_mg_l", "nh3_activity_n_mg_l", "co2_mg_l")
COUNT = 20_000


def drawn(count: int, seed: int) -> list[tuple[float, ...]]:
    """pH, KH [meq/L], C, TAN, salt, GH; some of them outside every range, some not one water."""
    dice = random.Random(seed)
    return [
        (
            dice.uniform(3.9, 10.7),
            dice.uniform(-0.05, 15.0) * MEQ_L_PER_DKH,
            dice.uniform(-0.5, 36.0),
            dice.choice((0.0, dice.uniform(0.0, 30.0))),
            dice.choice((0.0, dice.uniform(0.0, 5.1))),
            dice.choice((0.0, dice.uniform(0.0, 15.0))),
        )
        for _ in range(count)
    ]


def by_hand(reading: tuple[float, ...]) -> Water | str:
    try:
        return water_from_reading(*reading)
    except NotInRange:
        return "not-in-range"
    except ImpossibleWater:
        return "impossible-water"


def same(many: arrays.Waters, one_by_one: list[Water | str]) -> None:
    """Every figure to 1e-9, and every flaw by its name with nothing but NaN beside it."""
    columns = {name: getattr(many, name) for name in FIGURES}
    flaws = [arrays.FLAWS[n] for n in many.flaw]
    for n, one in enumerate(one_by_one):
        if isinstance(one, str):
            assert flaws[n] == one
            assert all(isnan(column[n]) for column in columns.values())
            continue
        assert flaws[n] == ""
        for name, column in columns.items():
            assert column[n] == pytest.approx(getattr(one, name), rel=1e-9, abs=1e-12), name


@pytest.mark.slow
def test_twenty_thousand_waters_are_the_same_as_one_by_one() -> None:
    dice = random.Random(3)
    a, b = drawn(COUNT, 1), drawn(COUNT, 2)
    share = [dice.uniform(0.0, 1.0) for _ in range(COUNT)]
    co2 = [10 ** dice.uniform(-1.0, 2.0) for _ in range(COUNT)]
    ours = [arrays.waters_from_readings(*np.array(side).T) for side in (a, b)]
    theirs = [[by_hand(reading) for reading in side] for side in (a, b)]
    for many, one_by_one in zip(ours, theirs, strict=True):
        same(many, one_by_one)
    names = [one for side in theirs for one in side if isinstance(one, str)]
    assert {"not-in-range", "impossible-water"} == set(names)
    assert len(names) < COUNT

    def mixed(one: Water | str, other: Water | str, part: float) -> Water | str:
        if isinstance(one, str) or isinstance(other, str):
            return max((w for w in (one, other) if isinstance(w, str)), key=arrays.FLAWS.index)
        return blend.blend(one, other, part)

    closed = [mixed(*both) for both in zip(*theirs, share, strict=True)]
    blended = arrays.blends(ours[0], ours[1], np.array(share))
    same(blended, closed)
    same(arrays.aired(blended), [w if isinstance(w, str) else blend.aired(w) for w in closed])
    held = [
        w if isinstance(w, str) else blend.at_co2(w, c) for w, c in zip(closed, co2, strict=True)
    ]
    same(arrays.at_co2(blended, np.array(co2)), held)


@pytest.mark.parametrize(
    ("reading", "flaw"),
    [
        ((7.0, 1.0, 20.0, 1.0), ""),
        ((3.99, 1.0, 20.0), "not-in-range"),
        ((10.51, 9.0, 20.0), "not-in-range"),
        ((7.0, -0.001, 20.0), "not-in-range"),
        ((7.0, float("inf"), 20.0), "not-in-range"),
        ((7.0, 1.0, 35.01), "not-in-range"),
        ((7.0, 1.0, float("nan")), "not-in-range"),
        ((7.0, 1.0, 20.0, -1.0), "not-in-range"),
        ((7.0, 1.0, 20.0, 1.0, 5.01), "not-in-range"),
        ((9.5, 0.2, 25.0, 30.0), "impossible-water"),
    ],
)
def test_what_cannot_be_is_named(reading: tuple[float, ...], flaw: str) -> None:
    water = arrays.waters_from_readings(*reading)
    assert arrays.FLAWS[int(water.flaw)] == flaw
    assert isnan(float(water.nh3_n_mg_l)) == isnan(float(water.ph)) == bool(flaw)


@pytest.mark.parametrize("share", [-1e-9, 1.0 + 1e-9, float("nan")])
def test_a_share_that_cannot_be_is_named(share: float) -> None:
    water = arrays.waters_from_readings([6.5, 7.5], 2.0, 20.0)
    mixed = arrays.blends(water, water, [share, 0.5])
    assert [arrays.FLAWS[n] for n in mixed.flaw] == ["not-in-range", ""]
    assert isnan(mixed.ph[0])
    assert not isnan(mixed.ph[1])
    assert all(isnan(getattr(mixed, name)[0]) for name in FIGURES)


@pytest.mark.parametrize("co2", [-0.1, float("nan"), float("inf")])
def test_a_co2_that_cannot_be_is_named(co2: float) -> None:
    held = arrays.at_co2(arrays.waters_from_readings([6.5, 7.5], 2.0, 20.0), [co2, 3.0])
    assert [arrays.FLAWS[n] for n in held.flaw] == ["not-in-range", ""]
    assert all(isnan(getattr(held, name)[0]) for name in FIGURES)


def test_shapes_broadcast() -> None:
    water = arrays.waters_from_readings([[6.5], [7.5]], [1.0, 2.0, 3.0], 20.0)
    assert water.ph.shape == water.nh3_n_mg_l.shape == water.flaw.shape == (2, 3)
    shares = np.linspace(0.0, 1.0, 11)
    a, b = arrays.waters_from_readings(6.5, 1.0, 20.0, 8.0), arrays.waters_from_readings(8, 3, 21)
    mixed = arrays.blends(a, b, shares)
    assert mixed.ph.shape == (11,)
    assert mixed.ph[0] == pytest.approx(6.5, abs=1e-9)
    assert mixed.ph[-1] == pytest.approx(8.0, abs=1e-9)
