"""A value with its low and high end."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Span:
    """A value between two ends, all in one unit; low <= nominal <= high."""

    low: float
    nominal: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.nominal <= self.high:
            raise ValueError(f"not in order: {self.low}, {self.nominal}, {self.high}")

    @property
    def exact(self) -> bool:
        """Whether both ends are the value itself."""
        return self.low == self.high

    def less(self, other: Span) -> Span:
        """From the least to the most this may be over `other`."""
        return Span(self.low - other.high, self.nominal - other.nominal, self.high - other.low)

    @property
    def widest(self) -> float:
        """The end that lies farthest from 0."""
        return max((self.low, self.high), key=abs)

    @property
    def nearest(self) -> float:
        """What lies nearest to 0 between the ends."""
        return min(max(self.low, 0.0), self.high)

    def map(self, rising: Callable[[float], float]) -> Span:
        """The span of a function that never falls: each end goes to its own end."""
        return Span(rising(self.low), rising(self.nominal), rising(self.high))


def as_span(value: float | Span) -> Span:
    """A plain number as a span without width; a span as it is."""
    return value if isinstance(value, Span) else Span(value, value, value)
