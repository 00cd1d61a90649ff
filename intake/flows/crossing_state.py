"""Where a way across is: its steps, its minutes, what was measured against what was foretold."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from math import exp

from intake.science.span import Span


@dataclass(frozen=True, slots=True)
class Check:
    """One checkpoint against what was foretold of it. None: not foretold, or not measured."""

    at: datetime
    foretold_c: float | None
    measured_c: float | None
    foretold_ph: float | None
    measured_ph: float | None
    said: str


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where a way across is. Steps count from 0; `now` is behind `last` when it is over.

    `began` has the moment each step begun so far began. `start` is when the minutes began to
    count, `ends` when they are over, `earliest` and `latest` its range.
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
    foretold: tuple[tuple[float, float], ...]
    holding: bool
    peak_nh3_n_mg_l: float | None

    @property
    def shut(self) -> bool:
        """Whether the bag stays shut until the lift."""
        return not self.way.startswith("drip")

    @property
    def left_c(self) -> float | None:
        """The gap the float will leave when its minutes are over [C]; None where unknown."""
        read = [(c.at, c.measured_c) for c in self.checks if c.measured_c is not None]
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
