"""Sizes no keeper measured: an answer in order, a problem or a refusal, never an error."""

from __future__ import annotations

import math
import random
from typing import Any

import pytest

from intake.science.problem import Problem, Refused
from intake.science.spread import Size
from intake.science.volume import SHAPES, Inside, Lists, Shape, at_depth, plain_l, true_volume
from tests.science.vessels import found, refused

LISTED = ("depths", "points", "slice", "table", "sides")


def _size(draw: random.Random) -> Size:
    usual = [draw.uniform(20, 100)] * 9
    value = draw.choice([*usual, 10 ** draw.uniform(-9, 7), 0, 1, 1e7, 5e-324])
    half = draw.choice(
        [0, value * 0.02, value * draw.uniform(0, 3), 0.5, 10 ** draw.uniform(-9, 6)]
    )
    return Size(value, half)


def _sizes(shape: Shape, draw: random.Random) -> dict[str, Size]:
    own = [s for s in shape.sizes if s.name not in LISTED]
    sizes = {s.name: _size(draw) for s in own if s.required or draw.random() < 0.4}
    if "diameter" in sizes and "girth" in sizes:
        del sizes["girth"]
    return sizes


def _lists(shape: Shape, sizes: dict[str, Size], draw: random.Random) -> Lists:
    more: dict[str, Any] = {}
    if shape.size("depths") is not None and "depth" not in sizes:
        more["depths"] = [_size(draw) for _ in range(draw.randint(1, 5))]
    if shape.name == "polygon":
        more["sides"] = draw.randint(2, 101)
    if shape.name == "outline":
        reach, n = _size(draw).value, draw.randint(3, 8)
        more["points"] = [
            (
                Size(reach * math.cos(k), 0.5),
                Size(reach * math.sin(k), draw.choice([0, 0.5, reach])),
            )
            for k in (math.tau * k / n for k in range(n))
        ]
    if shape.name == "slices":
        more["slices"] = [(_size(draw), _size(draw), _size(draw)) for _ in range(3)]
    if shape.name == "levels":
        depths = [draw.uniform(0.001, 3) * k for k in range(1, 5)]
        more["levels"] = [
            (Size(d, draw.choice([0, 0.5, d])), Size(d * 5, draw.choice([0, d, 50])))
            for d in depths
        ]
    if shape.name == "by-salt" and draw.random() < 0.5:
        more["salt_readings"] = "salt"
    return more  # type: ignore[return-value]


@pytest.mark.parametrize("name", list(SHAPES))
def test_nothing_breaks_whatever_the_sizes(name: str) -> None:
    draw = random.Random(f"odd {name}")
    shape, answered = SHAPES[name], 0
    for _ in range(400):
        sizes = _sizes(shape, draw)
        more = _lists(shape, sizes, draw)
        things = draw.random() < 0.2
        inside = Inside(gravel_l=_size(draw), rock_g=_size(draw)) if things else Inside()
        try:
            if shape.family == "gauge" or draw.random() < 0.6:
                answer = true_volume(name, sizes, inside, **more)
            else:
                answer = at_depth(name, sizes, _size(draw), inside, **more)
        except Refused:
            continue
        if isinstance(answer, Problem):
            assert answer.text
            assert len(answer.text) < 200
            continue
        answered += 1
        assert 0 <= answer.low_l <= answer.volume_l <= answer.high_l < math.inf
        assert all(len(warn.text) < 200 for warn in answer.warnings)
    assert answered > 2


def test_marks_nearer_to_each_other_than_their_doubt() -> None:
    marks = [(Size(1, 3), Size(5, 1)), (Size(1.5, 3), Size(7, 1)), (Size(2, 3), Size(9, 1))]
    answer = found(true_volume("levels", {"depth": Size(2, 3)}, levels=marks))

    assert answer.volume_l == 9
    assert answer.low_l < 9 < answer.high_l


def test_a_doubt_as_large_as_the_water_is_said_in_words() -> None:
    sizes = {"length": Size(60), "width": Size(45), "depth": Size(3, 9)}
    answer = found(true_volume("box", sizes))

    assert "its doubt is as large as the water itself: measure by filling" in [
        warn.text for warn in answer.warnings
    ]


def test_gravel_is_held_against_the_vessel_by_its_bulk() -> None:
    # 110 L of gravel is 68 L of stone: less than the 72 L of the vessel, but it does not go in.
    sizes = {"length": Size(60), "width": Size(40), "depth": Size(30)}
    problem = refused(true_volume("box", sizes, Inside(gravel_l=Size(110))))

    assert (problem.code, problem.path) == ("out-of-range", "--gravel")
    assert found(true_volume("box", sizes, Inside(gravel_l=Size(72)))).volume_l > 0
    # A line that has fallen under the top of the gravel is no mistake in its bulk.
    low = found(at_depth("box", sizes, Size(20), Inside(gravel_l=Size(60))))
    assert low.volume_l == pytest.approx(48 - 60 * 0.62)


def test_water_without_its_doubt_is_the_same_water() -> None:
    sizes = {"length": Size(60, 1), "width": Size(40, 1), "depth": Size(30, 1)}
    sizes |= {"floor_length": Size(50, 1)}
    inside = Inside(gravel_l=Size(9, 1))
    for depth in (30.0, 12.0, 0.1, 0.0, 41.0):
        whole = at_depth("box", sizes, Size(depth, 1), inside, height=Size(40))
        plain = plain_l("box", sizes, Size(depth, 1), inside, height=Size(40))
        assert plain == (whole if isinstance(whole, Problem) else whole.volume_l)
