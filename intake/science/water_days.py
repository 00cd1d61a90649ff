"""The lowest and highest temperature of a water, day by day, and what is taken where none is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

Ends = tuple[float, float]
"""The lowest and the highest temperature of a day [C]."""


@dataclass(frozen=True, slots=True)
class WaterDays:
    """Days of a water from `first` on, each its low and high [C], None where nobody knows.

    Days after the last one of `days` are taken like the last one that is known.
    """

    first: date
    days: tuple[Ends | None, ...]

    @property
    def last(self) -> date:
        """The last day there is a word of."""
        return self.first + timedelta(len(self.days) - 1)

    @property
    def ahead(self) -> Ends | None:
        """What the days to come are taken for: the last known day."""
        return next((d for d in reversed(self.days) if d is not None), None)

    @property
    def warmest_c(self) -> float | None:
        """The highest temperature of all known days [C]."""
        return max((d[1] for d in self.days if d is not None), default=None)

    def on(self, day: date) -> Ends | None:
        """The low and high of a day; None where it is not known."""
        n = (day - self.first).days
        if n < 0:
            return None
        return self.days[n] if n < len(self.days) else self.ahead

    def foretold(self, day: date) -> bool:
        """Whether a day is still to come."""
        return day > self.last

    def known_by(self, day: date) -> WaterDays:
        """What was known of the water on that day."""
        return replace(self, days=self.days[: max(0, (day - self.first).days + 1)])


def steady(first: date, low_c: float, high_c: float) -> WaterDays:
    """A water with the same nights and days all along [C]."""
    return WaterDays(first, ((low_c, high_c),))
