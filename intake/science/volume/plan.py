"""Areas of vessels seen from above, and the water between walls that lean or bulge."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import atan, pi, sin, tan
from types import MappingProxyType

from intake.science.volume.outline import corners, extent, shoelace_cm2
from intake.science.volume.outside import inner

Values = Mapping[str, float]

FLAT_BOW = 1e-3
"""Below this bow over length the arc's exact form loses digits; its series has none to lose."""


def bow_cm2(chord_cm: float, bow_cm: float) -> float:
    """Area between a chord and the arc of a circle that rises `bow_cm` over its middle [cm2].

    Notes
    -----
    Holds up to a half circle, where the bow is half the chord.

    Source: area of a circular segment, textbook geometry.
    """
    if chord_cm <= 0 or abs(bow_cm) < FLAT_BOW * chord_cm:
        return bow_cm * chord_cm * 2 / 3 + (8 / 15 * bow_cm**3 / chord_cm if chord_cm > 0 else 0.0)
    radius_cm = (chord_cm**2 / 4 + bow_cm**2) / (2 * bow_cm)
    angle = 4 * atan(2 * bow_cm / chord_cm)
    return radius_cm**2 / 2 * (angle - sin(angle))


def _box(s: Values) -> float:
    return s["length"] * s["width"]


def _round(s: Values) -> float:
    return pi / 4 * s["diameter"] ** 2


def _oval(s: Values) -> float:
    return pi / 4 * s["length"] * s["width"]


def _racetrack(s: Values) -> float:
    # Which of the two is longer may be in doubt; the shape is the same turned round.
    long_cm, across_cm = max(s["length"], s["width"]), min(s["length"], s["width"])
    return (long_cm - across_cm) * across_cm + pi / 4 * across_cm**2


def _polygon(s: Values) -> float:
    return s["sides"] / 4 * s["diameter"] ** 2 * tan(pi / s["sides"])


def _bow(s: Values) -> float:
    return s["length"] * s["width"] + bow_cm2(s["length"], s["bow"])


def _lshape(s: Values) -> float:
    return s["length"] * s["width"] - s["cut_length"] * s["cut_width"]


def _outline(s: Values) -> float:
    plan_cm2 = s["plan_length"] * s["plan_width"]
    return s["area"] * s["length"] * s["width"] / plan_cm2 if plan_cm2 > 0 else 0.0


AREAS: Mapping[str, Callable[[Values], float]] = MappingProxyType(
    {
        "box": _box,
        "round": _round,
        "oval": _oval,
        "racetrack": _racetrack,
        "polygon": _polygon,
        "bow": _bow,
        "lshape": _lshape,
        "outline": _outline,
    }
)
"""Area [cm2] of each plan shape from its sizes at one height [cm]."""


def _at_waterline(shape: str, values: Values) -> dict[str, float]:
    sizes = {name: value for name, value in values.items() if "." not in name}
    if shape == "round" and "girth" in values:
        sizes["diameter"] = values["girth"] / pi
    elif shape == "polygon":
        sizes["diameter"] = values["across"]
    elif shape == "outline":
        walked = corners(values)
        sizes["area"] = shoelace_cm2(walked)
        sizes["length"] = sizes["plan_length"] = extent(walked, 0)
        sizes["width"] = sizes["plan_width"] = extent(walked, 1)
    return sizes


def sections(
    shape: str, values: Values
) -> tuple[dict[str, float], dict[str, float], dict[str, float]]:
    """Sizes at the floor, at half the depth and at the waterline [cm].

    Notes
    -----
    A size without its floor size has straight walls that way; without its middle size the wall
    is straight between floor and waterline. A bow shrinks with the length, so that its arc keeps
    its proportion; a missing corner keeps its size, as it does between walls of one slope.
    """
    values = inner(values)
    top = _at_waterline(shape, values)
    floor, middle = dict(top), dict(top)
    for name in ("length", "width", "diameter"):
        if name in top:
            floor[name] = values.get(f"floor_{name}", top[name])
            middle[name] = values.get(f"middle_{name}", (floor[name] + top[name]) / 2)
    if shape == "bow":
        for level in (floor, middle):
            level["bow"] = top["bow"] * (level["length"] / top["length"] if top["length"] else 1.0)
    return floor, middle, top


def areas_cm2(shape: str, values: Values) -> tuple[float, float, float]:
    """Areas at the floor, at half the depth and at the waterline [cm2]."""
    floor, middle, top = sections(shape, values)
    area = AREAS[shape]
    return area(floor), area(middle), area(top)


def water_l(areas: tuple[float, float, float], recorded_cm: float, depth_cm: float) -> float:
    """Water up to `depth_cm` between walls whose areas were taken over `recorded_cm` [L].

    Notes
    -----
    The area is a parabola of the height through the three areas. That is exact for walls that
    are straight or lean straight, whose sizes are linear and whose areas are therefore of the
    second degree; for a bulge it is Simpson's rule. Above `recorded_cm` the same wall goes on.

    Source: Simpson's rule (Kepler's barrel rule), textbook.
    """
    steady, linear, square = _parabola(areas)
    share = depth_cm / recorded_cm
    return depth_cm * (steady + linear / 2 * share + square / 3 * share**2) / 1000


def narrowest_cm2(areas: tuple[float, float, float], recorded_cm: float, depth_cm: float) -> float:
    """Smallest area from the floor up to `depth_cm` [cm2], by the same parabola.

    Below 0 the walls would pass through each other: no vessel has such sizes.
    """
    steady, linear, square = _parabola(areas)
    share = depth_cm / recorded_cm
    places = [0.0, share]
    if square > 0:
        places.append(min(max(-linear / (2 * square), 0.0), share))
    return min(steady + linear * place + square * place**2 for place in places)


def _parabola(areas: tuple[float, float, float]) -> tuple[float, float, float]:
    floor, middle, top = areas
    return floor, -3 * floor + 4 * middle - top, 2 * (floor - 2 * middle + top)


def plan_l(shape: str, values: Values) -> float:
    """Water in a vessel of a plan shape [L], at ``depth.today`` where that is given.

    Notes
    -----
    Several depths count by their mean. Today's depth is then read at the deepest point and
    moves all of them alike; a point that falls dry counts as 0. A recorded depth of 0, which
    only the spread asks for, holds nothing.
    """
    recorded_cm, today_cm = depths_cm(values)
    if recorded_cm <= 0:
        return 0.0
    return water_l(areas_cm2(shape, values), recorded_cm, today_cm)


def depths_cm(values: Values) -> tuple[float, float]:
    """The depth the sizes were recorded at and today's [cm], means over a sloping floor.

    Today's is read at the point that was recorded deepest, ``deepest.point`` where the values
    have been moved since.
    """
    floor = [value for name, value in values.items() if name.startswith("depths.")]
    if not floor:
        return values["depth"], values.get("depth.today", values["depth"])
    recorded_cm = sum(floor) / len(floor)
    if "depth.today" not in values:
        return recorded_cm, recorded_cm
    read_at_cm = max(floor)
    if "deepest.point" in values:
        read_at_cm = values[f"depths.{values['deepest.point']:.0f}"]
    rise_cm = values["depth.today"] - read_at_cm
    return recorded_cm, sum(max(0.0, depth + rise_cm) for depth in floor) / len(floor)
