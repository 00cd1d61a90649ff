"""Where a way across is: its steps, its minutes, what was measured against what was foretold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from math import exp

from intake.science.bag_courses import OpenBag
from intake.science.bag_fit import Point
from intake.science.bag_replan import Over
from intake.science.span import Span


@dataclass(frozen=True, slots=True)
class Check:
    """One checkpoint against what was foretold of it. None: not foretold, or not measured.

    `told` is False where the clock went back, so that nobody knows at which minute it was.
    """

    at: datetime
    foretold_c: float | None
    measured_c: float | None
    foretold_ph: float | None
    measured_ph: float | None
    said: str
    told: bool = True


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where a way across is. Steps count from 0; `now` is behind `last` when it is over.

    Parameters
    ----------
    began
        The moment each step begun so far began.
    start, ends, earliest, latest
        When the minutes began to count, when they are over, and its range.
    kept
        The way as it was foretold when it was chosen, row by row as the choice keeps it.
    opened, points
        A bag that stands open, and what was read of it since; None and () where it is shut.
    over_at
        The first minute NH3 is foretold over `limit_n_mg_l`, by readings on the way.
    gasping
        Whether its fish gasp: they are lifted across at once.
    behind_min
        How far the clock is behind the newest entry of this run [min]; 0: it is not.
    """

    way: str
    steps: tuple[str, ...]
    now: int
    timed: int | None
    last: int
    began: tuple[datetime, ...]
    start: datetime
    ends: datetime
    earliest: datetime
    latest: datetime
    bag_c: float | None
    there_c: float | None
    aim_c: float | None
    tau_min: Span
    replans: bool
    checks: tuple[Check, ...]
    kept: tuple[tuple[float, ...], ...]
    holding: bool
    peak_nh3_n_mg_l: float | None
    limit_n_mg_l: float
    opened: OpenBag | None
    points: tuple[Point, ...]
    learned: tuple[str, ...]
    replanned: tuple[str, ...]
    over_at: Over | None
    behind_min: float
    gasping: bool

    @property
    def shut(self) -> bool:
        """Whether the bag stays shut until the lift."""
        return not self.way.startswith("drip")

    @property
    def left_c(self) -> float | None:
        """The gap the float will leave when its minutes are over [C]; None where unknown."""
        read = [(c.at, c.measured_c) for c in self.checks if c.told and c.measured_c is not None]
        at, temp_c = read[-1] if read else (self.start, self.bag_c)
        if temp_c is None or self.there_c is None:
            return None
        minutes = max(0.0, (self.ends - max(at, self.start)).total_seconds() / 60)
        return abs(temp_c - self.there_c) * exp(-minutes / self.tau_min.nominal)

    @property
    def over(self) -> bool:
        """Whether the fish are across."""
        return self.now > self.last

    @property
    def waiting(self) -> bool:
        """Whether the minutes still count."""
        return self.timed is not None and self.now <= self.timed


def kept_at(curve: Sequence[Sequence[float]], minutes: float, column: int) -> float | None:
    """A figure of a curve kept with a choice, between its two nearest minutes.

    None before its first minute, and where the choice did not keep that figure.
    """
    if not curve or minutes < 0 or column >= len(curve[0]):
        return None
    before = next((row for row in reversed(curve) if row[0] <= minutes), curve[0])
    after = next((row for row in curve if row[0] >= minutes), curve[-1])
    if after[0] == before[0]:
        return float(before[column])
    share = (minutes - before[0]) / (after[0] - before[0])
    return float(before[column] + (after[column] - before[column]) * share)
