"""True water of vessels and systems at a waterline, from what was measured of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from math import sqrt
from typing import TYPE_CHECKING

from intake.flows.facts.things import Gauging, System, Vessel
from intake.flows.facts.ways import gauging_of
from intake.science.problem import Problem, Refused
from intake.science.spread import Size
from intake.science.volume import SHAPES, Lists, TrueVolume, at_depth, plain_l, true_volume

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts


def at_line(vessel: Vessel, depth: Size | None = None) -> TrueVolume | Problem:
    """The vessel's water at a depth [cm], today's when none is given."""
    line = depth or vessel.depth
    if line is None or line == vessel.mark or not has_depth(vessel):
        return true_volume(vessel.shape, vessel.sizes, vessel.inside, **vessel.lists)
    return at_depth(vessel.shape, vessel.sizes, line, vessel.inside, **vessel.lists)


def has_depth(vessel: Vessel) -> bool:
    """Whether the vessel's water follows from a depth."""
    return SHAPES[vessel.shape].family != "gauge"


def mark_of(sizes: Mapping[str, Size], lists: Lists) -> Size | None:
    """The depth a vessel was recorded with [cm]: over a sloping floor at its deepest point."""
    depths = lists.get("depths")
    if depths:
        return max(depths, key=lambda depth: depth.value)
    slabs = [slab[2] for slab in lists.get("slices", ())]
    if slabs:
        return Size(sum(s.value for s in slabs), sqrt(sum(s.half**2 for s in slabs)))
    return sizes.get("depth")


def litres(vessel: Vessel) -> tuple[float, float, float]:
    """The vessel's water now [L] and its 95 % ends; zeros where it cannot be worked out.

    Where it was gauged another way too, the ends hold both: limits are tested at the smaller,
    until one of them is settled on.
    """
    found = _known(vessel, vessel.depth)
    if found is None:
        return 0.0, 0.0, 0.0
    off = vessel.off_l
    way = settled_way(vessel)
    if way is not None:
        rise = found.volume_l + off - _then_l(vessel, way, found) - way.off_l
        volume, low, high = (max(0.0, x + rise) for x in (way.volume_l, way.low_l, way.high_l))
        return volume, low, high
    volume, low, high = (max(0.0, x + off) for x in (found.volume_l, found.low_l, found.high_l))
    for way in () if vessel.settled else vessel.gauged:
        rise = found.volume_l + off - _then_l(vessel, way, found) - way.off_l
        low, high = min(low, max(0.0, way.low_l + rise)), max(high, way.high_l + rise)
    return volume, low, high


def settled_way(vessel: Vessel) -> Gauging | None:
    """The gauging that was settled on, None where the vessel's own sizes hold or nothing was."""
    return gauging_of(vessel, vessel.settled.way) if vessel.settled is not None else None


def _beside_l(vessel: Vessel, now: TrueVolume) -> float:
    """How much more than by its own sizes the vessel holds, by the way settled on [L]."""
    way = settled_way(vessel)
    if way is None:
        return 0.0
    return way.volume_l - _then_l(vessel, way, now) - way.off_l


def _then_l(vessel: Vessel, way: Gauging, now: TrueVolume) -> float:
    """What the sizes say of the water it was gauged in, at its line and with its sump [L]."""
    as_was = replace(vessel, inside=replace(vessel.inside, connected_l=way.connected_l))
    depth = vessel.depth if way.depth is None else way.depth
    if depth == vessel.depth and as_was.inside == vessel.inside:
        return now.volume_l
    then = _known(as_was, depth)
    return now.volume_l if then is None else then.volume_l


def _known(vessel: Vessel, depth: Size | None) -> TrueVolume | None:
    """The water at a line, None where a correction left sizes that do not reach it."""
    try:
        found = at_line(vessel, depth)
    except Refused:
        return None
    return None if isinstance(found, Problem) else found


def _plain_l(vessel: Vessel, depth: Size) -> float | None:
    """The litres of `_known` without their doubt."""
    try:
        found = plain_l(vessel.shape, vessel.sizes, depth, vessel.inside, **vessel.lists)
    except Refused:
        return None
    return None if isinstance(found, Problem) else found


def bare(vessel: Vessel) -> Vessel:
    """The vessel without the sump and pipe water that was named with it."""
    return replace(vessel, inside=replace(vessel.inside, connected_l=None))


def together(
    vessels: Iterable[Vessel], connected: Iterable[Size] = ()
) -> tuple[float, float, float]:
    """The water of vessels that share it [L]; their doubts are independent of each other.

    Sump and pipe water named with several of them, or in `connected`, is one and the same: the
    largest figure counts once, so that water counted twice never makes a dose too large.
    """
    all_ = list(vessels)
    named = [*connected, *(v.inside.connected_l for v in all_ if v.inside.connected_l is not None)]
    each = [litres(bare(v)) for v in all_]
    if named:
        sump = max(named, key=lambda size: size.value)
        each.append((sump.value, max(0.0, sump.value - sump.half), sump.value + sump.half))
    return added(each)


def added(each: Iterable[tuple[float, float, float]]) -> tuple[float, float, float]:
    """Volumes with their ends [L] in one; their doubts are independent, and add as squares."""
    waters = list(each)
    volume = sum(v for v, _, _ in waters)
    below = sqrt(sum((v - low) ** 2 for v, low, _ in waters))
    above = sqrt(sum((high - v) ** 2 for v, _, high in waters))
    return volume, max(0.0, volume - below), volume + above


def water_of(system: System, vessels: Iterable[Vessel]) -> tuple[float, float, float]:
    """All water of a system [L] with its vessels as they are given, isolated ones left out."""
    return together(vessels, system.connected.values())


def waters(facts: Facts, system: System) -> tuple[float, float, float]:
    """All water of a system at today's lines [L], with its ends."""
    return water_of(system, [facts.vessel(v) for v in system.vessels])


def share_of(
    system: System, vessels: Iterable[Vessel], vessel: Vessel | None
) -> tuple[float, float, float]:
    """The water [L] that a change is a share of: all, or a vessel's own where it shares it."""
    all_ = list(vessels)
    if vessel is None:
        return water_of(system, all_)
    return together([vessel] if len(all_) == 1 else [bare(vessel)])


def fill_to(vessel: Vessel, wanted_l: float) -> None:
    """Sets today's line so that the vessel holds so many litres, as near as its walls allow.

    What no depth can tell (a gauged water, under the lowest mark of a table) is kept in litres.
    """
    here = _known(vessel, vessel.depth)
    wanted_l -= _beside_l(vessel, here) if here is not None else 0.0
    line = depth_for(vessel, wanted_l)
    vessel.depth, vessel.off_l = line or vessel.depth, 0.0
    found = _known(vessel, vessel.depth)
    if found is None:
        return
    off = wanted_l - found.volume_l
    if line is None or off < -SAME_L:
        vessel.off_l = off


SAME_L = 1e-6
"""Waters nearer to each other than this are one and the same [L]."""


def depth_for(vessel: Vessel, litres_wanted: float) -> Size | None:
    """The depth [cm] nearest to so many litres, None where its water follows from no depth."""
    if vessel.depth is None or vessel.mark is None or not has_depth(vessel):
        return None
    low, high = 0.0, (vessel.height.value if vessel.height else vessel.mark.value * 2)
    reached = None
    for _ in range(60):
        middle = Size((low + high) / 2, vessel.depth.half)
        volume_l = _plain_l(vessel, middle)
        if volume_l is None:
            # No water at this depth: it is under what is inside, or over the last mark.
            too_low = middle.value < vessel.mark.value
        else:
            reached, too_low = middle, volume_l < litres_wanted
        low, high = (middle.value, high) if too_low else (low, middle.value)
    return reached
