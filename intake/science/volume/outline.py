"""An outline by its corner points: area, extent, and whether it crosses itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

Point = tuple[float, float]

TOUCHING = 1e-9
"""Share of the outline's extent squared below which three points count as on one line [1]."""


def corners(values: Mapping[str, float]) -> list[Point]:
    """The corners [cm] among flat values named ``points.1.x``, ``points.1.y`` and so on."""
    found: list[Point] = []
    while f"points.{len(found) + 1}.x" in values:
        place = f"points.{len(found) + 1}."
        found.append((values[place + "x"], values[place + "y"]))
    return found


def extent(points: Sequence[Point], axis: int) -> float:
    """How far the outline reaches along axis 0 or 1 [cm]."""
    along = [point[axis] for point in points]
    return max(along) - min(along)


def shoelace_cm2(points: Sequence[Point]) -> float:
    """Area inside the outline [cm2], whichever way it is walked.

    Source: shoelace formula (Gauss), textbook.
    """
    return abs(sum(_cross((0.0, 0.0), a, b) for a, b in _edges(points))) / 2


def crossing(points: Sequence[Point]) -> tuple[int, int] | None:
    """Two edges (counted from 1) that cross, touch or fold back; None for a clean outline."""
    edges = _edges(points)
    reach = max(extent(points, 0), extent(points, 1))
    slack = TOUCHING * reach * reach
    for i, first in enumerate(edges):
        for j in range(i + 1, len(edges)):
            neighbours = j == i + 1 or (i == 0 and j == len(edges) - 1)
            if neighbours:
                before, after = (edges[j], first) if j != i + 1 else (first, edges[j])
                bad = _folds_back(before, after, slack)
            else:
                bad = _meet(first, edges[j], slack)
            if bad:
                return i + 1, j + 1
    return None


def _edges(points: Sequence[Point]) -> list[tuple[Point, Point]]:
    return [(point, points[(i + 1) % len(points)]) for i, point in enumerate(points)]


def _cross(origin: Point, a: Point, b: Point) -> float:
    return (a[0] - origin[0]) * (b[1] - origin[1]) - (a[1] - origin[1]) * (b[0] - origin[0])


def _folds_back(before: tuple[Point, Point], after: tuple[Point, Point], slack: float) -> bool:
    (a, b), (_, c) = before, after
    ahead = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1])
    return a == b or b == c or (abs(_cross(a, b, c)) <= slack and ahead <= 0)


def _side(origin: Point, a: Point, b: Point, slack: float) -> int:
    turn = _cross(origin, a, b)
    return 0 if abs(turn) <= slack else (1 if turn > 0 else -1)


def _meet(first: tuple[Point, Point], second: tuple[Point, Point], slack: float) -> bool:
    (a, b), (c, d) = first, second
    sides = (
        _side(a, b, c, slack),
        _side(a, b, d, slack),
        _side(c, d, a, slack),
        _side(c, d, b, slack),
    )
    if sides[0] * sides[1] < 0 and sides[2] * sides[3] < 0:
        return True
    ends = zip(sides, (c, d, a, b), (first, first, second, second), strict=True)
    return any(side == 0 and _between(point, edge) for side, point, edge in ends)


def _between(point: Point, edge: tuple[Point, Point]) -> bool:
    return all(
        min(edge[0][axis], edge[1][axis]) <= point[axis] <= max(edge[0][axis], edge[1][axis])
        for axis in (0, 1)
    )
