"""A vessel seen from above, as square half-cell pixels: the waterline round the floor."""

from __future__ import annotations

Points = tuple[tuple[float, float], ...]


def inside(points: Points, x: float, y: float) -> bool:
    """Whether a point is in a closed outline (even and odd crossings)."""
    within = False
    for (x1, y1), (x2, y2) in zip(points, (*points[1:], points[0]), strict=True):
        if (y1 > y) != (y2 > y) and x < (x2 - x1) * (y - y1) / (y2 - y1) + x1:
            within = not within
    return within


def from_above(
    waterline: Points, floor: Points, columns: int, rows: int
) -> tuple[tuple[int, ...], ...]:
    """Pixel rows of 0 outside, 1 water, 2 floor; two pixel rows make one row of cells.

    Drawn to scale in at most `columns` by `rows` cells; an outline without points gives none.
    """
    if len(waterline) < 3:
        return ()
    xs = [x for x, _ in waterline]
    ys = [y for _, y in waterline]
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    if wide <= 0 or high <= 0:
        return ()
    step = max(wide / columns, high / (2 * rows))
    across, down = max(1, round(wide / step)), max(2, round(high / step))
    down += down % 2
    drawn = []
    for j in range(down):
        y = min(ys) + (j + 0.5) * high / down
        line = []
        for i in range(across):
            x = min(xs) + (i + 0.5) * wide / across
            wet = inside(waterline, x, y)
            line.append(2 if wet and len(floor) >= 3 and inside(floor, x, y) else int(wet))
        drawn.append(tuple(line))
    return tuple(drawn)


EDGE = 3
"""A pixel of the wall itself: wet, with something dry beside it."""


def edged(pixels: tuple[tuple[int, ...], ...]) -> tuple[tuple[int, ...], ...]:
    """The same pixels with the outermost wet ones as the wall."""
    high = len(pixels)

    def dry(x: int, y: int) -> bool:
        return not (0 <= y < high and 0 <= x < len(pixels[y])) or not pixels[y][x]

    def pixel(x: int, y: int, wet: int) -> int:
        beside = ((x - 1, y), (x + 1, y), (x, y - 1), (x, y + 1))
        return EDGE if wet and any(dry(*place) for place in beside) else wet

    return tuple(
        tuple(pixel(x, y, wet) for x, wet in enumerate(row)) for y, row in enumerate(pixels)
    )
