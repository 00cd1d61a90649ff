"""A vessel's outlines from its sizes: cut along its length, and seen from above."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import asin, cos, pi, sin, sqrt

from intake.science.volume.outline import corners, extent
from intake.science.volume.plan import sections

Values = Mapping[str, float]
Points = tuple[tuple[float, float], ...]

STEPS = 24
"""Straight pieces a round wall is drawn with."""
NARROWEST_CM = 0.1
"""Walls that lean together are drawn no closer than this [cm]."""
_UNASKED = {"width": 1.0, "bow": 0.0, "cut_length": 0.0, "cut_width": 0.0, "sides": 4.0}
"""Stands in for sizes that do not show in a cut along the length."""


def deepest_cm(values: Values) -> float | None:
    """The depth the sizes were taken at [cm], at the deepest point; None where there is none."""
    several = [v for name, v in values.items() if name.startswith("depths.")]
    return max(several) if several else values.get("depth")


def side_outline(shape: str, values: Values, rim_cm: float) -> Points:
    """(height, width) pairs [cm] from the floor to the rim; empty where sizes are missing.

    A drum is cut across, where it is round; everything else along its length.
    """
    if shape in ("bowl", "drum"):
        return _ball(values, rim_cm) if "diameter" in values else ()
    if shape == "slices":
        return _stacked(values, rim_cm)
    deep = deepest_cm(values)
    if deep is None or not deep or not _has_length(shape, values):
        return ()
    level = _levels(shape, {**_UNASKED, **values})
    name = "diameter" if shape in ("round", "polygon") else "length"
    bulged = any(n.startswith("middle_") for n in values)
    steps = STEPS // 2 if bulged else 1
    heights = [rim_cm * n / steps for n in range(steps + 1)]
    return tuple((h, max(NARROWEST_CM, level(h / deep)[name])) for h in heights)


def from_above(shape: str, values: Values, height_cm: float) -> Points:
    """Corner points [cm] of the vessel's inside at a height, its middle at 0, 0."""
    if shape in ("bowl", "drum"):
        return _ball_above(shape, values, height_cm)
    if shape == "slices":
        slab = _slab_at(values, height_cm)
        return _box({"length": slab[0], "width": slab[1]}) if slab else ()
    draw = _PLANS.get(shape)
    if draw is None or not _complete(shape, values):
        return ()
    share = height_cm / (deepest_cm(values) or 1.0)
    sizes = _levels(shape, values)(share)
    if shape == "outline":
        return _walked(values, sizes)
    return draw(sizes)


def _levels(shape: str, values: Values) -> Callable[[float], dict[str, float]]:
    """The sizes at a share of the recorded depth: the parabola through floor, middle and top."""
    floor, middle, top = sections(shape, values)

    def at(share: float) -> dict[str, float]:
        found = {}
        for name, size in top.items():
            low, half = floor.get(name, size), middle.get(name, size)
            rise, bend = -3 * low + 4 * half - size, 2 * (low - 2 * half + size)
            found[name] = low + rise * share + bend * share * share
        return found

    return at


def _has_length(shape: str, values: Values) -> bool:
    names = {"round": ("diameter", "girth"), "polygon": ("across",), "outline": ("points.3.x",)}
    return any(n in values for n in names.get(shape, ("length",)))


_NEEDS = {
    "box": ("length", "width"),
    "oval": ("length", "width"),
    "racetrack": ("length", "width"),
    "bow": ("length", "width", "bow"),
    "lshape": ("length", "width", "cut_length", "cut_width"),
    "polygon": ("across", "sides"),
}


def _complete(shape: str, values: Values) -> bool:
    return _has_length(shape, values) and all(n in values for n in _NEEDS.get(shape, ()))


def _ball(values: Values, rim_cm: float) -> Points:
    radius = values["diameter"] / 2
    top = min(rim_cm, 2 * radius)
    heights = [top * n / STEPS for n in range(STEPS + 1)]
    return tuple((h, max(NARROWEST_CM, 2 * _chord(radius, h))) for h in heights)


def _chord(radius: float, height: float) -> float:
    return sqrt(max(0.0, radius**2 - (radius - height) ** 2))


def _ball_above(shape: str, values: Values, height_cm: float) -> Points:
    if "diameter" not in values:
        return ()
    across = 2 * _chord(values["diameter"] / 2, height_cm)
    if across <= 0:
        return ()
    if shape == "bowl":
        return _oval({"length": across, "width": across})
    return _box({"length": values["length"], "width": across}) if "length" in values else ()


def _slabs(values: Values) -> list[tuple[float, float, float]]:
    found: list[tuple[float, float, float]] = []
    while f"slice.{len(found) + 1}.length" in values:
        place = f"slice.{len(found) + 1}."
        found.append((values[place + "length"], values[place + "width"], values[place + "depth"]))
    return found


def _stacked(values: Values, rim_cm: float) -> Points:
    points: list[tuple[float, float]] = []
    height = 0.0
    for length, _, depth in _slabs(values):
        points += [(height, length), (height + depth, length)]
        height += depth
    if points and rim_cm > height:
        points.append((rim_cm, points[-1][1]))
    return tuple(points)


def _slab_at(values: Values, height_cm: float) -> tuple[float, float, float] | None:
    height = 0.0
    slabs = _slabs(values)
    for slab in slabs:
        height += slab[2]
        if height_cm <= height:
            return slab
    return slabs[-1] if slabs else None


def _box(s: Values) -> Points:
    x, y = s["length"] / 2, s["width"] / 2
    return ((-x, -y), (x, -y), (x, y), (-x, y))


def _oval(s: Values) -> Points:
    turns = [2 * pi * n / (2 * STEPS) for n in range(2 * STEPS)]
    return tuple((s["length"] / 2 * cos(t), s["width"] / 2 * sin(t)) for t in turns)


def _round(s: Values) -> Points:
    return _oval({"length": s["diameter"], "width": s["diameter"]})


def _racetrack(s: Values) -> Points:
    radius, straight = s["width"] / 2, s["length"] - s["width"]
    turns = [-pi / 2 + pi * n / STEPS for n in range(STEPS + 1)]
    right = [(straight / 2 + radius * cos(t), radius * sin(t)) for t in turns]
    return tuple([*right, *((-x, -y) for x, y in right)])


def _polygon(s: Values) -> Points:
    sides = max(3, round(s["sides"]))
    radius = s["diameter"] / 2 / cos(pi / sides)
    turns = [pi / sides + 2 * pi * n / sides for n in range(sides)]
    return tuple((radius * cos(t), radius * sin(t)) for t in turns)


def _bow(s: Values) -> Points:
    x, y, bow = s["length"] / 2, s["width"] / 2, s["bow"]
    back = [(x, -y), (-x, -y)]
    if bow <= 0:
        return tuple([(-x, y), (x, y), *back])
    radius = (x * x + bow * bow) / (2 * bow)
    reach = asin(min(1.0, x / radius))
    turns = [-reach + 2 * reach * n / STEPS for n in range(STEPS + 1)]
    front = [(radius * sin(t), y + bow - radius * (1 - cos(t))) for t in turns]
    return tuple([*front, *back])


def _lshape(s: Values) -> Points:
    x, y = s["length"] / 2, s["width"] / 2
    across, down = x - s["cut_length"], y - s["cut_width"]
    return ((-x, -y), (x, -y), (x, down), (across, down), (across, y), (-x, y))


def _walked(values: Values, sizes: Values) -> Points:
    points = corners(values)
    by_x = sizes["length"] / (extent(points, 0) or 1.0)
    by_y = sizes["width"] / (extent(points, 1) or 1.0)
    middle_x = (min(x for x, _ in points) + max(x for x, _ in points)) / 2
    middle_y = (min(y for _, y in points) + max(y for _, y in points)) / 2
    return tuple(((x - middle_x) * by_x, (y - middle_y) * by_y) for x, y in points)


_PLANS: Mapping[str, Callable[[Values], Points]] = {
    "box": _box,
    "round": _round,
    "oval": _oval,
    "racetrack": _racetrack,
    "polygon": _polygon,
    "bow": _bow,
    "lshape": _lshape,
    "outline": _box,
}
