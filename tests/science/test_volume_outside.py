"""Sizes taken outside the walls, and the sizes and figures of the trade."""

from __future__ import annotations

from math import pi

import pytest

from intake.science.problem import Problem
from intake.science.spread import Size
from intake.science.volume import INSIDE, SHAPES, TrueVolume, true_volume
from intake.science.volume.how_to import how_to
from intake.science.volume.trade import RING_POOLS, STOCK_TANKS, TANKS, brim_us_gal

US_GAL_CM3 = 231 * 2.54**3
"""231 cubic inches, by definition."""


def volume(shape: str, **cm: float) -> TrueVolume:
    found = true_volume(shape, {name: Size(v, 0.1) for name, v in cm.items()})
    assert isinstance(found, TrueVolume)
    return found


@pytest.mark.parametrize(
    ("shape", "outside", "inside"),
    [
        ("box", {"length": 100, "width": 50, "floor_width": 40},
         {"length": 98, "width": 48, "floor_width": 38}),
        ("round", {"girth": 300}, {"girth": 300 - 2 * pi}),
        ("round", {"diameter": 90, "middle_diameter": 95},
         {"diameter": 88, "middle_diameter": 93}),
        ("lshape", {"length": 100, "width": 80, "cut_length": 40, "cut_width": 30},
         {"length": 98, "width": 78, "cut_length": 40, "cut_width": 30}),
        ("drum", {"diameter": 60, "length": 90}, {"diameter": 58, "length": 88}),
        ("bowl", {"diameter": 60}, {"diameter": 58}),
    ],
)  # fmt: skip
def test_a_wall_is_taken_off_at_both_ends_and_never_of_the_depth(
    shape: str, outside: dict[str, float], inside: dict[str, float]
) -> None:
    walled = volume(shape, **outside, wall=1.0, depth=30)
    bare = volume(shape, **inside, depth=30)
    assert walled.volume_l == pytest.approx(bare.volume_l, rel=1e-12)
    as_read = volume(shape, **outside, depth=30).volume_l
    more = f"{(as_read / bare.volume_l - 1) * 100:.0f} % more"
    assert any(more in said for said in walled.assumptions)


def test_an_l_shape_outside_is_the_difference_of_the_two_boxes_inside() -> None:
    # 100 x 80 outside less a corner of 40 x 30: arms of 60 x 80 and 40 x 50 outside. Inside, with
    # walls of 1: the arm 58 x 78, and the short one 40 x 48 on from it.
    assert volume(
        "lshape", length=100, width=80, cut_length=40, cut_width=30, wall=1, depth=10
    ).volume_l == pytest.approx((58 * 78 + 40 * 48) * 10 / 1000)


def test_a_wall_moves_all_sizes_together_so_its_doubt_does_not_average_out() -> None:
    sizes = {"length": Size(100), "width": Size(50), "depth": Size(40), "wall": Size(1, 0.2)}
    found = true_volume("box", sizes)
    assert isinstance(found, TrueVolume)
    both_ways = [(100 - 2 * w) * (50 - 2 * w) * 40 / 1000 for w in (0.8, 1.2)]
    assert found.high_l - found.low_l == pytest.approx(both_ways[0] - both_ways[1], rel=1e-6)
    assert found.doubt_from == "wall"


def test_walls_that_leave_nothing_are_told_at_the_wall() -> None:
    sizes = {n: Size(v) for n, v in (("length", 60), ("width", 40), ("depth", 30), ("wall", 20))}
    found = true_volume("box", sizes)
    assert isinstance(found, Problem)
    assert (found.code, found.path) == ("out-of-range", "--wall")


ESTIMATED = {
    "10": 8.0, "20 long": 14.7, "20 high": 16.4, "29": 23.5, "40 breeder": 37.7,
    "55": 47.6, "75": 67.0, "90": 77.6, "120": 104.6,
}  # fmt: skip
"""Water [US gal] in glass of 1/4 in under 50 US gal, else 3/8, floor 0.5 in, filled to 1.5 in
below the top: worked out by hand from the dimension tables of several retailers."""


@pytest.mark.parametrize("name", ESTIMATED)
def test_tanks_as_sold_hold_less_than_they_are_sold_as(name: str) -> None:
    tank = TANKS[name]
    glass_in = float(tank.usual_glass.removesuffix(" in"))
    cm = {"length": tank.length_in, "width": tank.width_in, "wall": glass_in}
    depth_in = tank.height_in - 0.5 - 1.5
    sizes = {n: Size(v * 2.54) for n, v in {**cm, "depth": depth_in}.items()}
    found = true_volume("box", sizes)
    assert isinstance(found, TrueVolume)
    water_gal = found.volume_l * 1000 / US_GAL_CM3
    assert water_gal == pytest.approx(ESTIMATED[name], abs=0.06)
    assert water_gal < 0.95 * tank.sold_us_gal


def test_stock_tanks_and_ring_pools_are_not_the_cylinder() -> None:
    brims = [round(brim_us_gal(p)) for p in (*STOCK_TANKS, *RING_POOLS)]
    assert brims == [188, 423, 752, 1175, 940, 1469, 2115, 2538, 3966, 4627, 5288, 7614]
    assert all(0.85 <= p.us_gal[0] / brim_us_gal(p) <= 0.96 for p in STOCK_TANKS)
    assert all(0.68 <= p.us_gal[0] / brim_us_gal(p) <= 0.725 for p in RING_POOLS)


def test_every_size_of_every_shape_says_how_it_is_measured() -> None:
    for shape in SHAPES.values():
        for spec in (*shape.sizes, *INSIDE):
            said = how_to(shape.name, spec.name)
            assert said.endswith(".")
            assert 40 < len(said) < 330
