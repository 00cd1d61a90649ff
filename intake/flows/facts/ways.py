"""The ways a vessel's water was found, and what each says of it."""

from __future__ import annotations

from collections.abc import Mapping

from intake.flows.facts.things import Gauging, Vessel
from intake.science.problem import Problem, Refused
from intake.science.volume import true_volume

METHODS = {"metered": "fill", "flow": "flow", "by-salt": "salt", "levels": "marks"}
"""What each way is called; everything else is the tape."""
WAYS = ("tape", "fill", "flow", "salt", "marks")
SAME_SHARE = 1e-9


def own_way(vessel: Vessel) -> str:
    """What the vessel's own sizes are called."""
    return METHODS.get(vessel.shape, "tape")


def gauging_of(vessel: Vessel, way: str) -> Gauging | None:
    """The newest gauging called so, None where it is the vessel's own sizes or nothing."""
    found = [g for g in vessel.gauged if METHODS.get(g.way, "tape") == way]
    return found[-1] if found else None


def known_ways(vessel: Vessel) -> dict[str, float]:
    """The volume by each way [L], as it was measured, at the line of that day."""
    found = {METHODS.get(g.way, "tape"): g.volume_l for g in vessel.gauged}
    try:
        own = true_volume(vessel.shape, vessel.sizes, vessel.inside, **vessel.lists)
    except Refused:
        return found
    if not isinstance(own, Problem):
        found.setdefault(own_way(vessel), own.volume_l)
    return found


def same_ways(first: Mapping[str, float], second: Mapping[str, float]) -> bool:
    """Whether the same ways say the same of a vessel."""
    return set(first) == set(second) and all(
        abs(first[way] - second[way]) <= SAME_SHARE * abs(second[way]) for way in first
    )
