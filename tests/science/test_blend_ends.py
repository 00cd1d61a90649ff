"""Two waters mixed between the ends of their readings: nothing they may be lies outside."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from intake.science.blend_ends import mixed, mixture
from intake.science.carbonate import ImpossibleWater
from intake.science.span import Span

RANGES = ((5.5, 9.0), (0.1, 6.0), (4.0, 32.0), (0.0, 30.0), (0.0, 5.0), (0.0, 8.0))
EVERY = (*RANGES, *RANGES, (0.0, 1.0))
TOLD = 2e-3
"""How much of its own width an end may be short; 3e-4 was the most in 40 scans of 41 by 41."""


def _spans(chance: Random, free: set[int]) -> list[Span]:
    spans = []
    for at, (low, high) in enumerate(EVERY):
        three = sorted(chance.uniform(low, high) for _ in range(3))
        spans.append(Span(*three) if at in free else Span(three[1], three[1], three[1]))
    return spans


def _outside(spans: list[Span], points: list[tuple[float, ...]]) -> list[str]:
    ends = mixture(spans[:6], spans[6:12], spans[12]).ends
    found = []
    for point in points:
        try:
            said = mixed(point)
        except ImpossibleWater:
            continue
        for name, value in said.items():
            room = TOLD * (ends[name].high - ends[name].low) + 1e-9
            if not ends[name].low - room <= value <= ends[name].high + room:
                found.append(f"{name} {value} not in {ends[name]}")
    return found


@pytest.mark.parametrize("seed", range(12))
def test_a_fine_scan_of_two_readings_stays_inside(seed: int) -> None:
    # Temperatures, salts, hardness and the share are those that can turn a mixture round.
    chance = Random(seed)
    first, second = sorted(chance.sample([1, 2, 4, 5, 8, 10, 11, 12], 2))
    spans = _spans(chance, {first, second})
    points = []
    for x, y in product(range(26), repeat=2):
        point = [s.nominal for s in spans]
        for at, step in ((first, x), (second, y)):
            point[at] = spans[at].low + (spans[at].high - spans[at].low) * step / 25
        points.append(tuple(point))
    try:
        assert _outside(spans, points) == []
    except ImpossibleWater:
        pytest.skip("the likely readings cannot be one water")


@pytest.mark.parametrize("seed", range(100, 112))
def test_draws_of_many_readings_stay_inside(seed: int) -> None:
    chance = Random(seed)
    spans = _spans(chance, set(chance.sample(range(13), chance.choice([3, 4, 5]))))
    points = [tuple(chance.uniform(s.low, s.high) for s in spans) for _ in range(400)]
    try:
        assert _outside(spans, points) == []
    except ImpossibleWater:
        pytest.skip("the likely readings cannot be one water")


def test_an_end_inside_the_band_is_found() -> None:
    # Worst share of hard water in a soft bag: neither end of the band, nor its middle.
    exact = [Span(v, v, v) for v in (5.8, 0.3, 18.0, 20.0, 0.0, 0.0)]
    there = [Span(v, v, v) for v in (8.4, 3.57, 18.0, 0.0, 0.0, 0.0)]
    found = mixture(exact, there, Span(0.0, 0.1, 1.0)).ends["aired.nh3_n_mg_l"]
    fine = [
        mixed([*(s.nominal for s in (*exact, *there)), n / 2000])["aired.nh3_n_mg_l"]
        for n in range(2001)
    ]
    assert found.high == pytest.approx(max(fine), rel=1e-5)
    assert found.high > 1.05 * max(fine[0], fine[-1])


def test_exact_readings_have_no_width() -> None:
    spans = [Span(v, v, v) for v in (6.6, 1.4, 16.0, 4.0, 0.0, 0.0)]
    there = [Span(v, v, v) for v in (7.8, 2.1, 20.0, 0.0, 0.0, 0.0)]
    found = mixture(spans, there, Span(0.5, 0.5, 0.5))
    assert all(ends.exact for ends in found.ends.values())
    assert not found.left_out


def test_what_cannot_be_a_water_is_left_out() -> None:
    # At pH 9 the ammonia and hydroxide need more alkalinity than a KH of 0.05 meq/L.
    spans = [Span(9.0, 9.0, 9.0), Span(0.02, 2.0, 2.0), *[Span(v, v, v) for v in (20, 20, 0, 0)]]
    there = [Span(v, v, v) for v in (7.8, 2.1, 20.0, 0.0, 0.0, 0.0)]
    assert mixture(spans, there, Span(0.5, 0.5, 0.5)).left_out
