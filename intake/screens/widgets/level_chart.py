"""A level over days in cells: its range, limits, now, doses and changes, and their dates."""

from __future__ import annotations

from textual.content import Content

from intake.drawing.level_chart import (
    LevelChart,
    LevelScale,
    cells,
    marks_row,
    passes,
    scale_of,
)
from intake.drawing.line import ticks
from intake.drawing.run_chart import at
from intake.science.show import show, show_range
from intake.screens.theme import Look
from intake.screens.widgets.lines import shorten
from intake.screens.widgets.run_chart import GLYPHS, LEFT, RIGHT

TINY_SHARE = 1e-3
"""Levels under this share of the axis are told as nothing."""
LEAST_ROWS = 4
LEAST_COLUMNS = 16

_GLYPHS = {**GLYPHS, "floor": ("╌", "-", "soft"), "to-come": ("", "*", "touch")}
"""The marks of a run, and two more: the low end of a course, and what is planned."""

MARKS = (("D", "dosed"), ("d", "dose due"), ("C", "changed"), ("c", "to change"))


def level_lines(chart: LevelChart, width: int, rows: int, look: Look) -> list[Content]:
    """A headline, the chart, its events and dates in `rows` lines; the headline alone in few."""
    height, columns = rows - 3, width - LEFT - RIGHT
    if height < LEAST_ROWS or columns < LEAST_COLUMNS:
        return [_head(chart, width, look)]
    scale = scale_of(chart)
    values = ticks(*scale.y, most=max(1, height // 3))
    labels = {scale.row_of(v, height): f"{v:g}" for v in values}
    names = _names(chart, scale, height)
    lines = [_head(chart, width, look)]
    for y, row in enumerate(cells(chart, columns, height)):
        parts: list[str | tuple[str, str]] = [(labels.get(y, "").rjust(LEFT - 1) + " ", "faint")]
        for kind, stroke in row:
            mark, plain, role = _GLYPHS[kind]
            parts.append((plain if look.ascii else mark or stroke, role))
        text, role = names.get(y, ("", "faint"))
        lines.append(look.say(*parts, (shorten(text, RIGHT), role)))
    events = marks_row(chart, columns)
    lines.append(look.say(" " * LEFT, (events.rstrip(), "key")))
    lines.append(look.say(" " * LEFT, (_dates(chart, scale, columns), "faint")))
    return lines


def _names(chart: LevelChart, scale: LevelScale, height: int) -> dict[int, tuple[str, str]]:
    """What stands at the right end of a row."""
    names: dict[int, tuple[str, str]] = {}
    for value, word, role in ((chart.floor, "low", "soft"), (chart.limit, "limit", "care")):
        row = None if value is None else scale.row_of(value, height)
        if row is not None and value is not None:
            names[row] = (f" {word} {value:g}", role)
    return names


def _head(chart: LevelChart, width: int, look: Look) -> Content:
    """The name with its unit, and in words what it is now and comes to."""
    name = f"{chart.name}, {chart.unit}"
    said = ", ".join(_said(chart))
    room = width - len(name) - 3
    beside = ("   " + shorten(said, room), "soft") if room > 0 else ("", "soft")
    return look.say((shorten(name, width), "bold"), beside)


def _said(chart: LevelChart) -> list[str]:
    told: list[str] = []
    tiny = scale_of(chart).y[1] * TINY_SHARE
    ends = [x for x, _ in chart.likely if x >= 0.0]
    for day, word in ((0.0, "now"), (max(ends, default=0.0), "at the end")):
        likely = at(chart.likely, day)
        if likely is not None and (day or not told):
            span = (at(chart.low, day), at(chart.high, day))
            told.append(f"{word} {_range(likely, *span, tiny)}")
    if passes(chart):
        told.append("▲ over its limit")
    return told


def _range(likely: float, low: float | None, high: float | None, tiny: float) -> str:
    if low is None or high is None or low == high:
        low = high = likely
    digits = 3 if high >= 1 else 2
    if high < tiny:
        return "next to nothing"
    if low == high:
        return show(likely, "", digits=digits).strip()
    return show_range(low if low >= tiny else None, high, "", digits=digits).strip()


def _dates(chart: LevelChart, scale: LevelScale, columns: int) -> str:
    """As many dates as there is room for, each beginning under its midnight."""
    text = [" "] * (columns + RIGHT)
    free = 0
    for day, label in chart.days:
        first = scale.column_of(day, columns)
        if scale.x[0] <= day <= scale.x[1] and first >= free and first + len(label) <= len(text):
            text[first : first + len(label)] = label
            free = first + len(label) + 1
    return "".join(text).rstrip()


def level_key(chart: LevelChart, width: int, look: Look) -> Content:
    """What the marks mean, as far as they are there."""
    letters = {m.letter for m in chart.marks}
    band = [("band", "low to high")] if chart.low else []
    kinds = [("line", "likely"), *band, ("now", "now")]
    parts: list[str | tuple[str, str]] = ["  "]
    for kind, words in kinds:
        mark, plain, role = _GLYPHS[kind]
        parts += [(plain if look.ascii else mark or "─", role), (f" {words}  ", "faint")]
    for letter, words in MARKS:
        if letter in letters:
            parts += [(letter, "key"), (f" {words}  ", "faint")]
    return look.say(*parts).truncate(width)
