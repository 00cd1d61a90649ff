"""Where a number comes from, and what the figures of a course may be for."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

MARKS = ("published", "common practice", "from memory")
"""How far a number can be trusted: read in a source, a rule of the trade, or remembered."""


@dataclass(frozen=True, slots=True)
class Source:
    """Where a number comes from: its text and one of `MARKS`."""

    text: str
    mark: str


@dataclass(frozen=True, slots=True)
class PerReading:
    """The figures of a course are for each `each` of a reading, at its `end` ("low", "high").

    Where it is `needed` nothing is dosed without that reading, younger than `max_age_h` [h];
    otherwise a target that was asked for stands by itself.
    """

    quantity: str
    each: Decimal
    end: str
    max_age_h: Decimal
    needed: bool
    source: Source


@dataclass(frozen=True, slots=True)
class AskedAs:
    """A target may be asked for as another quantity: `each` of it [`unit`] is `comes_to`."""

    kind: str
    unit: str
    each: Decimal
    comes_to: Decimal
    source: Source


@dataclass(frozen=True, slots=True)
class Rate:
    """How fast water is warmed at most [C/h, C/d]."""

    per_hour_c: Decimal
    per_day_c: Decimal
    source: Source
