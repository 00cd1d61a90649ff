"""The blocks a treatment is written with beside its courses: forms, handling, what it does."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal, Self

from pydantic import Field, model_validator

from intake.rules.dose_blocks import WarningCode
from intake.rules.fields import (
    Block,
    Cited,
    Flag,
    Flaw,
    Number,
    Quantity,
    Whole,
    Words,
    exact,
    exact_number,
    flaws_in,
    hours,
    raise_flaws,
    sure,
)
from intake.rules.target_block import Figure
from intake.science.limits import allowed
from intake.science.treatment import (
    AmmoniaTests,
    Handling,
    Sensitive,
    Strength,
)

STRENGTH_UNITS = ("% w/w", "% w/v", "% v/v", "mg/mL", "g/100 mL")
"""How a strength may be written in a file: never a bare per cent."""


DENSITIES_G_ML = (Decimal("0.5"), Decimal(3))
"""What a liquid or powder of the trade may weigh [g/mL]: common practice, ether 0.7, acid 1.84."""


class StrengthBlock(Cited):
    """One strength the trade sells, and the share of the product that counts."""

    form: Words
    strength: Quantity
    state: Literal["powder", "liquid", "tablet"]
    counts_as: Number
    density: Quantity | None = None
    usual: Flag = False

    @model_validator(mode="after")
    def _fits(self) -> Self:
        flaws = flaws_in(self._strength())
        if self.density is not None:
            flaws += flaws_in(self._density(self.density))
        if not 0 < self.counts_as <= 1:
            text = f"{self.counts_as} is not a share above 0 and up to 1"
            flaws.append(Flaw(("counts_as",), "out-of-range", text))
        raise_flaws(flaws)
        return self

    def _density(self, text: str) -> Decimal | Flaw:
        read = exact(text, "density", ("density",))
        if isinstance(read, Flaw):
            return read
        if not allowed(read[0], *DENSITIES_G_ML):
            text_said = f"'{text}' is the density of nothing that is sold in a bottle"
            return Flaw(("density",), "out-of-range", text_said, "is the unit right?")
        return read[0]

    def _strength(self) -> tuple[Decimal, str] | Flaw:
        where: tuple[str | int, ...] = ("strength",)
        unit = next((u for u in STRENGTH_UNITS if self.strength.endswith(u)), None)
        if unit is None:
            hint = "one of " + ", ".join(STRENGTH_UNITS)
            return Flaw(where, "ambiguous-unit", f"'{self.strength}' does not say of what", hint)
        read = exact(self.strength, "strength", where)
        if isinstance(read, Flaw):
            return read
        number = exact_number(self.strength.removesuffix(unit).strip())
        if number is None:
            return Flaw(where, "not-a-number", f"'{self.strength}' is not a plain number")
        return number, unit

    def shape(self) -> Strength:
        """The strength as a frozen shape."""
        read = self._strength()
        if isinstance(read, Flaw):
            raise ValueError(read.text)
        density = None if self.density is None else self._density(self.density)
        if isinstance(density, Flaw):
            raise ValueError(density.text)
        return Strength(
            form=self.form,
            value=read[0],
            unit=read[1],
            counts_as=self.counts_as,
            state=self.state,
            usual=self.usual,
            source=self.cite(),
            density_g_ml=density,
        )


class HandlingBlock(Cited):
    """People's safety for one form sold."""

    form: Words
    signal: Literal["Danger", "Warning", "none"]
    statements: list[Words]
    wear: list[Words]
    storage: Words

    def shape(self) -> Handling:
        """The handling as a frozen shape."""
        return Handling(
            form=self.form,
            signal=self.signal,
            statements=tuple(self.statements),
            wear=tuple(self.wear),
            storage=self.storage,
            source=self.cite(),
        )


class SensitiveBlock(Cited):
    """Kinds of animals that do not stand it, by words in their variety."""

    kinds: list[Words] = Field(min_length=1)
    hard: Flag
    text: Words

    def shape(self) -> Sensitive:
        """The kinds as a frozen shape."""
        return Sensitive(tuple(self.kinds), self.hard, self.text, self.cite())


class AmmoniaTestsBlock(Cited):
    """Daily tests of ammonia from a dose of a course on, until so long after the last."""

    from_dose: Whole
    until_after: Quantity

    @model_validator(mode="after")
    def _fits(self) -> Self:
        flaws = flaws_in(hours(self.until_after, ("until_after",)))
        if self.from_dose < 1:
            text = f"there is no dose {self.from_dose}"
            flaws.append(Flaw(("from_dose",), "out-of-range", text, "the first dose is 1"))
        raise_flaws(flaws)
        return self

    def shape(self) -> AmmoniaTests:
        """The tests as a frozen shape."""
        return AmmoniaTests(self.from_dose, sure(hours(self.until_after)), self.cite())


class AlwaysWarn(Block):
    """A warning every dose of it carries."""

    code: WarningCode
    text: Words


class HalfLife(Cited):
    """How fast it goes by itself: half of it is left after so long."""

    at_least: Quantity
    at_most: Quantity

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        low, high = hours(self.at_least, ("at_least",)), hours(self.at_most, ("at_most",))
        flaws = flaws_in(low, high)
        if not flaws and not 0 < sure(low) <= sure(high):
            text = f"at-least ({self.at_least}) is zero or over at-most ({self.at_most})"
            flaws.append(Flaw(("at_most",), "not-in-order", text))
        raise_flaws(flaws)
        return self


class GramsPerLitre(Figure):
    """A mass in a litre of water, with its source."""

    @model_validator(mode="after")
    def _fits(self) -> Self:
        raise_flaws(flaws_in(self._read()))
        return self

    def _read(self) -> Decimal | Flaw:
        read = exact(self.value, "concentration", ("value",))
        if isinstance(read, Flaw):
            return read
        if read[1] != "mg/L":
            return Flaw(("value",), "wrong-kind", f"'{self.value}' is not a mass in water")
        return read[0] / 1000

    def g_l(self) -> Decimal:
        """The figure [g/L]."""
        return sure(self._read())
