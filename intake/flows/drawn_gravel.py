"""How high the gravel of a vessel stands, from its bulk."""

from __future__ import annotations

from intake.drawing.outlines import deepest_cm, from_above
from intake.flows.facts.things import Vessel
from intake.flows.facts.volumes import has_depth
from intake.science.volume import NOTHING, SHAPES
from intake.science.volume.asked import Asked

TURNS = 40
"""How often the height of the gravel is halved down to."""


def gravel_cm(vessel: Vessel, depth_cm: float | None = None) -> float:
    """How high the gravel stands when it lies level [cm], from its bulk; 0 without gravel."""
    bulk = vessel.inside.gravel_l
    if bulk is None or not bulk.value or not has_depth(vessel):
        return 0.0
    bare = Asked(SHAPES[vessel.shape], vessel.sizes, NOTHING, **vessel.lists)
    values = {name: size.value for name, size in bare.flat().items()}
    if not _all_there(vessel, values):
        return 0.0
    line = vessel.depth or vessel.mark
    low, high = 0.0, depth_cm or (line.value if line else 0.0)
    for _ in range(TURNS):
        middle = (low + high) / 2
        below = bare.gross_l({**values, "depth.today": middle}) < bulk.value
        low, high = (middle, high) if below else (low, middle)
    return (low + high) / 2


def _all_there(vessel: Vessel, values: dict[str, float]) -> bool:
    if vessel.shape in ("bowl", "levels"):
        return True
    return bool(from_above(vessel.shape, values, 0.0)) and deepest_cm(values) is not None
