"""The blocks a course is written with: limits, conditions, and whom it is for."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal, Self

from pydantic import model_validator

from intake.rules.fields import (
    Cited,
    Flag,
    Flaw,
    Quantity,
    Words,
    exact,
    flaws_in,
    hours,
    in_target_unit,
    raise_flaws,
    sure,
)
from intake.rules.readings import READING_KINDS, Reading, in_reading_unit
from intake.science.treatment import (
    Bound,
    Condition,
    OxygenTaken,
)

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


class HardLimit(Cited):
    """A concentration that is never passed.

    `above` and `below` say at which values of the reading `of` (temp where it is left out) it
    holds; an `untried` one until one fish was treated and lived through the next day.
    """

    value: Quantity
    of: Reading = "temp"
    above: Quantity | None = None
    below: Quantity | None = None
    untried: Flag = False

    @model_validator(mode="after")
    def _ends_fit(self) -> Self:
        above, below = self._end("above"), self._end("below")
        flaws = flaws_in(above, below)
        if isinstance(above, Decimal) and isinstance(below, Decimal) and above >= below:
            text = f"above ({self.above}) is not under below ({self.below})"
            flaws.append(Flaw(("below",), "not-in-order", text))
        if self.of != "temp" and above is None and below is None:
            text = f"it does not say at which {self.of} it holds"
            flaws.append(Flaw(("of",), "missing-key", text, "add 'above:' or 'below:'"))
        raise_flaws(flaws)
        return self

    def _end(self, name: str) -> Decimal | Flaw | None:
        text = self.above if name == "above" else self.below
        return None if text is None else in_reading_unit(text, self.of, (name,))

    @property
    def everywhere(self) -> bool:
        """Whether it holds in every water and for every fish."""
        return self.above is None and self.below is None and not self.untried

    def bound(self, unit: str) -> Bound:
        """The limit as a frozen shape."""
        above, below = self._end("above"), self._end("below")
        return Bound(
            value=sure(in_target_unit(self.value, unit)),
            unit=unit,
            source=self.cite(),
            above=None if above is None else sure(above),
            below=None if below is None else sure(below),
            quantity=self.of,
            untried=self.untried,
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


class Stages(Cited):
    """Which life stages the course is for; none where nothing alive may be in it."""

    allowed: list[LifeStage]
