from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.spread import Size
from intake.science.volume import Inside, at_depth, true_volume
from tests.science.vessels import TAPERS, WIDTH_AT, breaks, exact, found, reach, sides_of, tapered


@pytest.mark.parametrize(("shape", "top", "floor"), TAPERS)
@pytest.mark.parametrize("today", [None, 12.0, 46.0, 55.0])
def test_leaning_walls_against_quadrature_of_cross_sections(
    shape: str, top: dict[str, float], floor: dict[str, float], today: float | None
) -> None:
    integrate = pytest.importorskip("scipy.integrate")
    recorded = 46.0

    def area(z: float) -> float:
        s = {n: floor.get(n, v) + (v - floor.get(n, v)) * z / recorded for n, v in top.items()}
        cm2, _ = integrate.quad(
            lambda x: WIDTH_AT[shape](s, x),
            0,
            reach(shape, s),
            points=breaks(shape, s) or None,
            limit=200,
        )
        return float(cm2)

    cm3, _ = integrate.quad(area, 0, today or recorded, epsrel=1e-6)
    sizes = tapered(shape, top, floor) | exact(depth=recorded)
    sides = sides_of(top)
    answer = (
        true_volume(shape, sizes, sides=sides)
        if today is None
        else at_depth(shape, sizes, Size(today), sides=sides)
    )

    assert found(answer).volume_l == pytest.approx(cm3 / 1000, rel=2e-6)
    assert found(answer).method == f"{shape}, tapered"


def test_tapered_round_is_the_frustum_of_the_textbook() -> None:
    # h/3 (A1 + A2 + sqrt(A1 A2)), A at the floor and at the waterline.
    small, large = math.pi / 4 * 72**2, math.pi / 4 * 100**2
    frustum_l = 46 / 3 * (small + large + math.sqrt(small * large)) / 1000

    answer = found(true_volume("round", exact(diameter=100, floor_diameter=72, depth=46)))

    assert answer.volume_l == pytest.approx(frustum_l)


def test_a_funnel_comes_to_a_point() -> None:
    answer = found(true_volume("round", exact(diameter=60, floor_diameter=0, depth=50)))

    assert answer.volume_l == pytest.approx(math.pi / 4 * 60**2 * 50 / 3 / 1000)


def test_a_bow_that_leans_to_a_line_at_the_floor() -> None:
    # Length 0 at the floor: the box is a wedge (half), the bow's arc area a cone's (a third).
    box_cm2, arc_cm2 = 90 * 40, math.pi * 45**2 / 2
    wedge = exact(length=90, width=40, bow=45, depth=30, floor_length=0)

    assert found(true_volume("bow", wedge)).volume_l == pytest.approx(
        30 * (box_cm2 / 2 + arc_cm2 / 3) / 1000
    )


def test_outline_leans_by_its_whole_length_and_width() -> None:
    square = [(Size(x), Size(y)) for x, y in ((0, 0), (60, 0), (60, 40), (0, 40))]
    sizes = exact(depth=30, floor_length=50, floor_width=28)

    outline = found(true_volume("outline", sizes, points=square))
    box = found(true_volume("box", sizes | exact(length=60, width=40)))

    assert outline.volume_l == pytest.approx(box.volume_l)


def test_bow_keeps_its_proportion_down_to_the_floor() -> None:
    # 0.8 of every plan size at the floor: a frustum of similar areas, h A (1 + 0.8 + 0.64) / 3.
    straight = found(true_volume("bow", exact(length=90, width=40, bow=10, depth=40)))
    sizes = exact(length=90, width=40, bow=10, depth=40, floor_length=72, floor_width=32)

    answer = found(true_volume("bow", sizes))

    assert answer.volume_l == pytest.approx(straight.volume_l * 2.44 / 3)
    assert any("proportion" in text for text in answer.assumptions)


@given(case=st.sampled_from(TAPERS), depth=st.floats(5, 80))
def test_equal_floor_sizes_are_straight_walls(
    case: tuple[str, dict[str, float], dict[str, float]], depth: float
) -> None:
    shape, top, floor = case
    sides = sides_of(top)
    straight = tapered(shape, top, {}) | exact(depth=depth)
    same = tapered(shape, top, {n: top[n] for n in floor}) | exact(depth=depth)

    first = found(true_volume(shape, straight, sides=sides))
    second = found(true_volume(shape, same, sides=sides))

    assert first.volume_l == pytest.approx(second.volume_l)


def test_a_barrel_bulges_as_kepler_says() -> None:
    # A barrel cut from an ellipsoid has areas of the second degree in height: Simpson is exact.
    half_cm, swell_cm, height_cm = 60.0, 35.0, 80.0

    def area(z: float) -> float:
        return math.pi * swell_cm**2 * (1 - (z - height_cm / 2) ** 2 / half_cm**2)

    integral_cm3 = (
        math.pi * swell_cm**2 * (height_cm - 2 * (height_cm / 2) ** 3 / (3 * half_cm**2))
    )
    end_cm = 2 * math.sqrt(area(0) / math.pi)
    sizes = exact(diameter=end_cm, middle_diameter=2 * swell_cm, depth=height_cm)

    answer = found(true_volume("round", sizes))
    half_full = found(at_depth("round", sizes, Size(height_cm / 2)))

    assert answer.volume_l == pytest.approx(integral_cm3 / 1000)
    assert half_full.volume_l == pytest.approx(integral_cm3 / 2000)
    assert answer.method == "round, bulged"
    assert any("as large as the waterline" in text for text in answer.assumptions)


def test_a_ball_between_two_heights_is_simpsons() -> None:
    # A ball's areas pi (D z - z^2) are of the second degree too: the cap formula is independent.
    ball, low, high = 60.0, 10.0, 50.0

    def across(z: float) -> float:
        return 2 * math.sqrt(ball * z - z * z)

    sizes = exact(
        floor_diameter=across(low),
        middle_diameter=across(30),
        diameter=across(high),
        depth=high - low,
    )
    caps = [found(true_volume("bowl", exact(diameter=ball, depth=z))).volume_l for z in (10, 50)]

    assert found(true_volume("round", sizes)).volume_l == pytest.approx(caps[1] - caps[0])


def test_middle_on_the_straight_line_changes_nothing() -> None:
    taper = exact(length=60, width=40, floor_length=50, floor_width=28, depth=30)
    middle = exact(middle_length=55, middle_width=34)

    assert found(true_volume("box", taper | middle)).volume_l == pytest.approx(
        found(true_volume("box", taper)).volume_l
    )


def test_sloping_floor_counts_by_its_mean() -> None:
    depths = [Size(30, 1), Size(42, 1), Size(54, 1)]
    sizes = exact(length=100, width=50)

    answer = found(true_volume("box", sizes, depths=depths))

    assert answer.volume_l == pytest.approx(100 * 50 * 42 / 1000)
    assert answer.high_l - answer.volume_l == pytest.approx(100 * 50 / math.sqrt(3) / 1000)
    assert answer.doubt_from == "depths"
    assert answer.method == "box, sloping floor"


def test_slices_add_up() -> None:
    slabs = [
        (Size(length), Size(width), Size(depth))
        for length, width, depth in ((60, 40, 10), (70, 50, 5), (80, 60, 9))
    ]
    whole = found(true_volume("slices", {}, slices=slabs))
    parts = [found(true_volume("slices", {}, slices=[slab])).volume_l for slab in slabs]

    assert whole.volume_l == pytest.approx(24 + 17.5 + 43.2)
    assert whole.volume_l == pytest.approx(sum(parts))
    assert found(at_depth("slices", {}, Size(12), slices=slabs)).volume_l == pytest.approx(31)
    assert found(at_depth("slices", {}, Size(30), slices=slabs)).volume_l == pytest.approx(
        24 + 17.5 + 72
    )


@given(cuts=st.lists(st.floats(0.5, 20), min_size=1, max_size=8))
def test_slices_of_one_box_are_the_box(cuts: list[float]) -> None:
    slabs = [(Size(60), Size(40), Size(depth)) for depth in cuts]
    box = found(true_volume("box", exact(length=60, width=40, depth=sum(cuts))))

    assert found(true_volume("slices", {}, slices=slabs)).volume_l == pytest.approx(box.volume_l)


def test_doubt_of_slices_is_one_option() -> None:
    slabs = [(Size(60, 1), Size(40, 1), Size(10, 1)), (Size(70, 1), Size(50, 1), Size(5, 1))]
    answer = found(true_volume("slices", {}, Inside(displaced_l=Size(2, 1.0)), slices=slabs))

    assert answer.doubt_from == "slice"
