"""The blocks a course is written with: targets, limits, conditions and times."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal, Self

from pydantic import Field, model_validator

from intake.rules.fields import (
    Block,
    Cited,
    Flag,
    Flaw,
    Quantity,
    Whole,
    Words,
    celsius,
    exact,
    flaws_in,
    hours,
    in_target_unit,
    raise_flaws,
    sure,
)
from intake.rules.readings import READING_KINDS, Reading, in_reading_unit
from intake.science.treatment import Bound, Condition, OxygenTaken

TargetUnit = Literal["g/L", "mg/L", "uL/L", "mg/kg/d"]
LifeStage = Literal["eggs", "hatchlings", "fry", "juvenile", "adult"]
WarningCode = Literal[
    "over-usual",
    "under-usual",
    "early",
    "rounding",
    "test-fish-first",
    "crowded",
    "volume-doubtful",
    "from-memory",
    "sources-disagree",
    "oxygen",
    "biofilter",
    "warm-water",
    "clock-back",
    "kit-cannot-show",
]


class Figure(Cited):
    """One number with its unit and its source."""

    value: Quantity


class OxygenTakenBlock(Cited):
    """Oxygen that each so much of it takes out of the water, at most."""

    for_each: Quantity
    takes: Quantity

    @model_validator(mode="after")
    def _fits(self) -> Self:
        raise_flaws(flaws_in(self._each(), self._takes()))
        return self

    def _each(self) -> tuple[Decimal, str] | Flaw:
        read = exact(self.for_each, "concentration", ("for_each",), zero_ok=False)
        if not isinstance(read, Flaw) and read[1] not in ("mg/L", "uL/L"):
            text = f"'{self.for_each}' is not so much of it in water"
            return Flaw(("for_each",), "wrong-kind", text, "as in '5 mg/L'")
        return read

    def _takes(self) -> Decimal | Flaw:
        read = exact(self.takes, "oxygen", ("takes",), zero_ok=False)
        return read if isinstance(read, Flaw) else read[0]

    def shape(self) -> OxygenTaken:
        """What it takes as a frozen shape."""
        each = self._each()
        if isinstance(each, Flaw):
            raise ValueError(each.text)
        return OxygenTaken(each[0], each[1], sure(self._takes()), self.cite())


class Target(Block):
    """What a course brings the water to."""

    unit: TargetUnit
    low: Figure
    usual: Figure
    high: Figure

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        names = ("low", "usual", "high")
        read = [in_target_unit(getattr(self, n).value, self.unit, (n, "value")) for n in names]
        flaws = flaws_in(*read)
        if not flaws:
            low, usual, high = (sure(r) for r in read)
            if low <= 0:
                flaws.append(Flaw(("low", "value"), "out-of-range", "this is not above zero"))
            if low > usual:
                text = f"usual ({self.usual.value}) is under low ({self.low.value})"
                flaws.append(Flaw(("usual", "value"), "not-in-order", text, "low, usual, high"))
            if usual > high:
                text = f"high ({self.high.value}) is under usual ({self.usual.value})"
                flaws.append(Flaw(("high", "value"), "not-in-order", text, "low, usual, high"))
        raise_flaws(flaws)
        return self

    def numbers(self) -> tuple[Decimal, Decimal, Decimal]:
        """Low, usual and high in `unit`."""
        low, usual, high = (
            sure(in_target_unit(f.value, self.unit)) for f in (self.low, self.usual, self.high)
        )
        return low, usual, high


class HardLimit(Cited):
    """A concentration that is never passed; `above` and `below` say at which temperatures."""

    value: Quantity
    above: Quantity | None = None
    below: Quantity | None = None

    @model_validator(mode="after")
    def _temperatures(self) -> Self:
        above = None if self.above is None else celsius(self.above, ("above",))
        below = None if self.below is None else celsius(self.below, ("below",))
        flaws = flaws_in(above, below)
        if isinstance(above, Decimal) and isinstance(below, Decimal) and above >= below:
            text = f"above ({self.above}) is not under below ({self.below})"
            flaws.append(Flaw(("below",), "not-in-order", text))
        raise_flaws(flaws)
        return self

    def bound(self, unit: str) -> Bound:
        """The limit as a frozen shape."""
        return Bound(
            value=sure(in_target_unit(self.value, unit)),
            unit=unit,
            source=self.cite(),
            above_c=None if self.above is None else sure(celsius(self.above)),
            below_c=None if self.below is None else sure(celsius(self.below)),
        )


class SoftLimit(HardLimit):
    """A concentration above which the keeper is warned."""

    code: WarningCode


class ConditionBlock(Cited):
    """What the water must be, and how that has to be known."""

    reading: Reading
    at_least: Quantity | None = None
    at_most: Quantity | None = None
    evidence: Literal["measured", "estimated", "witnessed"] = "measured"
    no_older_than: Quantity
    hard: Flag = True
    warning: WarningCode | None = None
    text: Words

    @model_validator(mode="after")
    def _fits(self) -> Self:
        low = self._end("at_least")
        high = self._end("at_most")
        flaws = flaws_in(low, high, hours(self.no_older_than, ("no_older_than",)))
        if low is None and high is None:
            flaws.append(Flaw((), "missing-key", "neither 'at-least' nor 'at-most' is given"))
        if isinstance(low, Decimal) and isinstance(high, Decimal) and low > high:
            text = f"at-least ({self.at_least}) is over at-most ({self.at_most})"
            flaws.append(Flaw(("at_most",), "not-in-order", text))
        if not self.hard and self.warning is None:
            hint = "add a line 'warning: ...'"
            flaws.append(Flaw((), "missing-key", "a soft condition needs a warning", hint))
        raise_flaws(flaws)
        return self

    def _end(self, name: str) -> Decimal | Flaw | None:
        text = self.at_least if name == "at_least" else self.at_most
        return None if text is None else in_reading_unit(text, self.reading, (name,))

    def condition(self) -> Condition:
        """The condition as a frozen shape."""
        low, high = self._end("at_least"), self._end("at_most")
        return Condition(
            quantity=self.reading,
            low=None if low is None else sure(low),
            high=None if high is None else sure(high),
            unit=READING_KINDS[self.reading].unit,
            evidence=self.evidence,
            max_age_h=sure(hours(self.no_older_than)),
            source=self.cite(),
            hard=self.hard,
            warning=self.warning or "",
            text=self.text,
        )


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


class RepeatBlock(Cited):
    """How often a course is dosed; times 0 means until stopped."""

    every: Quantity
    times: Whole
    text: Words | None = None

    @model_validator(mode="after")
    def _fits(self) -> Self:
        flaws = flaws_in(hours(self.every, ("every",)))
        if self.times < 0:
            flaws.append(Flaw(("times",), "out-of-range", f"{self.times} times is not possible"))
        raise_flaws(flaws)
        return self


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


class Stages(Cited):
    """Which life stages the course is for."""

    allowed: list[LifeStage] = Field(min_length=1)
