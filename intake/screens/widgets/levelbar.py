"""A number against its limit as one line: label, number, bar with a wall, words."""

from __future__ import annotations

from dataclasses import dataclass

from textual.content import Content

from intake.drawing.level import WALL_AT, level_cells
from intake.flows.views.parts import Bar
from intake.screens.theme import Look
from intake.screens.widgets.lines import padded, right, shorten

_GLYPHS = {
    "fill": ("━", "bold"),
    "doubt": ("╍", "bold"),
    "empty": ("─", "rule"),
    "wall": ("┃", "bold"),
    "over": ("■", "over"),
}


@dataclass(frozen=True, slots=True)
class BarShape:
    """Cells of each part of the line: label, number, the bar, the words at the right.

    Where there is no room for a bar (0 cells) the words stand alone.
    """

    label: int
    number: int
    bar: int
    said: int
    wall_at: float = WALL_AT


def bar_cells(bar: Bar, width: int, look: Look, wall_at: float = WALL_AT) -> Content:
    """The bar alone; without a limit there is none."""
    if bar.limit is None:
        return Content(" " * width)
    cells = level_cells(bar.low, bar.high, bar.limit, width, wall_at=wall_at)
    return look.say(*[(_GLYPHS[kind][0] * n, _GLYPHS[kind][1]) for kind, n in cells.runs])


def bar_line(bar: Bar, shape: BarShape, look: Look) -> Content:
    """The whole line. Past the limit number and words are in stop, with the mark."""
    role = "stop" if bar.over else "care" if bar.near else "ink"
    number = f"{bar.shown.text} {bar.shown.unit}".strip() if shape.label == 0 else bar.shown.text
    said = ("■ " if bar.over else "▲ " if bar.near else "") + bar.said
    number_role = role if role != "ink" else ("bold" if shape.label == 0 else "ink")
    number = shorten(number, shape.number)
    parts: list[str | tuple[str, str] | Content] = []
    if shape.label:
        parts += [(padded(bar.label, shape.label), "soft")]
        parts += [right("", shape.number - len(number)), (number, number_role)]
    else:
        parts += [(number, number_role), " " * (shape.number - len(number))]
    if shape.bar:
        parts += ["  ", bar_cells(bar, shape.bar, look, shape.wall_at)]
    parts.append("  ")
    parts += [(shorten(said, shape.said), "soft" if role == "ink" else role)]
    return look.say(*parts)
