"""The times of a course: how long, how often, how fast."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal, Self

from pydantic import Field, model_validator

from intake.rules.fields import (
    Block,
    Cited,
    Flaw,
    Quantity,
    Whole,
    Words,
    celsius,
    exact_number,
    flaws_in,
    hours,
    raise_flaws,
    sure,
)
from intake.science.course_parts import Rate
from intake.science.treatment import Repeat


class Duration(Cited):
    """How long the fish stay in it."""

    at_least: Quantity
    at_most: Quantity

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        low, high = hours(self.at_least, ("at_least",)), hours(self.at_most, ("at_most",))
        flaws = flaws_in(low, high)
        if not flaws and sure(low) > sure(high):
            text = f"at-least ({self.at_least}) is over at-most ({self.at_most})"
            flaws.append(Flaw(("at_most",), "not-in-order", text))
        raise_flaws(flaws)
        return self


class AtTemperature(Block):
    """The time between doses at one water temperature."""

    at: Quantity
    every: Quantity

    def pair(self) -> tuple[Decimal, Decimal]:
        """Temperature [C] and time [h]."""
        return sure(celsius(self.at)), sure(hours(self.every))


class RepeatBlock(Cited):
    """How often a course is dosed; times 0 means until stopped.

    `by-temperature` gives the time between doses at several temperatures, colder first.
    """

    every: Quantity
    times: Whole
    text: Words | None = None
    depends_on: list[Literal["life-cycle", "temperature", "readings"]] = Field(
        default_factory=list
    )
    by_temperature: list[AtTemperature] = Field(default_factory=list)

    @model_validator(mode="after")
    def _fits(self) -> Self:
        flaws = flaws_in(hours(self.every, ("every",)))
        if self.times < 0:
            flaws.append(Flaw(("times",), "out-of-range", f"{self.times} times is not possible"))
        for n, row in enumerate(self.by_temperature):
            where: tuple[str | int, ...] = ("by_temperature", n)
            flaws += flaws_in(celsius(row.at, (*where, "at")), hours(row.every, (*where, "every")))
        if not flaws:
            flaws += self._rows_in_order()
        raise_flaws(flaws)
        return self

    def _rows_in_order(self) -> list[Flaw]:
        text = "each row is warmer than the one before, and at most as long"
        rows = [row.pair() for row in self.by_temperature]
        return [
            Flaw(("by_temperature", n, "at"), "not-in-order", text)
            for n in range(1, len(rows))
            if rows[n][0] <= rows[n - 1][0] or rows[n][1] > rows[n - 1][1]
        ]

    def repeat(self) -> Repeat:
        """The repeat as a frozen shape."""
        return Repeat(
            every_h=sure(hours(self.every)),
            times=self.times,
            source=self.cite(),
            text=self.text or "",
            depends_on=tuple(self.depends_on),
            by_temperature=tuple(row.pair() for row in self.by_temperature),
        )


class IntervalBlock(Cited):
    """Time since the last dose: under `not-before` refused, under `usual-every` warned."""

    not_before: Quantity | None = None
    usual_every: Quantity | None = None

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        least = None if self.not_before is None else hours(self.not_before, ("not_before",))
        usual = None if self.usual_every is None else hours(self.usual_every, ("usual_every",))
        flaws = flaws_in(least, usual)
        if least is None and usual is None:
            text = "neither 'not-before' nor 'usual-every' is given"
            flaws.append(Flaw((), "missing-key", text))
        if isinstance(least, Decimal) and isinstance(usual, Decimal) and least > usual:
            text = f"not-before ({self.not_before}) is over usual-every ({self.usual_every})"
            flaws.append(Flaw(("usual_every",), "not-in-order", text))
        raise_flaws(flaws)
        return self


class OneStep(Block):
    """One raise of a stepped course."""

    target: Quantity
    after: Quantity


class Steps(Cited):
    """The raises of a stepped course, each from the first dose; those over the target unused."""

    raises: list[OneStep] = Field(min_length=2)


class RateBlock(Cited):
    """How fast the water is warmed, at most."""

    per_hour: Quantity
    per_day: Quantity

    @model_validator(mode="after")
    def _fits(self) -> Self:
        hour, day = self._rise("per_hour"), self._rise("per_day")
        flaws = flaws_in(hour, day)
        if not flaws and sure(hour) > sure(day):
            text = f"per-hour ({self.per_hour}) is over per-day ({self.per_day})"
            flaws.append(Flaw(("per_hour",), "not-in-order", text))
        raise_flaws(flaws)
        return self

    def _rise(self, name: str) -> Decimal | Flaw:
        text = self.per_hour if name == "per_hour" else self.per_day
        number = exact_number(text.removesuffix(" C apart"))
        if number is None or number <= 0:
            said = f"'{text}' is not a rise of temperature"
            return Flaw((name,), "wrong-kind", said, "as in '1 C apart'")
        return number

    def rate(self) -> Rate:
        """The rate as a frozen shape."""
        return Rate(sure(self._rise("per_hour")), sure(self._rise("per_day")), self.cite())
