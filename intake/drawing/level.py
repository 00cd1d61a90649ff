"""A level against its limit as runs of cells: the limit is a wall at a fixed fraction."""

from __future__ import annotations

import math
from dataclasses import dataclass

WALL_AT = 0.6
"""Where the limit stands, as a share of the width: room is left to see how far past it is."""


@dataclass(frozen=True, slots=True)
class LevelCells:
    """A bar as runs of cells, left to right.

    `runs` are (kind, cells): fill, doubt (between the low and the high end), empty, wall (always
    one cell), over (past the wall). `off_scale` is True when the level reaches past the end.
    """

    runs: tuple[tuple[str, int], ...]
    off_scale: bool

    @property
    def width(self) -> int:
        """All cells together."""
        return sum(cells for _, cells in self.runs)


def level_cells(
    low: float | None,
    high: float | None,
    limit: float,
    width: int,
    *,
    wall_at: float = WALL_AT,
) -> LevelCells:
    """The bar of a level between `low` and `high` (the same unit as `limit`) in `width` cells.

    Parameters
    ----------
    low, high
        The ends of the level; equal when it is exact. None: not known, the bar stays empty.
    limit
        The limit, above 0.
    width
        Cells, at least 8.
    wall_at
        Share of the width before the wall.

    Notes
    -----
    Judged at the high end. A level over the limit always shows at least one cell past the wall,
    a level at or under it never does, whatever the rounding of cells says.
    """
    before = max(1, min(width - 2, round(width * wall_at)))
    after = width - before - 1
    if low is None or high is None:
        return LevelCells((("empty", before), ("wall", 1), ("empty", after)), off_scale=False)
    over = high > limit
    fill_low = _cells(low, limit, before)
    fill_high = before if over else _cells(high, limit, before)
    past = 0
    if over:
        past = max(1, math.ceil((high - limit) / limit * before))
    off_scale = past > after
    runs = [
        ("fill", fill_low),
        ("doubt", fill_high - fill_low),
        ("empty", before - fill_high),
        ("wall", 1),
        ("over", min(past, after)),
        ("empty", after - min(past, after)),
    ]
    return LevelCells(tuple(run for run in runs if run[1]), off_scale=off_scale)


def _cells(value: float, limit: float, before: int) -> int:
    if value <= 0:
        return 0
    return min(before, max(1, round(value / limit * before)))
