from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.spread import Size
from intake.science.volume import Inside, Lists, at_depth, true_volume
from tests.science.vessels import exact, found, refused

Corners = list[tuple[float, float]]
L_SIZES = {"length": 120.0, "width": 90.0, "cut_length": 50.0, "cut_width": 35.0, "depth": 30.0}


def _points(corners: Corners) -> list[tuple[Size, Size]]:
    return [(Size(x), Size(y)) for x, y in corners]


@pytest.mark.parametrize(
    "corners",
    [
        [(0, 0), (60, 40), (60, 0), (0, 40)],  # a bow tie
        [(0, 0), (60, 0), (60, 40), (30, 0), (0, 40)],  # a corner on another edge
        [(0, 0), (60, 0), (60, 40), (60, 0), (0, 40)],  # a corner twice
        [(0, 0), (60, 0), (60, 0), (0, 40)],  # the same corner in a row
        [(0, 0), (60, 0), (30, 0)],  # all on one line
        [(0, 0), (60, 0), (30, 0), (30, 40)],  # folds back on itself
        [(0, 0), (60, 0), (60, 40), (0, 0.1), (70, 30)],
        [(0, 0), (60, 0), (60, 40), (30, -5), (0, 40), (-20, 20)],  # third edge over the first
        [(0, 0), (60, 0), (60, 40), (-20, 10), (20, 60), (0, 50)],  # last over a middle one
        [(0, 0), (60, 0)],
        [(0.1, 0.1), (0.7, 0.1), (0.7, 0.5), (0.4, 0.1), (0.1, 0.5)],  # not exact in binary
    ],
)
def test_an_outline_that_crosses_or_touches_itself_is_refused(corners: Corners) -> None:
    for turned in (corners, corners[::-1], corners[1:] + corners[:1]):
        problem = refused(true_volume("outline", exact(depth=30), points=_points(turned)))
        assert (problem.code, problem.path) == ("out-of-range", "--points")


def test_too_many_corners_are_refused() -> None:
    ring = [
        (math.cos(k / 101 * math.tau) * 50, math.sin(k / 101 * math.tau) * 50) for k in range(101)
    ]

    assert refused(true_volume("outline", exact(depth=30), points=_points(ring))).path
    assert found(true_volume("outline", exact(depth=30), points=_points(ring[:100])))


@given(
    st.lists(st.floats(20, 80), min_size=3, max_size=12),
    st.floats(0, 6.2),
    st.floats(-500, 500),
)
def test_a_star_seen_from_its_middle_never_crosses(
    reach: list[float], turn: float, off: float
) -> None:
    n = len(reach)
    corners = [
        (r * math.cos(turn + k / n * math.tau) + off, r * math.sin(turn + k / n * math.tau) - off)
        for k, r in enumerate(reach)
    ]
    area = sum(
        a * b * math.sin(math.tau / n) / 2
        for a, b in zip(reach, reach[1:] + reach[:1], strict=True)
    )
    answer = found(true_volume("outline", exact(depth=10), points=_points(corners)))

    assert answer.volume_l == pytest.approx(area / 100, rel=1e-6)


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"cut_length": 120.0}, "--cut-length"),
        ({"cut_width": 90.0}, "--cut-width"),
        ({"cut_length": 200.0}, "--cut-length"),
        ({"floor_length": 50.0}, "--cut-length"),
        ({"middle_width": 30.0}, "--cut-width"),
    ],
)
def test_a_missing_corner_larger_than_the_whole_is_refused(
    change: dict[str, float], path: str
) -> None:
    problem = refused(true_volume("lshape", exact(**{**L_SIZES, **change})))

    assert (problem.code, problem.path) == ("out-of-range", path)


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"length": 70.0}, "--length"),
        ({"floor_length": 60.0}, "--floor-length"),
        ({"middle_width": 153.0}, "--middle-length"),
    ],
)
def test_a_racetrack_wider_than_long_is_to_be_swapped(change: dict[str, float], path: str) -> None:
    sizes = {"length": 152.0, "width": 76.0, "depth": 40.0, **change}
    problem = refused(true_volume("racetrack", exact(**sizes)))

    assert (problem.code, problem.path) == ("out-of-range", path)
    assert "swap" in problem.hint


@pytest.mark.parametrize("shape", ["drum", "bowl"])
def test_deeper_than_the_vessel_is_refused(shape: str) -> None:
    extra = {"length": 80.0} if shape == "drum" else {}
    full = exact(diameter=58, depth=58, **extra)

    assert found(true_volume(shape, full))
    over = refused(true_volume(shape, full | exact(depth=58.01)))
    assert (over.code, over.path) == ("out-of-range", "--depth")
    assert refused(at_depth(shape, full, Size(58.01))).code == "out-of-range"


def test_a_bow_is_at_most_a_half_circle() -> None:
    assert found(true_volume("bow", exact(length=90, width=40, bow=45, depth=30)))
    over = refused(true_volume("bow", exact(length=90, width=40, bow=45.1, depth=30)))
    assert over.path == "--bow"


def test_three_sides_and_the_largest_size_are_read() -> None:
    # A triangle of inner radius r covers 3 sqrt(3) r^2.
    triangle = found(true_volume("polygon", exact(across=60, depth=30), sides=3))
    strip = found(true_volume("box", exact(length=1e7, width=1, depth=1)))

    assert triangle.volume_l == pytest.approx(3 * math.sqrt(3) * 30**2 * 30 / 1000)
    assert strip.volume_l == pytest.approx(1e4)


def test_a_volume_that_rounds_to_0_is_refused() -> None:
    drop = refused(true_volume("box", exact(length=1e-3, width=1e-3, depth=1e-3)))
    none = refused(true_volume("box", exact(length=1e-150, width=1e-150, depth=1e-150)))

    assert (drop.code, none.code) == ("out-of-range", "out-of-range")
    assert drop.text == "the volume is under a drop"
    assert none.text == "length is too small to be a size"


@pytest.mark.parametrize("sides", [-1, 0, 1, 2, 101])
def test_a_polygon_has_three_sides_or_more(sides: int) -> None:
    problem = refused(true_volume("polygon", exact(across=60, depth=30), sides=sides))

    assert (problem.code, problem.path) == ("out-of-range", "--sides")


@pytest.mark.parametrize(
    ("value", "code"),
    [
        (0.0, "out-of-range"),
        (-60.0, "out-of-range"),
        (1.1e7, "out-of-range"),
        (math.nan, "not-a-number"),
        (math.inf, "not-a-number"),
    ],
)
@pytest.mark.parametrize("name", ["length", "width", "depth"])
def test_no_size_of_0_or_below_or_no_number(name: str, value: float, code: str) -> None:
    sizes = {"length": 60.0, "width": 40.0, "depth": 30.0, name: value}
    problem = refused(true_volume("box", exact(**sizes)))

    assert (problem.code, problem.path) == (code, f"--{name}")


@pytest.mark.parametrize("half", [-0.1, math.nan, math.inf])
def test_no_doubt_below_0_or_no_number(half: float) -> None:
    sizes = exact(length=60, width=40) | {"depth": Size(30, half)}

    assert refused(true_volume("box", sizes)).path == "--depth"


def test_lists_are_checked_too() -> None:
    box = exact(length=60, width=40)
    cases: list[tuple[str, dict[str, Size], Lists, str]] = [
        ("box", box, {"depths": [Size(30), Size(0)]}, "--depths"),
        ("slices", {}, {"slices": [(Size(60), Size(40), Size(-1))]}, "--slice"),
        (
            "outline",
            exact(depth=3),
            {"points": _points([(0, 0), (math.nan, 0), (1, 1)])},
            "--points",
        ),
        ("outline", exact(depth=3), {"points": _points([(0, 0), (9e9, 0), (1, 1)])}, "--points"),
        (
            "levels",
            exact(depth=3),
            {"levels": [(Size(-1), Size(2)), (Size(9), Size(9))]},
            "--table",
        ),
    ]
    for shape, sizes, more, path in cases:
        assert refused(true_volume(shape, sizes, **more)).path == path


@pytest.mark.parametrize(
    ("inside", "path"),
    [
        (Inside(gravel_l=Size(-1)), "--gravel"),
        (Inside(gravel_l=Size(1), void=Size(1.0)), "--void"),
        (Inside(gravel_l=Size(1), void=Size(-0.1)), "--void"),
        (Inside(rock_g=Size(1), rock_density_g_ml=Size(0)), "--rock-density"),
        (Inside(displaced_l=Size(math.nan)), "--displaced"),
        (Inside(connected_l=Size(-5)), "--connected"),
    ],
)
def test_what_is_inside_is_checked(inside: Inside, path: str) -> None:
    sizes = exact(length=60, width=40, depth=30)

    assert refused(true_volume("box", sizes, inside)).path == path


def test_void_of_no_gravel_is_nobodys_business() -> None:
    sizes = exact(length=60, width=40, depth=30)
    answer = found(true_volume("box", sizes, Inside(gravel_l=Size(0), void=Size(0))))

    assert answer.volume_l == pytest.approx(72)


@pytest.mark.parametrize(
    ("shape", "sizes", "more", "code"),
    [
        ("tub", {}, {}, "no-such-name"),
        ("box", exact(length=60, depth=30), {}, "wrong-kind"),
        ("box", exact(length=60, width=40), {}, "wrong-kind"),
        ("box", exact(length=60, width=40, depth=30, girth=9), {}, "no-such-name"),
        ("box", exact(length=60, width=40, depth=30, height=9), {}, "no-such-name"),
        ("box", exact(length=60, width=40, depth=30), {"sides": 4}, "no-such-name"),
        ("box", exact(length=60, width=40, depth=30), {"depths": [Size(3)]}, "wrong-kind"),
        ("round", exact(depth=30), {}, "wrong-kind"),
        ("round", exact(depth=30, diameter=50, girth=157), {}, "wrong-kind"),
        ("polygon", exact(across=60, depth=30), {}, "wrong-kind"),
        ("outline", exact(depth=30), {}, "wrong-kind"),
        ("slices", {}, {}, "wrong-kind"),
        ("levels", exact(depth=10), {}, "wrong-kind"),
        ("metered", exact(bucket=10), {}, "wrong-kind"),
        ("drum", exact(diameter=58, length=80, depth=9), {"depths": [Size(3)]}, "no-such-name"),
    ],
)
def test_sizes_that_do_not_fit_the_shape(
    shape: str, sizes: dict[str, Size], more: Lists, code: str
) -> None:
    problem = refused(true_volume(shape, sizes, **more))

    assert problem.code == code
    assert problem.text


def test_what_is_missing_is_named_with_how_to_measure_it() -> None:
    problem = refused(true_volume("round", exact(depth=30)))

    assert "diameter or girth" in problem.text
    assert "across" in problem.hint
    assert problem.path == "--diameter"
