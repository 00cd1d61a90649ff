"""The size of the water's surface at any depth, between walls that lean or bulge."""

from __future__ import annotations

from collections.abc import Mapping
from math import sqrt

from intake.science.volume.catalogue import SHAPES
from intake.science.volume.plan import sections

Values = Mapping[str, float]

_ACROSS = {"round": "diameter", "polygon": "diameter", "bowl": "diameter"}


def waterline_cm(shape: str, values: Values, depth_cm: float) -> dict[str, float]:
    """Length and width, or diameter, of the waterline at a depth [cm]; empty where unknown.

    Parameters
    ----------
    shape
        One of `SHAPES`.
    values
        Its sizes by flat name [cm], as they were recorded.
    depth_cm
        From the floor, over a sloping one from its deepest point.

    Notes
    -----
    Straight between the size at the floor and the one at the recorded waterline; with a size
    half way up, the parabola through the three. A polygon's is from flat to flat. A drum, a bowl
    and a stack have what their form gives; a level table or a gauging knows no sizes.

    Source: similar triangles and the circle's chord, textbook geometry.
    """
    family = SHAPES[shape].family
    if family == "plan":
        return _between(shape, values, depth_cm)
    if shape in ("drum", "bowl"):
        radius = values["diameter"] / 2
        chord = 2 * sqrt(max(0.0, radius**2 - (radius - depth_cm) ** 2))
        if shape == "bowl":
            return {"diameter": chord}
        return {"length": values["length"], "width": chord}
    if shape == "slices":
        return _slab(values, depth_cm)
    return {}


def _between(shape: str, values: Values, depth_cm: float) -> dict[str, float]:
    depths = [v for name, v in values.items() if name.startswith("depths.")]
    share = depth_cm / (max(depths) if depths else values["depth"])
    floor, middle, top = sections(shape, values)
    names = ("diameter",) if shape in _ACROSS else ("length", "width")
    found = {}
    for name in names:
        low, half, high = floor[name], middle[name], top[name]
        rise, bend = -3 * low + 4 * half - high, 2 * (low - 2 * half + high)
        found[name] = low + rise * share + bend * share * share
    return found


def _slab(values: Values, depth_cm: float) -> dict[str, float]:
    number, top_cm = 0, 0.0
    while f"slice.{number + 1}.depth" in values and (number == 0 or top_cm < depth_cm):
        number += 1
        top_cm += values[f"slice.{number}.depth"]
    place = f"slice.{number}."
    return {"length": values[place + "length"], "width": values[place + "width"]}
