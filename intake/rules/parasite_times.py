"""The times of a parasite file: a table or degree-days, and how far either holds."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise
from typing import Literal, Self

from pydantic import Field, model_validator

from intake.rules.fields import (
    Block,
    Cited,
    Flaw,
    Name,
    Number,
    Quantity,
    celsius,
    flaws_in,
    hours,
    raise_flaws,
    sure,
)
from intake.science.limits import allowed
from intake.science.parasite import DEGREE_DAYS, Fit

Between = Literal["degree-days", "percent", "steps"]


class RangeBlock(Cited):
    """Between which temperatures anything is known."""

    at_least: Quantity
    at_most: Quantity

    @model_validator(mode="after")
    def _fits(self) -> Self:
        low, high = celsius(self.at_least, ("at_least",)), celsius(self.at_most, ("at_most",))
        flaws = flaws_in(low, high)
        if not flaws and sure(low) >= sure(high):
            text = f"at-least ({self.at_least}) is not under at-most ({self.at_most})"
            flaws.append(Flaw(("at_least",), "not-in-order", text))
        raise_flaws(flaws)
        return self

    def ends(self) -> tuple[Decimal, Decimal]:
        """The lowest and the highest temperature [C]."""
        return sure(celsius(self.at_least)), sure(celsius(self.at_most))


class RowBlock(Block):
    """One row of a table: at a temperature something takes so long."""

    at: Quantity
    takes: Quantity

    @model_validator(mode="after")
    def _fits(self) -> Self:
        raise_flaws(flaws_in(celsius(self.at, ("at",)), hours(self.takes, ("takes",))))
        return self

    def row(self) -> tuple[Decimal, Decimal]:
        """Its temperature [C] and days."""
        return sure(celsius(self.at)), sure(hours(self.takes)) / 24


class TimeBlock(Cited):
    """How long one part of a life takes: a table, or degree-days above a temperature."""

    name: Name
    rows: list[RowBlock] = Field(default_factory=list)
    between: Between | None = None
    degree_days: Number | None = None
    above: Quantity | None = None
    range: RangeBlock | None = None

    @model_validator(mode="after")
    def _fits(self) -> Self:
        if (self.degree_days is None) == (not self.rows):
            raise_flaws([Flaw((), "missing-key", "give one of 'rows' and 'degree-days'")])
        flaws = self._sum_flaws() if self.degree_days is not None else self._row_flaws()
        raise_flaws(flaws)
        return self

    def _sum_flaws(self) -> list[Flaw]:
        if self.above is None:
            return [Flaw((), "missing-key", "'degree-days' need 'above:', as in 'above: 8 C'")]
        flaws = flaws_in(celsius(self.above, ("above",)))
        assert self.degree_days is not None
        if self.degree_days <= 0:
            text = f"{self.degree_days} degree-days take no time"
            flaws.append(Flaw(("degree_days",), "out-of-range", text))
        return flaws

    def _row_flaws(self) -> list[Flaw]:
        rows = [r.row() for r in self.rows]
        flaws: list[Flaw] = []
        if len(rows) > 1 and self.between is None:
            text = "what holds between the rows is not said"
            hint = "between: degree-days, percent or steps"
            flaws.append(Flaw((), "missing-key", text, hint))
        for n, (a, b) in enumerate(pairwise(rows), 1):
            if b[0] <= a[0] or b[1] > a[1]:
                text = "rows go from cold to warm, and what is warmer never takes longer"
                flaws.append(Flaw(("rows", n, "at"), "not-in-order", text))
        return flaws

    def beyond(self, low: Decimal, high: Decimal) -> list[Flaw]:
        """What has no end inside the range it is used in."""
        low, high = self.range.ends() if self.range else (low, high)
        if self.degree_days is not None and self.above is not None:
            above = sure(celsius(self.above))
            if not allowed(above, None, low) or above == low:
                text = f"nothing develops at {self.above}, and the range begins at {low} C"
                return [Flaw(("above",), "out-of-range", text, "begin the range above it")]
            return []
        if self.between != DEGREE_DAYS:
            return []
        fit = self._fit(low, high)
        for end in (fit.low_c, fit.high_c):
            try:
                good = fit.days(end) > 0
            except ZeroDivisionError:
                good = False
            if not good:
                text = f"the line through the rows has no end at {end:g} C"
                return [Flaw(("rows",), "out-of-range", text, "narrow the range", at_key=True)]
        return []

    def fit(self, low: Decimal, high: Decimal) -> Fit:
        """The time as a frozen shape; `low` and `high` where it has no range of its own [C]."""
        return self._fit(*(self.range.ends() if self.range else (low, high)))

    def _fit(self, low: Decimal, high: Decimal) -> Fit:
        rows = tuple((float(at), float(days)) for at, days in (r.row() for r in self.rows))
        between: str = self.between or "steps"
        if self.degree_days is not None and self.above is not None:
            above = sure(celsius(self.above))
            rows = tuple((float(t), float(self.degree_days / (t - above))) for t in (low, high))
            between = DEGREE_DAYS
        return Fit(rows, between, float(low), float(high), self.cite())
