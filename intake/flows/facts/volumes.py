"""True water of vessels and systems at a waterline, from what was measured of them."""

from __future__ import annotations

from collections.abc import Iterable
from math import sqrt

from intake.flows.facts.things import Vessel
from intake.science.problem import Problem
from intake.science.spread import Size
from intake.science.volume import SHAPES, TrueVolume, at_depth, true_volume


def at_line(vessel: Vessel, depth: Size | None = None) -> TrueVolume | Problem:
    """The vessel's water at a depth [cm], today's when none is given."""
    line = depth or vessel.depth
    if line is None or line == vessel.mark or not has_depth(vessel):
        return true_volume(vessel.shape, vessel.sizes, vessel.inside, **vessel.lists)
    return at_depth(vessel.shape, vessel.sizes, line, vessel.inside, **vessel.lists)


def has_depth(vessel: Vessel) -> bool:
    """Whether the vessel's water follows from a depth."""
    return SHAPES[vessel.shape].size("depth") is not None


def litres(vessel: Vessel) -> tuple[float, float, float]:
    """The vessel's water now [L] and its 95 % ends; zeros where it cannot be worked out."""
    found = at_line(vessel)
    if isinstance(found, Problem):
        return 0.0, 0.0, 0.0
    return found.volume_l, found.low_l, found.high_l


def together(vessels: Iterable[Vessel]) -> tuple[float, float, float]:
    """The water of several vessels [L]; their doubts are independent of each other."""
    each = [litres(v) for v in vessels]
    volume = sum(v for v, _, _ in each)
    half = sqrt(sum(((high - low) / 2) ** 2 for _, low, high in each))
    return volume, max(0.0, volume - half), volume + half


def depth_for(vessel: Vessel, litres_wanted: float) -> Size | None:
    """The depth [cm] at which the vessel holds so many litres, None where it has no depth."""
    if vessel.depth is None or vessel.mark is None or not has_depth(vessel):
        return None
    low, high = 0.0, (vessel.height.value if vessel.height else vessel.mark.value * 2)
    for _ in range(60):
        middle = (low + high) / 2
        found = at_line(vessel, Size(middle, vessel.depth.half))
        holds = 0.0 if isinstance(found, Problem) else found.volume_l
        low, high = (middle, high) if holds < litres_wanted else (low, middle)
    return Size((low + high) / 2, vessel.depth.half)
