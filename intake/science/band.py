"""A reading with two ends against a limit: inside, outside, or not to be told."""

from __future__ import annotations

from dataclasses import dataclass

from intake.science.limits import Number, allowed
from intake.science.show import show_range

NO2_PER_N = 46.0055 / 14.0067
"""Mass of nitrite in a mass of nitrogen counted as N. Source: IUPAC atomic weights."""

INSIDE, OUTSIDE, UNDECIDED = "inside", "outside", "undecided"


@dataclass(frozen=True, slots=True)
class Ends:
    """A reading between two ends, all in one unit; None where a band is open on that side."""

    low: float | None
    value: float
    high: float | None

    def times(self, low: float, value: float, high: float) -> Ends:
        """The same with each of the three multiplied by its own factor, none below 0."""
        return Ends(
            None if self.low is None else self.low * low,
            self.value * value,
            None if self.high is None else self.high * high,
        )

    def within(self, low: float, high: float) -> Ends:
        """The same cut to where something can be worked out; an open end stays open."""

        def cut(value: float) -> float:
            return min(max(value, low), high)

        return Ends(
            None if self.low is None else cut(self.low),
            cut(self.value),
            None if self.high is None else cut(self.high),
        )

    def text(self, unit: str) -> str:
        """As a keeper reads it: ``0.5 to 2 mg/L``, ``over 8 mg/L``, ``under 6``."""
        return show_range(self.low, self.high, unit)


def decide(ends: Ends, at_least: Number | None = None, at_most: Number | None = None) -> str:
    """Whether a reading is inside its limits whichever of its ends is true.

    Parameters
    ----------
    ends
        The reading. An open end lies beyond every limit on its side.
    at_least, at_most
        The limits, both allowed themselves; None where there is none.

    Returns
    -------
    str
        "inside" where both ends are, "outside" where both are beyond one limit, else "undecided":
        the reading cannot tell.
    """
    low_in = at_least is None or (ends.low is not None and allowed(ends.low, at_least, None))
    high_in = at_most is None or (ends.high is not None and allowed(ends.high, None, at_most))
    if low_in and high_in:
        return INSIDE
    over = at_most is not None and ends.low is not None and not allowed(ends.low, None, at_most)
    under = (
        at_least is not None and ends.high is not None and not allowed(ends.high, at_least, None)
    )
    return OUTSIDE if over or under else UNDECIDED


def as_nitrite(ends: Ends, unit: str) -> Ends:
    """A nitrite reading in mg/L as NO2, by the unit it was typed in.

    Where it was not said what it is counted as it may be either: the low end as it stands, the
    high end as N.
    """
    if unit.endswith("N") and not unit.endswith("NO2"):
        return ends.times(NO2_PER_N, NO2_PER_N, NO2_PER_N)
    return ends if unit.endswith("NO2") else ends.times(1.0, 1.0, NO2_PER_N)
