"""What a course brings the water to, and what its figures are for."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal, Self

from pydantic import model_validator

from intake.rules.fields import (
    Block,
    Cited,
    Flag,
    Flaw,
    Quantity,
    exact,
    flaws_in,
    hours,
    in_target_unit,
    raise_flaws,
    sure,
)
from intake.rules.readings import Reading, in_reading_unit
from intake.science.course_parts import AskedAs, PerReading

TargetUnit = Literal["g/L", "mg/L", "uL/L", "mg/kg/d", "C"]


class Figure(Cited):
    """One number with its unit and its source."""

    value: Quantity


class AskedAsBlock(Cited):
    """A target that may be asked for as alkalinity: `each` of it `comes-to` so much."""

    each: Quantity
    comes_to: Quantity

    @model_validator(mode="after")
    def _fits(self) -> Self:
        raise_flaws(flaws_in(self._each(), self._comes_to()))
        return self

    def _each(self) -> tuple[Decimal, str] | Flaw:
        return exact(self.each, "alkalinity", ("each",), zero_ok=False)

    def _comes_to(self) -> tuple[Decimal, str] | Flaw:
        return exact(self.comes_to, "concentration", ("comes_to",), zero_ok=False)

    def asked_as(self, unit: str) -> AskedAs:
        """The other way of asking as a frozen shape, in the course's `unit`."""
        each = self._each()
        if isinstance(each, Flaw):
            raise ValueError(each.text)
        comes_to = sure(in_target_unit(self.comes_to, unit))
        return AskedAs("alkalinity", each[1], each[0], comes_to, self.cite())


class PerReadingBlock(Cited):
    """The figures are for each so much of a reading, at one of its ends."""

    reading: Reading
    each: Quantity
    end: Literal["low", "high"]
    no_older_than: Quantity
    needed: Flag = True

    @model_validator(mode="after")
    def _fits(self) -> Self:
        each = in_reading_unit(self.each, self.reading, ("each",))
        flaws = flaws_in(each, hours(self.no_older_than, ("no_older_than",)))
        if not flaws and sure(each) <= 0:
            flaws.append(Flaw(("each",), "out-of-range", "this is not above zero"))
        raise_flaws(flaws)
        return self

    def per(self) -> PerReading:
        """What the figures are for, as a frozen shape."""
        return PerReading(
            quantity=self.reading,
            each=sure(in_reading_unit(self.each, self.reading)),
            end=self.end,
            max_age_h=sure(hours(self.no_older_than)),
            needed=self.needed,
            source=self.cite(),
        )


class Target(Block):
    """What a course brings the water to; `by: vet` ships no figures."""

    unit: TargetUnit
    by: Literal["vet"] | None = None
    low: Figure | None = None
    usual: Figure | None = None
    high: Figure | None = None
    per: PerReadingBlock | None = None
    asked_as: AskedAsBlock | None = None

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        flaws = self._missing()
        if not flaws and self.by is None:
            flaws = self._figure_flaws()
        if self.asked_as is not None and not flaws:
            flaws += flaws_in(
                in_target_unit(self.asked_as.comes_to, self.unit, ("asked_as", "comes_to"))
            )
        raise_flaws(flaws)
        return self

    def _missing(self) -> list[Flaw]:
        names = ("low", "usual", "high")
        if self.by is None:
            return [
                Flaw((), "missing-key", f"'{n}' is missing", f"add a block '{n}:'")
                for n in names
                if getattr(self, n) is None
            ]
        text = "a target that comes from a vet has no figure of its own"
        given = [n for n in (*names, "per", "asked_as") if getattr(self, n) is not None]
        return [Flaw((n,), "wrong-kind", text, at_key=True) for n in given]

    def _figure_flaws(self) -> list[Flaw]:
        read = [in_target_unit(f.value, self.unit, (n, "value")) for n, f in self.figures()]
        flaws = flaws_in(*read)
        if flaws:
            return flaws
        (low, low_text), (usual, usual_text), (high, high_text) = (
            (sure(r), f.value) for r, (_, f) in zip(read, self.figures(), strict=True)
        )
        if low <= 0:
            flaws.append(Flaw(("low", "value"), "out-of-range", "this is not above zero"))
        if low > usual:
            text = f"usual ({usual_text}) is under low ({low_text})"
            flaws.append(Flaw(("usual", "value"), "not-in-order", text, "low, usual, high"))
        if usual > high:
            text = f"high ({high_text}) is under usual ({usual_text})"
            flaws.append(Flaw(("high", "value"), "not-in-order", text, "low, usual, high"))
        return flaws

    def figures(self) -> list[tuple[str, Figure]]:
        """The figures that are given, low first."""
        named = (("low", self.low), ("usual", self.usual), ("high", self.high))
        return [(name, figure) for name, figure in named if figure is not None]

    def said(self, name: str) -> str:
        """The figure as it stands in the file."""
        return dict(self.figures())[name].value

    def numbers(self) -> tuple[Decimal, Decimal, Decimal]:
        """Low, usual and high in `unit`; zeros where a vet gives them."""
        if self.by is not None:
            return Decimal(0), Decimal(0), Decimal(0)
        low, usual, high = (sure(in_target_unit(f.value, self.unit)) for _, f in self.figures())
        return low, usual, high
