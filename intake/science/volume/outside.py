"""Sizes taken outside the walls, brought inside: two walls less, once around two pi of them."""

from __future__ import annotations

from collections.abc import Mapping
from math import pi
from types import MappingProxyType

Values = Mapping[str, float]

WALLS: Mapping[str, float] = MappingProxyType(
    {"length": 2.0, "width": 2.0, "diameter": 2.0, "across": 2.0, "girth": 2 * pi}
)
"""How many wall thicknesses an outside size is over the inside one [1], textbook geometry.

A missing corner is as large inside as outside, a bow all but so, and a depth is always taken
inside.
"""


def walls_in(name: str) -> float:
    """How many walls lie in a size of that name, floor and middle ones too."""
    return WALLS.get(name.removeprefix("floor_").removeprefix("middle_"), 0.0)


def inner(values: Values) -> dict[str, float]:
    """The sizes inside the walls; without a wall they are that already."""
    found = dict(values)
    wall_cm = found.pop("wall", 0.0)
    if wall_cm:
        found |= {name: size - walls_in(name) * wall_cm for name, size in found.items()}
    return found


def thinnest(values: Values) -> tuple[str, float] | None:
    """The size of which least is left inside the walls, and how much [cm]; None without a wall."""
    if "wall" not in values:
        return None
    left = {name: size for name, size in inner(values).items() if walls_in(name)}
    least = min(left, key=lambda name: left[name], default=None)
    return None if least is None else (least, left[least])
