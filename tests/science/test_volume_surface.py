"""The size of the water's surface at any depth, held against triangles, chords and the water."""

from __future__ import annotations

from math import pi, sqrt

import pytest

from intake.science.spread import Size
from intake.science.volume import SHAPES, at_depth, true_volume, waterline_cm
from intake.science.volume.answer import TrueVolume

TAPERED = {
    "length": 152.0,
    "width": 76.0,
    "floor_length": 128.0,
    "floor_width": 60.0,
    "depth": 46.0,
}
BULGED = {"diameter": 100.0, "middle_diameter": 120.0, "floor_diameter": 90.0, "depth": 40.0}


@pytest.mark.parametrize("depth", [0.0, 11.5, 23.0, 36.8, 46.0, 50.0])
def test_leaning_walls_by_similar_triangles(depth: float) -> None:
    found = waterline_cm("racetrack", TAPERED, depth)
    assert found["length"] == pytest.approx(128 + (152 - 128) * depth / 46)
    assert found["width"] == pytest.approx(60 + (76 - 60) * depth / 46)


def test_a_bulge_goes_through_all_three_sizes_taken() -> None:
    for depth, across in ((0.0, 90.0), (20.0, 120.0), (40.0, 100.0)):
        assert waterline_cm("round", BULGED, depth) == {"diameter": pytest.approx(across)}


def test_a_girth_is_told_as_the_way_across() -> None:
    assert waterline_cm("round", {"girth": 300.0, "depth": 30.0}, 10.0)["diameter"] == (
        pytest.approx(300 / pi)
    )


def test_a_bowl_and_a_drum_by_pythagoras() -> None:
    """Radius 30, 12 cm deep: 18 under the middle, half the chord sqrt(900 - 324) = 24."""
    bowl = {"diameter": 60.0, "depth": 40.0}
    assert waterline_cm("bowl", bowl, 12.0) == {"diameter": pytest.approx(48.0)}
    drum = {**bowl, "length": 90.0}
    assert waterline_cm("drum", drum, 12.0) == {"length": 90.0, "width": pytest.approx(48.0)}
    assert waterline_cm("drum", drum, 30.0)["width"] == pytest.approx(60.0)


def test_a_stack_has_the_box_the_line_is_in() -> None:
    stack = {
        "slice.1.length": 60.0, "slice.1.width": 40.0, "slice.1.depth": 10.0,
        "slice.2.length": 70.0, "slice.2.width": 50.0, "slice.2.depth": 10.0,
    }  # fmt: skip
    assert waterline_cm("slices", stack, 9.0) == {"length": 60.0, "width": 40.0}
    assert waterline_cm("slices", stack, 10.1) == {"length": 70.0, "width": 50.0}
    assert waterline_cm("slices", stack, 25.0) == {"length": 70.0, "width": 50.0}


def test_over_a_sloping_floor_the_depth_is_read_at_its_deepest() -> None:
    sizes = {"length": 100.0, "width": 50.0, "floor_length": 80.0, "depths.1": 30.0}
    found = waterline_cm("box", {**sizes, "depths.2": 40.0}, 40.0)
    assert found == {"length": pytest.approx(100.0), "width": pytest.approx(50.0)}


@pytest.mark.parametrize("shape", ["levels", "metered", "flow", "by-salt"])
def test_what_knows_no_walls_has_no_surface(shape: str) -> None:
    assert waterline_cm(shape, {"depth": 10.0}, 5.0) == {}


@pytest.mark.parametrize("depth", [5.0, 20.0, 39.0])
def test_a_millimetre_more_is_as_much_water_as_the_surface_says(depth: float) -> None:
    """A leaning box: the water between two lines is the surface times their distance."""
    sizes = {n: Size(v) for n, v in TAPERED.items()}

    def litres(at: float) -> float:
        found = at_depth("box", sizes, Size(at))
        assert isinstance(found, TrueVolume)
        return found.volume_l

    surface = waterline_cm("box", TAPERED, depth)
    thin = litres(depth + 0.05) - litres(depth - 0.05)
    assert thin == pytest.approx(surface["length"] * surface["width"] * 0.1 / 1000, rel=1e-5)


def test_a_bowl_s_surface_is_the_slope_of_its_volume() -> None:
    sizes = {"diameter": Size(60.0), "depth": Size(40.0)}
    across = waterline_cm("bowl", {"diameter": 60.0, "depth": 40.0}, 20.0)["diameter"]
    near = [true_volume("bowl", {**sizes, "depth": Size(20 + d)}) for d in (-0.01, 0.01)]
    assert all(isinstance(v, TrueVolume) for v in near)
    slope = (near[1].volume_l - near[0].volume_l) / 0.02  # type: ignore[union-attr]
    assert across == pytest.approx(2 * sqrt(slope * 1000 / pi), rel=1e-6)


def test_every_shape_is_answered_or_empty() -> None:
    assert set(SHAPES) >= {"box", "bowl", "levels"}
    assert waterline_cm("oval", {"length": 120.0, "width": 70.0, "depth": 35.0}, 35.0) == {
        "length": pytest.approx(120.0),
        "width": pytest.approx(70.0),
    }
