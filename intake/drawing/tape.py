"""A tape with the marks of a vessel, cut into pieces that a sheet of paper holds at full size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

PIECE_CM = 22.0
"""What one sheet adds to the tape [cm]: a piece and its overlap stand on A4 and on US letter."""
OVERLAP_CM = 1.0
"""What two pieces share, to be glued over each other [cm]."""
MM_PER_CM = 10.0
SAME_CM = 1e-6


@dataclass(frozen=True, slots=True)
class Mark:
    """One mark: how far under the upper end of its piece [mm], and its place in the table."""

    down_mm: float
    at: int


@dataclass(frozen=True, slots=True)
class Piece:
    """One sheet's part of the tape, from `low_cm` to `high_cm` above the floor.

    The mark at its lower end is on the piece below, which is glued over it; `joins_down_mm` is
    where the top mark of that piece comes to lie, None for the lowest.
    """

    low_cm: float
    high_cm: float
    marks: tuple[Mark, ...]
    joins_down_mm: float | None

    @property
    def length_mm(self) -> float:
        """Its length on paper [mm]: one centimetre of water is one centimetre of paper."""
        return (self.high_cm - self.low_cm) * MM_PER_CM


def pieces(depths_cm: Sequence[float]) -> tuple[Piece, ...]:
    """The tape from the floor to the deepest of `depths_cm`, the lowest piece first."""
    top_cm = max(depths_cm)
    found: list[Piece] = []
    low_cm = 0.0
    while True:
        high_cm = min(low_cm + PIECE_CM + OVERLAP_CM, top_cm)
        marks = tuple(
            Mark((high_cm - depth_cm) * MM_PER_CM, at)
            for at, depth_cm in enumerate(depths_cm)
            if low_cm + SAME_CM < depth_cm <= high_cm + SAME_CM
        )
        joins = (high_cm - low_cm - OVERLAP_CM) * MM_PER_CM if low_cm else None
        found.append(Piece(low_cm, high_cm, marks, joins))
        if high_cm >= top_cm - SAME_CM:
            return tuple(found)
        low_cm += PIECE_CM
