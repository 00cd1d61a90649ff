"""The strip of days of a water as SVG that prints without colour: whole weeks in rows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import islice

from intake.drawing.daystrip import DayCell
from intake.report.calendar import LEGEND, short_day, weeks
from intake.report.page import said

WIDTH_MM = 186.0
WEEKS_A_ROW = 6
ROW_MM = 15.0
LEGEND_MM = 7.0
_DAY_MM = WIDTH_MM / (7 * WEEKS_A_ROW)
_Week = tuple[date, tuple[DayCell, ...]]


def strip(cells: Sequence[DayCell], today: date) -> str:
    """The drawing of one water, six weeks a row, with what its marks mean under it."""
    rows = list(_rows(weeks(cells)))
    parts = [p for n, row in enumerate(rows) for p in _row(row, n * ROW_MM, today)]
    height = len(rows) * ROW_MM + LEGEND_MM
    parts += _legend(len(rows) * ROW_MM + 4)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH_MM:g}mm" height="{height:g}mm" '
        f'viewBox="0 0 {WIDTH_MM:g} {height:g}" font-family="sans-serif">{"".join(parts)}</svg>'
    )


def _rows(found: Iterator[_Week]) -> Iterator[list[_Week]]:
    while row := list(islice(found, WEEKS_A_ROW)):
        yield row


def _row(row: list[_Week], top: float, today: date) -> Iterator[str]:
    for n, (monday, week) in enumerate(row):
        left = n * 7 * _DAY_MM
        yield _stroke(left, top + 0.5, left, top + 12.5, 0.2)
        yield _text(left + 1, top + 3.2, short_day(monday), 2.8)
        for cell in week:
            x = left + (cell.day.weekday() + 0.5) * _DAY_MM
            if cell.day == today:
                yield (
                    f'<rect x="{x - _DAY_MM / 2:.2f}" y="{top + 4:.2f}" width="{_DAY_MM:.2f}" '
                    'height="9" fill="none" stroke="#111" stroke-width="0.3"/>'
                )
            yield _text(x, top + 6.8, f"{cell.day:%a}"[0], 2.4, "middle")
            yield from _day(cell, x, top + 10)


def _day(cell: DayCell, x: float, y: float) -> Iterator[str]:
    half = _DAY_MM / 2
    if cell.line == "served":
        yield _stroke(x - half, y, x + half, y, 0.6)
    elif cell.line == "uncounted":
        yield _stroke(x - half, y, x + half, y, 0.5, "0.7 0.8")
    elif cell.line == "ahead":
        yield _stroke(x - half, y, x + half, y, 0.2)
    yield mark(cell.mark, x, y)


def mark(name: str, x: float, y: float) -> str:
    """One mark of a day, told apart by shape and filling alone."""
    ink, empty = 'fill="#111"', 'fill="#fff" stroke="#111" stroke-width="0.35"'
    if name in ("done", "due"):
        return f'<circle cx="{x:.2f}" cy="{y:.2f}" r="1.2" {ink if name == "done" else empty}/>'
    if name in ("slide", "slide-done"):
        filled = ink if name == "slide-done" else empty
        return _shape([(x, y - 1.8), (x + 1.5, y), (x, y + 1.8), (x - 1.5, y)], filled)
    if name == "overdue":
        return _shape([(x, y - 1.7), (x + 1.6, y + 1.3), (x - 1.6, y + 1.3)], ink)
    if name == "skipped":
        return _stroke(x - 1, y - 1, x + 1, y + 1, 0.4) + _stroke(x - 1, y + 1, x + 1, y - 1, 0.4)
    if name == "uncounted":
        return _stroke(x - 2, y, x + 2, y, 0.5, "0.7 0.8")
    if name == "release":
        return _stroke(x, y - 2.4, x, y + 2.4, 1.1)
    return ""


def _legend(y: float) -> Iterator[str]:
    x = 2.0
    for name, _, words in LEGEND:
        yield mark(name, x, y)
        yield _text(x + 3, y + 1, words, 2.8)
        x += 8 + 1.55 * len(words)


def _shape(points: list[tuple[float, float]], filled: str) -> str:
    ring = " ".join(f"{x:.2f},{y:.2f}" for x, y in points)
    return f'<polygon points="{ring}" {filled}/>'


def _stroke(x1: float, y1: float, x2: float, y2: float, width: float, dashes: str = "") -> str:
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    return (
        f'<line x1="{x1:.2f}" y1="{y1:.2f}" x2="{x2:.2f}" y2="{y2:.2f}" stroke="#111" '
        f'stroke-width="{width:g}"{dashed}/>'
    )


def _text(x: float, y: float, words: str, size: float, anchor: str = "start") -> str:
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:g}" text-anchor="{anchor}">'
        f"{said(words)}</text>"
    )
