"""A level over days as a saw-tooth: its range, what was and what is to come, limits, events."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from intake.drawing.line import STEEP, STROKES, Points, plotted, round_top
from intake.drawing.run_chart import at
from intake.science.limits import allowed


@dataclass(frozen=True, slots=True)
class Mark:
    """Something that happened or is to come, so many days from now: its letter."""

    day: float
    letter: str


DOSED, DOSE_DUE, CHANGED, CHANGE_DUE = "D", "d", "C", "c"


@dataclass(frozen=True, slots=True)
class LevelChart:
    """One level over days from now (before now: under 0). Points are (day, value in `unit`).

    Parameters
    ----------
    likely, low, high
        The level and its ends, the same days in each; empty ends where nothing is left open.
    floor, limit
        The low end of its course and its hard limit; None where there is none.
    marks
        Doses and changes.
    days
        Midnights with their date in words, for the axis.
    since
        The day the axis begins with, where that is before the first point: beside others.
    """

    name: str
    unit: str
    likely: Points
    low: Points = ()
    high: Points = ()
    floor: float | None = None
    limit: float | None = None
    marks: tuple[Mark, ...] = ()
    days: tuple[tuple[float, str], ...] = ()
    since: float | None = None


@dataclass(frozen=True, slots=True)
class LevelScale:
    """What the axes show."""

    x: tuple[float, float]
    y: tuple[float, float]

    def row_of(self, value: float, rows: int) -> int | None:
        """The row in which a line through this value is drawn; None outside."""
        bottom, top = self.y
        if not bottom <= value <= top:
            return None
        heights = rows * len(STROKES)
        return round((top - value) / (top - bottom) * (heights - 1)) // len(STROKES)

    def column_of(self, day: float, columns: int) -> int:
        """The column a day falls into."""
        share = (day - self.x[0]) / (self.x[1] - self.x[0])
        return min(columns - 1, max(0, round(share * (columns - 1))))

    def day_at(self, column: int, columns: int) -> float:
        """The day in the middle of a column."""
        return self.x[0] + (self.x[1] - self.x[0]) * column / max(columns - 1, 1)


def scale_of(chart: LevelChart) -> LevelScale:
    """Axes from nothing up to over the highest, the limit with room over it."""
    days = [x for x, _ in chart.likely] or [0.0, 1.0]
    highest = max([y for _, y in (*chart.likely, *chart.high)], default=0.0)
    top = max(highest, (chart.limit or chart.floor or 0.0)) * 1.1
    step = round_top((top or 1.0) / 5)
    whole = step * -(-(top or 1.0) // step)
    left, right = min(days), max(days)
    left = left if chart.since is None else min(left, chart.since)
    x = (left, right if right > left else left + 1.0)
    return LevelScale(x, (0.0, whole))


Cell = tuple[str, str]
"""What a cell shows: none, band, band-over, limit, floor, now, line, line-over, to-come; and the
stroke of a line."""


def cells(chart: LevelChart, columns: int, rows: int) -> list[list[Cell]]:
    """The chart as rows of cells, the highest first; what comes later lies on top."""
    scale = scale_of(chart)
    grid: list[list[Cell]] = [[("none", "")] * columns for _ in range(rows)]
    for x in range(columns):
        for y in _band(chart, scale, scale.day_at(x, columns), rows):
            grid[y][x] = ("band-over" if _over(chart, scale, y, rows) else "band", "")
    walls = {}
    for value, kind in ((chart.floor, "floor"), (chart.limit, "limit")):
        wall = None if value is None else scale.row_of(value, rows)
        if wall is not None and value is not None:
            grid[wall], walls[wall] = [(kind, "")] * columns, value
    now = scale.column_of(0.0, columns)
    for row in grid:
        row[now] = ("now", "")
    drawn = plotted([chart.likely], x_range=scale.x, y_range=scale.y, columns=columns, rows=rows)
    for y, strokes in enumerate(drawn):
        for x, (stroke, index) in enumerate(strokes):
            if index == 0:
                kind = "to-come" if x > now else "line"
                kind = "line-over" if _over(chart, scale, y, rows) else kind
                side = _side(chart, scale.day_at(x, columns), walls.get(y), stroke)
                grid[y][x] = (kind, side)
    return grid


def _side(chart: LevelChart, day: float, wall: float | None, stroke: str) -> str:
    """The stroke in the row of a limit, which runs through its middle: over, on or under it."""
    level = None if wall is None or stroke == STEEP else at(chart.likely, day)
    if level is None or wall is None:
        return stroke
    over, on, under = STROKES
    return over if level > wall else under if level < wall else on


def _band(chart: LevelChart, scale: LevelScale, day: float, rows: int) -> Iterator[int]:
    low, high = at(chart.low, day), at(chart.high, day)
    if low is None or high is None:
        return
    first, last = scale.row_of(high, rows), scale.row_of(low, rows)
    if first is not None and last is not None:
        yield from range(first, last + 1)


def _over(chart: LevelChart, scale: LevelScale, y: int, rows: int) -> bool:
    """Whether a row lies over the limit."""
    wall = None if chart.limit is None else scale.row_of(chart.limit, rows)
    return wall is not None and y < wall


def marks_row(chart: LevelChart, columns: int) -> str:
    """One letter for each event under its place, or beside it where another one stands there."""
    scale, row = scale_of(chart), [" "] * columns
    for mark in sorted(chart.marks, key=lambda m: (m.letter in (DOSE_DUE, CHANGE_DUE), m.day)):
        if not scale.x[0] <= mark.day <= scale.x[1]:
            continue
        column = scale.column_of(mark.day, columns)
        places = (c for c in (column, column + 1, column - 1) if 0 <= c < columns)
        free = next((c for c in places if row[c] in (" ", mark.letter)), None)
        if free is not None:
            row[free] = mark.letter
    return "".join(row)


def passes(chart: LevelChart) -> bool:
    """Whether the high end passes the limit anywhere."""
    highest = [y for _, y in (chart.high or chart.likely)]
    return chart.limit is not None and any(not allowed(y, None, chart.limit) for y in highest)
