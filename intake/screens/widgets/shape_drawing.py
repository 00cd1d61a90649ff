"""A shape to pick: a small drawing of it, and a larger one from above and cut."""

from __future__ import annotations

from textual.content import Content

from intake.drawing.outlines import from_above, side_outline
from intake.drawing.samples import SAMPLES, rim_cm
from intake.flows.views.vessels import PlanView
from intake.screens.theme import Look
from intake.screens.widgets.vessel_drawing import above_lines, cut_lines

FROM_THE_SIDE = ("bowl", "drum", "slices")
"""What tells them from others is the wall, not the outline."""
_TABLE = ("|    |-  60 L", "|    |-  45 L", "|~~~~|-  30 L", "|~~~~|-  15 L", "+----+")
_SMALL_TABLE = ("|   |-", "|~~~|-", "|~~~|-", "+---+ ")


def small_lines(shape: str, columns: int, rows: int, look: Look) -> list[Content]:
    """The shape in a few cells."""
    if shape not in SAMPLES:
        return [look.say((line, "soft")) for line in _SMALL_TABLE[-max(2, min(rows, 4)) :]]
    if shape in FROM_THE_SIDE:
        return cut_of(shape, columns, rows, look)
    return plan_of(shape, columns, rows, look)


def plan_of(shape: str, columns: int, rows: int, look: Look) -> list[Content]:
    """Seen from above at the waterline."""
    values = SAMPLES.get(shape)
    if values is None:
        return []
    depth = values.get("depth", 1.0)
    plan = PlanView(from_above(shape, values, depth), (), "")
    return above_lines(plan, columns, rows, look, gravel=False)


def cut_of(shape: str, columns: int, rows: int, look: Look) -> list[Content]:
    """Cut through, with its water."""
    values = SAMPLES.get(shape)
    if values is None:
        return [look.say((line, "soft")) for line in _TABLE]
    rim = rim_cm(values)
    outline = side_outline(shape, values, rim)
    return cut_lines(outline, rim / 1.12, rim, columns, rows, look)
