from __future__ import annotations

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.spread import Size
from intake.science.volume import INSIDE, VOID, Inside, true_volume
from tests.science.vessels import exact, found, refused, taped

BOX = exact(length=100, width=50, depth=40)  # 200 L


def test_ten_litres_of_gravel_take_up_six_to_seven() -> None:
    # Published porosities 0.27-0.40: 10 L in bulk removes 6 to 7.3 L of water.
    answer = found(true_volume("box", BOX, Inside(gravel_l=Size(10))))

    assert answer.gross_l == pytest.approx(200)
    assert answer.displaced_l == pytest.approx(6.2)
    assert answer.volume_l == pytest.approx(193.8)
    assert VOID.value - VOID.half <= 0.36 < 0.40 <= VOID.value + VOID.half
    assert answer.doubt_from == "void"
    assert answer.high_l - answer.volume_l == pytest.approx(0.4)


def test_rock_by_mass_displaces_by_its_density() -> None:
    default = found(true_volume("box", BOX, Inside(rock_g=Size(13_000))))
    lava = Inside(rock_g=Size(13_000), rock_density_g_ml=Size(1.3, 0.1))

    assert default.displaced_l == pytest.approx(13 / 2.6)
    assert found(true_volume("box", BOX, lava)).displaced_l == pytest.approx(10)
    assert found(true_volume("box", BOX, lava)).doubt_from == "rock-density"


def test_all_of_it_together_against_the_sum() -> None:
    inside = Inside(
        gravel_l=Size(30, 1),
        void=Size(0.43, 0.03),
        rock_g=Size(5_200, 50),
        displaced_l=Size(2, 0.4),
        connected_l=Size(25, 2),
    )
    answer = found(true_volume("box", BOX, inside))

    assert answer.displaced_l == pytest.approx(30 * 0.57 + 2 + 2)
    assert answer.connected_l == 25
    assert answer.volume_l == pytest.approx(answer.gross_l - answer.displaced_l + 25)
    parts = (0.57, 30 * 0.03, 0.05 / 2.6, 2 / 2.6 * 0.2, 0.4, 2)
    half_l = math.sqrt(sum(part**2 for part in parts))
    # Rock over its density and gravel by its void bend: the ends lie a hair beside the sum.
    assert (answer.high_l - answer.low_l) / 2 == pytest.approx(half_l, rel=2e-3)
    assert answer.doubt_from == "connected"


@pytest.mark.parametrize("seed", [7, 8])
def test_doubt_of_what_is_inside_covers_95_percent_of_draws(seed: int) -> None:
    sizes = taped(0.5, length=100, width=50, depth=40)
    half = 1.959964
    answer = found(true_volume("box", sizes, Inside(gravel_l=Size(40, 4), displaced_l=Size(5, 1))))
    draw = random.Random(seed)
    hits = 0
    for _ in range(4_000):
        drawn = {n: Size(draw.gauss(s.value, s.half / half)) for n, s in sizes.items()}
        things = Inside(
            gravel_l=Size(draw.gauss(40, 4 / half)),
            void=Size(draw.gauss(VOID.value, VOID.half / half)),
            displaced_l=Size(draw.gauss(5, 1 / half)),
        )
        volume_l = found(true_volume("box", drawn, things)).volume_l
        hits += answer.low_l <= volume_l <= answer.high_l

    assert 0.94 <= hits / 4_000 <= 0.98


@given(taken=st.floats(0.1, 199), more=st.floats(0.01, 1), joined=st.floats(0, 50))
def test_more_inside_is_less_water(taken: float, more: float, joined: float) -> None:
    less = found(true_volume("box", BOX, Inside(displaced_l=Size(min(taken + more, 199.9)))))
    first = found(true_volume("box", BOX, Inside(displaced_l=Size(taken))))
    with_sump = found(
        true_volume("box", BOX, Inside(displaced_l=Size(taken), connected_l=Size(joined)))
    )

    assert less.volume_l <= first.volume_l
    assert with_sump.volume_l == pytest.approx(first.volume_l + joined)


def test_what_fills_the_vessel_is_refused_and_over_40_percent_is_asked() -> None:
    def with_displaced(litres: float) -> Inside:
        return Inside(displaced_l=Size(litres), connected_l=Size(500))

    full = refused(true_volume("box", BOX, with_displaced(200)))
    assert (full.code, full.path) == ("out-of-range", "--displaced")
    gravel = refused(true_volume("box", BOX, Inside(gravel_l=Size(400), displaced_l=Size(5))))
    assert gravel.path == "--gravel"
    over = found(true_volume("box", BOX, with_displaced(80.1)))
    assert [warn.code for warn in over.warnings] == ["volume-doubtful"]
    assert "40 %" in over.warnings[0].text
    assert not found(true_volume("box", BOX, with_displaced(80.0))).warnings


def test_connected_water_is_asked_for_until_it_is_named() -> None:
    bare = found(true_volume("box", BOX))
    none = found(true_volume("box", BOX, Inside(connected_l=Size(0))))

    assert any(text.startswith("connected water: none") for text in bare.assumptions)
    assert not any(text.startswith("connected water") for text in none.assumptions)


@pytest.mark.parametrize(
    ("side", "asked"), [(9.99, True), (10.0, False), (271.4, False), (271.5, True)]
)
def test_less_than_1_or_more_than_20_000_litres_is_asked(side: float, asked: bool) -> None:
    cube = found(true_volume("box", exact(length=side, width=side, depth=side)))

    assert any("units" in warn.text for warn in cube.warnings) is asked


def test_wide_doubt_asks_for_measuring_by_filling() -> None:
    shallow = taped(1.0, length=60, width=45, depth=3)
    deep = taped(1.0, length=60, width=45, depth=30)

    assert any("filling" in warn.text for warn in found(true_volume("box", shallow)).warnings)
    assert not found(true_volume("box", deep)).warnings
    edge = {"bucket": Size(100, 15), "count": Size(1)}
    assert not found(true_volume("metered", edge)).warnings
    assert found(true_volume("metered", edge | {"bucket": Size(100, 15.1)})).warnings


def test_the_low_end_is_never_below_no_water() -> None:
    answer = found(true_volume("box", exact(length=60, width=45) | {"depth": Size(3, 9)}))

    assert answer.low_l == 0
    assert answer.high_l == pytest.approx(4 * answer.volume_l)


def test_inside_or_outside_the_walls_is_shown() -> None:
    # 98 x 48 instead of 100 x 50 is 5.92 % less.
    answer = found(true_volume("box", BOX))

    assert any("walls of 1 cm it is 6 % less" in text for text in answer.assumptions)
    girth = found(true_volume("round", exact(girth=100 * math.pi, depth=40)))
    across = found(true_volume("round", exact(diameter=100, depth=40)))
    assert "4 % less" in girth.assumptions[0]
    assert girth.assumptions[0] == across.assumptions[0]


def test_half_a_diameter_is_shown_as_four_times_the_water() -> None:
    answer = found(true_volume("round", exact(diameter=100, depth=40)))

    assert any("1,257 L" in text for text in answer.assumptions)


def test_an_odd_number_of_sides_is_doubtful() -> None:
    # Five sides: inner radius r, corner at 1.236 r; across read flat to corner is 2.236 r.
    five = found(true_volume("polygon", exact(across=100, depth=40), sides=5))
    six = found(true_volume("polygon", exact(across=100, depth=40), sides=6))

    assert "it is 20 % less" in five.warnings[0].text
    assert not six.warnings


def test_options_of_what_is_inside() -> None:
    assert [spec.option for spec in INSIDE] == [
        "gravel", "void", "rock-mass", "rock-density", "displaced", "connected",
    ]  # fmt: skip
