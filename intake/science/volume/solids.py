"""Water in vessels whose area is no simple function of the height: drum, bowl, slices."""

from __future__ import annotations

from collections.abc import Mapping
from math import acos, pi, sqrt

from intake.science.volume.outside import inner

Values = Mapping[str, float]


def drum_l(values: Values) -> float:
    """Water in a drum lying on its side [L]; one without width, which the spread may ask for, 0.

    Source: area of a circular segment by its height, textbook geometry.
    """
    values = inner(values)
    radius_cm = values["diameter"] / 2
    if radius_cm <= 0:
        return 0.0
    depth_cm = min(max(_depth_cm(values), 0.0), 2 * radius_cm)
    below_cm = radius_cm - depth_cm
    half_line_cm = sqrt(max(0.0, radius_cm**2 - below_cm**2))
    end_cm2 = radius_cm**2 * acos(below_cm / radius_cm) - below_cm * half_line_cm
    return end_cm2 * values["length"] / 1000


def bowl_l(values: Values) -> float:
    """Water in a bowl that is part of a ball [L], depth from its lowest point.

    Source: volume of a spherical cap, textbook geometry.
    """
    values = inner(values)
    depth_cm = min(_depth_cm(values), values["diameter"])
    return pi * depth_cm**2 * (3 * values["diameter"] / 2 - depth_cm) / 3 / 1000


def slices_l(values: Values) -> float:
    """Water in boxes stacked from the floor up [L].

    Notes
    -----
    Up to ``depth.today`` where that is given; above the last slice its walls go on.
    """
    slabs = _slabs(values)
    left_cm = values.get("depth.today", sum(depth for _, depth in slabs))
    water_cm3 = 0.0
    for number, (area_cm2, depth_cm) in enumerate(slabs, start=1):
        part_cm = left_cm if number == len(slabs) else min(left_cm, depth_cm)
        water_cm3 += area_cm2 * part_cm
        left_cm -= part_cm
    return water_cm3 / 1000


def _depth_cm(values: Values) -> float:
    return values.get("depth.today", values["depth"])


def _slabs(values: Values) -> list[tuple[float, float]]:
    found: list[tuple[float, float]] = []
    while f"slice.{len(found) + 1}.length" in values:
        place = f"slice.{len(found) + 1}."
        area_cm2 = values[place + "length"] * values[place + "width"]
        found.append((area_cm2, values[place + "depth"]))
    return found
