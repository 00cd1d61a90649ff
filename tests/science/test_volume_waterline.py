from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.problem import Problem, Refused
from intake.science.spread import Size
from intake.science.volume import Inside, Lists, at_depth, true_volume, waterline
from tests.science.vessels import TAPERS, exact, found, refused, sides_of, tapered


def test_today_over_a_sloping_floor_is_read_at_the_deepest_point() -> None:
    depths = [Size(10), Size(42), Size(54)]
    sizes = exact(length=100, width=50)

    lower = found(at_depth("box", sizes, Size(50), depths=depths))
    dry = found(at_depth("box", sizes, Size(40), depths=depths))

    assert lower.volume_l == pytest.approx(100 * 50 * (6 + 38 + 50) / 3 / 1000)
    assert dry.volume_l == pytest.approx(100 * 50 * (0 + 28 + 40) / 3 / 1000)


def test_today_at_the_recorded_depth_is_the_recorded_volume() -> None:
    for shape, top, floor in TAPERS:
        sizes = tapered(shape, top, floor) | exact(depth=46)
        sides = sides_of(top)
        recorded = found(true_volume(shape, sizes, sides=sides))
        today = found(at_depth(shape, sizes, Size(46), sides=sides))
        assert today.volume_l == pytest.approx(recorded.volume_l)


@given(low=st.floats(1, 40), more=st.floats(0.01, 10), case=st.sampled_from(TAPERS))
def test_water_rises_with_its_line(
    low: float, more: float, case: tuple[str, dict[str, float], dict[str, float]]
) -> None:
    shape, top, floor = case
    sizes = tapered(shape, top, floor) | exact(depth=46)
    sides = sides_of(top)

    first = found(at_depth(shape, sizes, Size(low), sides=sides))
    second = found(at_depth(shape, sizes, Size(low + more), sides=sides))

    assert second.volume_l > first.volume_l


@pytest.mark.parametrize("seed", [5, 6])
def test_todays_doubt_covers_95_percent_of_draws(seed: int) -> None:
    sizes = {
        "length": Size(152, 1), "width": Size(76, 1), "depth": Size(46, 1),
        "floor_length": Size(128, 1), "floor_width": Size(60, 1),
    }  # fmt: skip
    today = Size(38, 1)
    answer = found(at_depth("racetrack", sizes, today))
    draw = random.Random(seed)
    hits = 0
    for _ in range(2_000):
        drawn = {n: Size(draw.gauss(s.value, s.half / 1.959964)) for n, s in sizes.items()}
        line = Size(draw.gauss(today.value, today.half / 1.959964))
        volume_l = found(at_depth("racetrack", drawn, line)).volume_l
        hits += answer.low_l <= volume_l <= answer.high_l

    assert 0.935 <= hits / 2_000 <= 0.98
    assert answer.doubt_from == "depth"


def test_marks_on_the_tape_follow_the_walls() -> None:
    sizes = exact(diameter=100, floor_diameter=72, depth=46)
    tape = waterline("round", sizes, 50.0, step_cm=2.0)

    assert not isinstance(tape, Problem)
    assert [depth for depth, _ in tape][:3] == [2.0, 4.0, 6.0]
    assert tape[-1][0] == 50.0
    for depth, litres in tape:
        assert litres == pytest.approx(found(at_depth("round", sizes, Size(depth))).volume_l)
    under = waterline("round", sizes, 50.0, Inside(displaced_l=Size(30)), step_cm=2.0)
    assert not isinstance(under, Problem)
    assert under[0][1] == 0.0
    assert under[-1][1] == pytest.approx(tape[-1][1] - 30)


@pytest.mark.parametrize("shape", ["metered", "flow", "by-salt"])
def test_a_gauged_volume_knows_no_other_waterline(shape: str) -> None:
    with pytest.raises(Refused) as caught:
        at_depth(shape, {}, Size(30))
    assert caught.value.code == "volume-unknown"


def test_no_depth_above_the_wall() -> None:
    sizes = exact(length=60, width=40, depth=30)
    wall: Lists = {"height": Size(35)}

    assert found(true_volume("box", sizes, **wall)).volume_l == pytest.approx(72)
    assert found(at_depth("box", sizes, Size(35), **wall)).volume_l == pytest.approx(84)
    over = refused(at_depth("box", sizes, Size(35.1), **wall))
    assert (over.code, over.path) == ("out-of-range", "--depth")
    assert "35 cm" in over.text
    tall = refused(true_volume("box", sizes, height=Size(29)))
    assert tall.code == "out-of-range"
    slope = refused(
        true_volume(
            "box", exact(length=60, width=40), depths=[Size(20), Size(36)], height=Size(35)
        )
    )
    assert slope.code == "out-of-range"
    slabs = [(Size(60), Size(40), Size(20)), (Size(60), Size(40), Size(20))]
    assert refused(true_volume("slices", {}, slices=slabs, height=Size(35))).code == "out-of-range"


def test_walls_that_would_meet_are_no_vessel() -> None:
    lean_in = exact(diameter=20, floor_diameter=80, depth=30)
    pinched = exact(diameter=100, middle_diameter=5, floor_diameter=20, depth=30)

    # Areas as 9, 1, 1 from the floor up: 9 - 24 t + 16 t^2 touches 0 at three quarters.
    touching = exact(diameter=10, middle_diameter=10.01, floor_diameter=30, depth=30)
    crossing = exact(diameter=10, middle_diameter=9.99, floor_diameter=30, depth=30)

    assert refused(at_depth("round", pinched, Size(30))).code == "out-of-range"
    assert found(true_volume("round", touching)).volume_l > 0
    assert refused(true_volume("round", crossing)).code == "out-of-range"
    assert found(at_depth("round", lean_in, Size(39))).volume_l > 0
