"""Lines over time as thin strokes: three heights in every cell, an upright where it is steep."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

Points = Sequence[tuple[float, float]]

STROKES = ("▔", "─", "▁")
"""The heights of a cell, the highest first; every monospace font has them, braille it may not."""
STEEP = "│"


def plotted(
    series: Sequence[Points],
    *,
    x_range: tuple[float, float],
    y_range: tuple[float, float],
    columns: int,
    rows: int,
) -> list[list[tuple[str, int]]]:
    """Rows of (stroke, index of the series drawn there; " " and -1 where none is).

    Points outside the ranges are left out, straight lines join neighbours. Where two series meet
    in a cell the later one is drawn.
    """
    heights = len(STROKES)
    cells: list[list[tuple[str, int]]] = [[(" ", -1)] * columns for _ in range(rows)]
    for index, points in enumerate(series):
        crossed: dict[tuple[int, int], set[int]] = {}
        for x, y in _pixels(points, x_range, y_range, columns, rows * heights):
            crossed.setdefault((y // heights, x), set()).add(y % heights)
            whole = len(crossed[y // heights, x]) == heights
            cells[y // heights][x] = (STEEP if whole else STROKES[y % heights], index)
    return cells


def _pixels(
    points: Points,
    x_range: tuple[float, float],
    y_range: tuple[float, float],
    width: int,
    height: int,
) -> list[tuple[int, int]]:
    (left, right), (bottom, top) = x_range, y_range
    if right <= left or top <= bottom:
        return []
    placed = [
        ((x - left) / (right - left) * (width - 1), (top - y) / (top - bottom) * (height - 1))
        for x, y in points
        if left <= x <= right and bottom <= y <= top
    ]
    pixels = [(round(x), round(y)) for x, y in placed[:1]]
    for (x1, y1), (x2, y2) in pairwise(placed):
        steps = max(1, math.ceil(max(abs(x2 - x1), abs(y2 - y1))))
        pixels += [
            (round(x1 + (x2 - x1) * n / steps), round(y1 + (y2 - y1) * n / steps))
            for n in range(1, steps + 1)
        ]
    return pixels


def row_of(value: float, y_range: tuple[float, float], rows: int) -> int | None:
    """The row a level runs through, None outside the range."""
    bottom, top = y_range
    if not bottom <= value <= top or top <= bottom:
        return None
    return min(rows - 1, int((top - value) / (top - bottom) * (rows - 1) + 0.5))


def round_top(highest: float) -> float:
    """The next 1, 2 or 5 times a power of ten at or above `highest` (above 0)."""
    if highest <= 0:
        return 1.0
    power = 10.0 ** math.floor(math.log10(highest))
    return next(step * power for step in (1, 2, 5, 10) if highest <= step * power * (1 + 1e-9))


def ticks(low: float, high: float, most: int) -> list[float]:
    """At most `most` round values from low to high, both ends included where they are round."""
    if high <= low or most < 1:
        return [low]
    step = round_top((high - low) / most)
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return [n * step for n in range(first, last + 1)]
