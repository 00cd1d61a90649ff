"""The chart of a run: one figure over its minutes, its ends, limit, readings and now."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, floor

from intake.drawing.line import Points, plotted, round_top, row_of, ticks
from intake.science.limits import allowed


@dataclass(frozen=True, slots=True)
class Panel:
    """One figure over the minutes of a run. Points are (minute, value in `unit`).

    `likely` runs between `low` and `high`, which are empty where nothing is left open; `before`
    is what was foretold when the run was chosen; `now` is the minute, None when it is over.
    """

    name: str
    unit: str
    likely: Points
    low: Points = ()
    high: Points = ()
    before: Points = ()
    measured: Points = ()
    limit: float | None = None
    now: float | None = None
    from_zero: bool = False


@dataclass(frozen=True, slots=True)
class Scale:
    """What the axes show, and the round values on the upright one."""

    x: tuple[float, float]
    y: tuple[float, float]
    y_ticks: tuple[float, ...]


def scale_of(panel: Panel) -> Scale:
    """Axes that hold everything of a panel, with room over the limit."""
    every = [
        *panel.likely, *panel.low, *panel.high, *panel.before, *panel.measured,
    ]  # fmt: skip
    right = max((x for x, _ in every), default=1.0) or 1.0
    values = [y for _, y in every] or [0.0]
    if panel.from_zero:
        top = round_top(max(*values, (panel.limit or 0.0) * 1.2, 0.0))
        return Scale((0.0, right), (0.0, top), tuple(ticks(0.0, top, 5)))
    step = round_top(max(max(values) - min(values), 0.5) / 4)
    low, high = floor(min(values) / step) * step, ceil(max(values) / step) * step
    high = high if high > low else low + step
    return Scale((0.0, right), (low, high), tuple(ticks(low, high, 6)))


def at(points: Points, x: float) -> float | None:
    """The value at a minute, on the straight between its neighbours; None outside."""
    if not points or not points[0][0] <= x <= points[-1][0]:
        return None
    before = next(p for p in reversed(points) if p[0] <= x)
    after = next(p for p in points if p[0] >= x)
    if after[0] == before[0]:
        return before[1]
    return before[1] + (after[1] - before[1]) * (x - before[0]) / (after[0] - before[0])


Cell = tuple[str, str]
"""What a cell shows: one of none, band, band-over, limit, now, before, line, line-over,
measured; and the stroke of a line."""


def cells(panel: Panel, columns: int, rows: int) -> list[list[Cell]]:
    """The chart as rows of cells, the highest first; what comes later lies on top."""
    scale = scale_of(panel)
    grid: list[list[Cell]] = [[("none", "")] * columns for _ in range(rows)]
    for x in range(columns):
        minute = scale.x[0] + (scale.x[1] - scale.x[0]) * x / max(columns - 1, 1)
        for y in _between(panel, scale, minute, rows):
            grid[y][x] = ("band-over" if _past(panel, scale, y, rows) else "band", "")
    if panel.limit is not None and (wall := row_of(panel.limit, scale.y, rows)) is not None:
        grid[wall] = [("limit", "")] * columns
    if panel.now is not None and scale.x[0] <= panel.now <= scale.x[1]:
        x = _column(panel.now, scale, columns)
        for row in grid:
            row[x] = ("now", "")
    drawn = plotted(
        [panel.before, panel.likely], x_range=scale.x, y_range=scale.y, columns=columns, rows=rows
    )
    for y, strokes in enumerate(drawn):
        for x, (stroke, index) in enumerate(strokes):
            if index == 0:
                grid[y][x] = ("before", stroke)
            elif index == 1:
                over = _past(panel, scale, y, rows)
                grid[y][x] = ("line-over" if over else "line", stroke)
    for minute, value in panel.measured:
        y_at = row_of(value, scale.y, rows)
        if y_at is not None:
            grid[y_at][_column(min(minute, scale.x[1]), scale, columns)] = ("measured", "")
    return grid


def _between(panel: Panel, scale: Scale, minute: float, rows: int) -> Iterator[int]:
    low, high = at(panel.low, minute), at(panel.high, minute)
    if low is None or high is None:
        return
    first, last = row_of(high, scale.y, rows), row_of(low, scale.y, rows)
    if first is not None and last is not None:
        yield from range(first, last + 1)


def _past(panel: Panel, scale: Scale, y: int, rows: int) -> bool:
    """Whether a row lies over the limit."""
    if panel.limit is None:
        return False
    wall = row_of(panel.limit, scale.y, rows)
    return wall is not None and y < wall


def _column(minute: float, scale: Scale, columns: int) -> int:
    share = (minute - scale.x[0]) / (scale.x[1] - scale.x[0])
    return min(columns - 1, max(0, round(share * (columns - 1))))


def over(panel: Panel) -> bool:
    """Whether the high end passes the limit anywhere."""
    highest = [y for _, y in (panel.high or panel.likely)]
    return panel.limit is not None and any(not allowed(y, None, panel.limit) for y in highest)
