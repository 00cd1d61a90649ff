"""What a quarantine plan file offers beside its steps: preventive courses, and when eggs hatch."""

from __future__ import annotations

from decimal import Decimal
from typing import Self

from pydantic import Field, model_validator

from intake.rules.fields import (
    Cited,
    Flaw,
    Name,
    Number,
    Quantity,
    Whole,
    Words,
    celsius,
    flaws_in,
    raise_flaws,
    sure,
)
from intake.rules.plan_steps import OnlyWhere, day_flaws
from intake.science.plan import Hatching, Preventive


class PreventiveBlock(Cited):
    """A course that may be chosen when a quarantine begins; its first dose between two days."""

    treatment: Name
    course: Name
    against: list[Words] = Field(min_length=1)
    from_day: Whole
    to_day: Whole
    because: Words | None = None
    only_where: OnlyWhere | None = None

    @model_validator(mode="after")
    def _fits(self) -> Self:
        flaws = day_flaws(self.from_day, self.to_day)
        if self.from_day < 0:
            text = f"day {self.from_day} is before the fish come"
            flaws.append(Flaw(("from_day",), "out-of-range", text))
        raise_flaws(flaws)
        return self

    def preventive(self) -> Preventive:
        """The offer as a frozen shape."""
        return Preventive(
            treatment=self.treatment,
            course=self.course,
            against=tuple(self.against),
            from_day=self.from_day,
            to_day=self.to_day,
            source=self.cite(),
            because=self.because or "",
            only_where=self.only_where or "",
        )


class HatchingBlock(Cited):
    """Degree-days from laying to hatching: `least` to `most` of them above a temperature."""

    above: Quantity
    least: Number
    most: Number
    low: Quantity
    high: Quantity

    @model_validator(mode="after")
    def _fits(self) -> Self:
        above = celsius(self.above, ("above",))
        low, high = celsius(self.low, ("low",)), celsius(self.high, ("high",))
        flaws = flaws_in(above, low, high)
        if not 0 < self.least <= self.most <= DEGREE_DAYS_MAX:
            text = f"{self.least} to {self.most} degree-days cannot be"
            flaws.append(Flaw(("most",), "not-in-order", text))
        if not flaws and not sure(above) < sure(low) < sure(high):
            text = f"above ({self.above}), low ({self.low}), high ({self.high}) are not in order"
            flaws.append(Flaw(("high",), "not-in-order", text))
        raise_flaws(flaws)
        return self

    def hatching(self) -> Hatching:
        """The warmth as a frozen shape."""
        return Hatching(
            above_c=sure(celsius(self.above)),
            least=self.least,
            most=self.most,
            low_c=sure(celsius(self.low)),
            high_c=sure(celsius(self.high)),
            source=self.cite(),
        )


DEGREE_DAYS_MAX = Decimal(1000)
"""More than any egg of a carp-like fish takes [C d]: a slip of a digit (common practice)."""
