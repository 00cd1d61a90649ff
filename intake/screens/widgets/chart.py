"""A small chart: thin lines, a limit that stays out from under them, round ticks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual.content import Content

from intake.drawing.line import Points, plotted, round_top, row_of, ticks
from intake.screens.theme import Look
from intake.screens.widgets.lines import shorten


@dataclass(frozen=True, slots=True)
class Series:
    """One line: its points, its name at the right end, its role."""

    points: Points
    name: str
    role: str


LEFT = 7
RIGHT = 17


def chart_lines(
    series: Sequence[Series],
    limit: float | None,
    unit_x: str,
    width: int,
    rows: int,
    look: Look,
) -> list[Content]:
    """The chart in `rows` lines, the last one the ticks below it; from 0 upwards."""
    drawn = [one for one in series if one.points]
    if not drawn or rows < 4 or width < LEFT + RIGHT + 12:
        return []
    columns, height = width - LEFT - RIGHT, rows - 1
    right = max(x for one in drawn for x, _ in one.points)
    highest = max(y for one in drawn for _, y in one.points)
    y_range = (0.0, round_top(max(highest, (limit or 0) * 1.2)))
    x_range = (0.0, right)
    cells = plotted(
        [one.points for one in drawn],
        x_range=x_range,
        y_range=y_range,
        columns=columns,
        rows=height,
    )
    limit_row = None if limit is None else row_of(limit, y_range, height)
    names = _names(drawn, y_range, height)
    lines = []
    for y, row in enumerate(cells):
        label = ""
        if y == limit_row and limit is not None:
            label = f"{limit:g}"
        elif y in (0, height - 1):
            label = f"{y_range[1]:g}" if y == 0 else "0"
        parts: list[tuple[str, str]] = [(label.rjust(LEFT - 1) + " ", "faint")]
        for glyph, index in row:
            if index >= 0:
                parts.append((glyph if not look.ascii else "*", drawn[index].role))
            else:
                parts.append(("─", "rule") if y == limit_row else (" ", "ink"))
        name, role = names.get(y, ("limit" if y == limit_row else "", "soft"))
        lines.append(look.say(*parts, " ", (shorten(name, RIGHT - 1), role)))
    lines.append(_ticks(x_range, columns, unit_x, look))
    return lines


def _names(
    series: Sequence[Series], y_range: tuple[float, float], rows: int
) -> dict[int, tuple[str, str]]:
    names: dict[int, tuple[str, str]] = {}
    for one in series:
        row = row_of(one.points[-1][1], y_range, rows)
        if row is None:
            continue
        if row in names:
            before, role = names[row]
            names[row] = (f"{before}, {one.name}", role)
        else:
            names[row] = (one.name, one.role)
    return names


def _ticks(x_range: tuple[float, float], columns: int, unit: str, look: Look) -> Content:
    text = [" "] * (columns + RIGHT)
    marks = ticks(*x_range, most=6)
    for value in marks:
        label = f"{value:g}" + (f" {unit}" if value == marks[-1] else "")
        at = round(value / x_range[1] * (columns - 1)) if x_range[1] else 0
        for n, char in enumerate(label):
            if at + n < len(text):
                text[at + n] = char
    return look.say(" " * LEFT, ("".join(text).rstrip(), "faint"))
