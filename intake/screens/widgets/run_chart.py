"""The charts of a run in cells: what is left open, the likely line, limit, readings, now."""

from __future__ import annotations

from textual.content import Content

from intake.drawing.line import row_of, ticks
from intake.drawing.run_chart import Panel, at, cells, scale_of
from intake.science.show import show, show_range
from intake.screens.theme import Look
from intake.screens.widgets.lines import shorten

LEFT = 8
RIGHT = 12
LEAST_ROWS = 3
"""Rows under which a chart says nothing."""

GLYPHS = {
    "none": (" ", " ", "ink"),
    "band": ("░", ".", "rule"),
    "band-over": ("▒", ":", "over"),
    "limit": ("━", "=", "care"),
    "now": ("│", "|", "touch"),
    "before": ("", "-", "faint"),
    "line": ("", "*", "bold"),
    "line-over": ("", "#", "over"),
    "measured": ("●", "o", "key"),
}
"""What a cell shows: the mark, the mark in ASCII, the role. A line brings its own stroke."""

KEY = (
    ("line", "likely"),
    ("band", "low to high"),
    ("measured", "measured"),
    ("before", "foretold"),
    ("now", "now"),
    ("limit", "limit"),
)


def panel_lines(
    panel: Panel, width: int, rows: int, look: Look, *, minutes: bool = True
) -> list[Content]:
    """A headline and the chart in `rows` lines; with `minutes` the last one says which."""
    height = rows - 1 - minutes
    columns = width - LEFT - RIGHT
    if height < LEAST_ROWS or columns < 12:
        return []
    scale = scale_of(panel)
    wall = None if panel.limit is None else row_of(panel.limit, scale.y, height)
    labels = {row_of(value, scale.y, height): f"{value:g}" for value in scale.y_ticks}
    if height < 2 * len(labels):
        labels = {row_of(v, scale.y, height): f"{v:g}" for v in scale.y}
    lines = [_head(panel, width, look)]
    for y, row in enumerate(cells(panel, columns, height)):
        parts: list[tuple[str, str]] = [(labels.get(y, "").rjust(LEFT - 1) + " ", "faint")]
        for kind, stroke in row:
            mark, plain, role = GLYPHS[kind]
            parts.append((plain if look.ascii else mark or stroke, role))
        limit = f" limit {panel.limit:g}" if y == wall else ""
        lines.append(look.say(*parts, (shorten(limit, RIGHT), "care")))
    if minutes:
        lines.append(_minutes(scale.x, columns, look))
    return lines


def _head(panel: Panel, width: int, look: Look) -> Content:
    name = f"{panel.name}, {panel.unit}" if panel.unit else panel.name
    said = _now_text(panel)
    return look.say((name, "bold"), ("   " + shorten(said, width - len(name) - 3), "soft"))


def _now_text(panel: Panel) -> str:
    """What it is now and what it comes to, in words: a chart is never the only place."""
    told = []
    if panel.now is not None and (value := at(panel.likely, panel.now)) is not None:
        low, high = at(panel.low, panel.now), at(panel.high, panel.now)
        told.append(f"now {_range(value, low, high)}")
    if panel.measured:
        told.append(f"measured {panel.measured[-1][1]:g} at {panel.measured[-1][0]:.0f} min")
    if panel.likely:
        ends = [line[-1][1] if line else None for line in (panel.likely, panel.low, panel.high)]
        assert ends[0] is not None
        told.append(f"at {panel.likely[-1][0]:.0f} min {_range(ends[0], ends[1], ends[2])}")
    return ", ".join(told)


def _range(value: float, low: float | None, high: float | None) -> str:
    if low is None or high is None or low == high:
        return show(value, "", digits=3 if value >= 1 else 2)
    return show_range(low, high, "", digits=3 if value >= 1 else 2)


def _minutes(x: tuple[float, float], columns: int, look: Look) -> Content:
    text = [" "] * (columns + RIGHT)
    marks = ticks(*x, most=6)
    for value in marks:
        label = f"{value:g}" + (" min" if value == marks[-1] else "")
        first = round((value - x[0]) / (x[1] - x[0]) * (columns - 1))
        text[first : first + len(label)] = label
    return look.say(" " * LEFT, ("".join(text)[: columns + RIGHT].rstrip(), "faint"))


def key_line(panel: Panel, width: int, look: Look) -> Content:
    """What the marks mean, as far as they are there."""
    there = {
        "line": bool(panel.likely),
        "band": bool(panel.low),
        "measured": bool(panel.measured),
        "before": bool(panel.before),
        "now": panel.now is not None,
        "limit": panel.limit is not None,
    }
    parts: list[str | tuple[str, str]] = [" " * LEFT]
    for kind, words in KEY:
        if there[kind]:
            mark, plain, role = GLYPHS[kind]
            parts += [(plain if look.ascii else mark or "─", role), (f" {words}   ", "faint")]
    return look.say(*parts).truncate(width)
