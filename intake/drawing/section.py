"""A vessel cut along its length, as cells: walls, air, water, gravel, to scale."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

AIR, WATER, LINE, GRAVEL, OUTSIDE = "air", "water", "line", "gravel", "outside"


@dataclass(frozen=True, slots=True)
class Section:
    """The drawing as rows of (kind, half cells) runs, from the rim down.

    Every row is `columns` cells wide, so its runs add up to twice as many half cells. Kinds:
    outside, wall, air, line (the row the waterline runs through), water, gravel. `waterline_row`
    and `gravel_row` are rows, None where there is no water or gravel in the drawing.
    """

    rows: tuple[tuple[tuple[str, int], ...], ...]
    columns: int
    waterline_row: int | None
    gravel_row: int | None


def width_at(outline: tuple[tuple[float, float], ...], height_cm: float) -> float:
    """The width at a height above the floor [cm], straight between the points given."""
    points = sorted(outline)
    if height_cm <= points[0][0]:
        return points[0][1]
    for (low, narrow), (high, wide) in pairwise(points):
        if height_cm <= high:
            share = (height_cm - low) / (high - low) if high > low else 1.0
            return narrow + (wide - narrow) * share
    return points[-1][1]


def section(
    outline: tuple[tuple[float, float], ...],
    *,
    depth_cm: float,
    rim_cm: float,
    gravel_cm: float,
    columns: int,
    rows: int,
) -> Section:
    """The cross-section in at most `columns` by `rows` cells, a cell twice as high as wide.

    Parameters
    ----------
    outline
        (height above the floor, width) pairs [cm].
    depth_cm, rim_cm, gravel_cm
        Heights above the floor of the waterline, the rim and the top of the gravel [cm].

    Notes
    -----
    The half cell of a wall is rounded to the nearest; both walls are always drawn.
    """
    rim = max(rim_cm, depth_cm, 1e-6)
    widest = max(width for _, width in outline)
    per_cell = max(widest / max(1, columns - 2), rim / (2 * rows))
    used = max(2, min(rows, round(rim / (2 * per_cell))))
    columns = min(columns, math.ceil(widest / per_cell - 1e-9) + 2)
    row_cm = rim / used
    waterline = _row_under(depth_cm, rim, row_cm, used) if depth_cm > 0 else None
    gravel = _row_under(min(gravel_cm, rim), rim, row_cm, used) if gravel_cm > 0 else None
    drawn = []
    for y in range(used):
        kind = AIR
        if gravel is not None and y >= gravel:
            kind = GRAVEL
        elif waterline is not None and y >= waterline:
            kind = LINE if y == waterline else WATER
        middle = rim - (y + 0.5) * row_cm
        drawn.append(_row(width_at(outline, middle), per_cell, columns, kind))
    return Section(tuple(drawn), columns, waterline, gravel)


def _row_under(height_cm: float, rim_cm: float, row_cm: float, rows: int) -> int:
    """The row whose upper edge is nearest to a height; under the rim it is never the first."""
    row = round((rim_cm - height_cm) / row_cm)
    if height_cm < rim_cm - 1e-9:
        row = max(1, row)
    return min(rows - 1, row)


def _row(width_cm: float, per_cell: float, columns: int, kind: str) -> tuple[tuple[str, int], ...]:
    total = columns * 2
    inside = min(total - 4, max(0, 2 * round(width_cm / per_cell)))
    left = (total - inside - 4) // 2
    runs = [
        (OUTSIDE, left),
        ("wall", 2),
        (kind, inside),
        ("wall", 2),
        (OUTSIDE, total - left - inside - 4),
    ]
    return tuple(run for run in runs if run[1])
