"""Solids against points thrown into the box around them, and what no formula may change."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from intake.science.spread import Size
from intake.science.volume import Inside, Lists, TrueVolume, at_depth, true_volume
from tests.science.solids import LEANS, drawn
from tests.science.test_volume_solids import asked
from tests.science.vessels import exact, found

THROWN = 200_000
Array = Any


def _tapered_track(x: Array, y: Array, z: Array) -> Array:
    """128 x 60 cm at the floor, 152 x 76 cm at 46 cm; half-round ends."""
    long, wide = 128 + 24 * z / 46, 60 + 16 * z / 46
    past = np.maximum(np.abs(x) - (long - wide) / 2, 0)
    return past**2 + y**2 <= (wide / 2) ** 2


def _tapered_l(x: Array, y: Array, z: Array) -> Array:
    """112 x 82 cm at the floor, 120 x 90 cm at 30 cm, 50 x 35 cm missing all the way down."""
    long, wide = 112 + 8 * z / 30, 82 + 8 * z / 30
    across, along = x + 60, y + 45
    return (across <= long) & (along <= wide) & ((across <= long - 50) | (along <= wide - 35))


def _drum(x: Array, y: Array, z: Array) -> Array:
    return y**2 + (z - 29) ** 2 <= 29**2


def _bowl(x: Array, y: Array, z: Array) -> Array:
    return x**2 + y**2 + (z - 15) ** 2 <= 15**2


def _bow(x: Array, y: Array, z: Array) -> Array:
    """91 x 38 cm with 12 cm more in the middle, the arc through (45.5, 38) and (0, 50)."""
    radius = (45.5**2 + 12**2) / 24
    return (y + 25 <= 38) | (x**2 + (y + 25 - (50 - radius)) ** 2 <= radius**2)


def _house(x: Array, y: Array, z: Array) -> Array:
    """A gable 60 to 90 cm over 120 cm; drawn in to 90 x 60 cm at the floor, 40 cm below."""
    share_x, share_y = (90 + 30 * z / 40) / 120, (60 + 30 * z / 40) / 90
    along, across = (x + 60) / share_x, (y + 45) / share_y
    return (along <= 120) & (across <= 90 - 30 * np.abs(along - 60) / 60)


HOUSE: Lists = {
    "points": [(Size(x), Size(y)) for x, y in ((0, 0), (120, 0), (120, 60), (60, 90), (0, 60))]
}
SOLIDS: list[
    tuple[
        Callable[[Array, Array, Array], Array],
        tuple[float, float, float],
        str,
        dict[str, Size],
        Lists,
    ]
] = [
    (
        _tapered_track,
        (152, 76, 46),
        "racetrack",
        exact(length=152, width=76, floor_length=128, floor_width=60, depth=46),
        {},
    ),
    (
        _tapered_l,
        (120, 90, 30),
        "lshape",
        exact(
            length=120,
            width=90,
            cut_length=50,
            cut_width=35,
            floor_length=112,
            floor_width=82,
            depth=30,
        ),
        {},
    ),
    (_drum, (88, 58, 41), "drum", exact(diameter=58, length=88, depth=41), {}),
    (_bowl, (30, 30, 22), "bowl", exact(diameter=30, depth=22), {}),
    (_bow, (91, 50, 45), "bow", exact(length=91, width=38, bow=12, depth=45), {}),
    (_house, (120, 90, 40), "outline", exact(depth=40, floor_length=90, floor_width=60), HOUSE),
]


@pytest.mark.parametrize(("inside", "around", "shape", "sizes", "more"), SOLIDS)
def test_solids_against_points_thrown_at_them(
    inside: Callable[[Array, Array, Array], Array],
    around: tuple[float, float, float],
    shape: str,
    sizes: dict[str, Size],
    more: Lists,
) -> None:
    throw = np.random.default_rng(3)
    long, wide, deep = around
    x = throw.uniform(-long / 2, long / 2, THROWN)
    y = throw.uniform(-wide / 2, wide / 2, THROWN)
    hit = float(np.mean(inside(x, y, throw.uniform(0, deep, THROWN))))
    box_l = long * wide * deep / 1000
    error_l = box_l * math.sqrt(hit * (1 - hit) / THROWN)

    answer = found(true_volume(shape, sizes, **more))

    assert abs(answer.volume_l - hit * box_l) <= 4 * error_l
    assert error_l < 0.002 * answer.volume_l


def _vessels(scale: float = 1.0) -> list[tuple[str, dict[str, Size], Lists]]:
    """One vessel of every plan shape, leaning and then bulging, all of it times `scale`."""
    vessels = []
    for n, shape in enumerate(LEANS):
        for middle in (False, True):
            solid = drawn(shape, random.Random(n))
            solid.floor = {name: solid.top[name] * 0.8 * scale for name in LEANS[shape]}
            solid.middle = {
                name: solid.top[name] * 0.97 * scale for name in LEANS[shape] if middle
            }
            solid.top = {k: v if k == "sides" else v * scale for k, v in solid.top.items()}
            solid.corners = [(x * scale, y * scale) for x, y in solid.corners]
            sizes, more = asked(solid, random.Random(n))
            vessels.append((shape, sizes | exact(depth=solid.depth * scale), more))
    return vessels


@pytest.mark.parametrize("scale", [0.1, 0.7, 2.0, 7.0])
def test_every_size_times_k_is_k_cubed_the_water(scale: float) -> None:
    for (shape, sizes, more), (_, larger, also) in zip(_vessels(), _vessels(scale), strict=True):
        small_l = found(true_volume(shape, sizes, **more)).volume_l
        large_l = found(true_volume(shape, larger, **also)).volume_l
        assert large_l == pytest.approx(small_l * scale**3, rel=1e-9)


@pytest.mark.parametrize("shape", ["box", "oval", "lshape"])
def test_length_and_width_change_places(shape: str) -> None:
    # A bow is not alike both ways; a racetrack wider than long is asked about.
    names = {"length": "width", "width": "length", "cut_length": "cut_width"}
    names |= {"cut_width": "cut_length", "floor_length": "floor_width"}
    names |= {"floor_width": "floor_length"}
    solid = drawn(shape, random.Random(shape))
    sizes, more = asked(solid, random.Random(1))
    sizes |= exact(floor_length=solid.top["length"] * 0.9, floor_width=solid.top["width"] * 0.8)
    turned = {names[name]: size for name, size in sizes.items()}

    first = found(true_volume(shape, sizes | exact(depth=40), **more))
    second = found(true_volume(shape, turned | exact(depth=40), **more))

    assert first.volume_l == pytest.approx(second.volume_l, rel=1e-12)


def test_an_outline_turned_moved_or_walked_the_other_way_is_the_same() -> None:
    solid = drawn("outline", random.Random("turned"))
    answers = []
    for turn, off, way in ((0.0, 0.0, 1), (1.1, -4000.0, 1), (2.7, 350.0, -1)):
        cos, sin = math.cos(turn), math.sin(turn)
        corners = [(x * cos - y * sin + off, x * sin + y * cos - off) for x, y in solid.corners]
        points = [(Size(x), Size(y)) for x, y in corners[::way]]
        answers.append(found(true_volume("outline", exact(depth=30), points=points)).volume_l)

    assert answers == pytest.approx([answers[0]] * 3, rel=1e-9)


def test_layers_of_one_vessel_add_up() -> None:
    for shape, sizes, more in _vessels():
        deep = sizes["depth"].value
        lines = [deep * k / 7 for k in range(1, 8)]
        full = [found(at_depth(shape, sizes, Size(line), **more)).volume_l for line in lines]
        layers = [b - a for a, b in zip([0.0, *full], full, strict=False)]
        assert all(layer > 0 for layer in layers)
        assert sum(layers) == pytest.approx(found(true_volume(shape, sizes, **more)).volume_l)


def test_a_middle_on_the_straight_line_is_a_lean() -> None:
    for shape, sizes, more in _vessels():
        floors = [name for name in sizes if name.startswith("floor_")]
        straight = {n: s for n, s in sizes.items() if not n.startswith("middle_")}
        top = {"diameter": "across"} if shape == "polygon" else {}
        halves = {}
        for name in floors:
            stem = name.removeprefix("floor_")
            at_top = _at_top(sizes, more, top.get(stem, stem))
            halves[f"middle_{stem}"] = Size((sizes[name].value + at_top) / 2)
        lean = found(true_volume(shape, straight, **more))
        same = found(true_volume(shape, straight | halves, **more))
        assert same.volume_l == pytest.approx(lean.volume_l, rel=1e-12)


def _at_top(sizes: dict[str, Size], more: Lists, name: str) -> float:
    if name in sizes:
        return sizes[name].value
    if name == "diameter":
        return sizes["girth"].value / math.pi
    along = [corner[("length", "width").index(name)].value for corner in more["points"]]
    return max(along) - min(along)


def test_gravel_and_water_fill_the_vessel_and_the_value_lies_between_its_ends() -> None:
    draw = random.Random("things")
    for shape, sizes, more in _vessels():
        doubtful = {name: Size(size.value, 0.5) for name, size in sizes.items()}
        bulk, void = draw.uniform(0.1, 3), draw.uniform(0.2, 0.5)
        answer: TrueVolume = found(
            true_volume(shape, doubtful, Inside(gravel_l=Size(bulk), void=Size(void)), **more)
        )
        stones_l = bulk * (1 - void)
        assert answer.volume_l + stones_l == pytest.approx(answer.gross_l, rel=1e-12)
        assert answer.displaced_l == pytest.approx(stones_l)
        assert 0 <= answer.low_l < answer.volume_l < answer.high_l
