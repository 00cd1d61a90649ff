"""A treatment file: what may be written, what is checked, and its frozen shape."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal, Self

from pydantic import Field, model_validator

from intake.rules.course_file import CourseBlock
from intake.rules.dose_blocks import OxygenTakenBlock, WarningCode
from intake.rules.fields import (
    Block,
    Cited,
    Flag,
    Flaw,
    Name,
    Number,
    Quantity,
    Version,
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
from intake.science.treatment import (
    AmmoniaTests,
    Handling,
    Sensitive,
    Strength,
    Treatment,
)

Basis = Literal[
    "product-volume",
    "product-mass",
    "active",
    "ion",
    "available-iodine",
    "available-chlorine",
    "none",
]

STRENGTH_UNITS = ("% w/w", "% w/v", "% v/v", "mg/mL", "g/100 mL")
"""How a strength may be written in a file: never a bare per cent."""


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
            flaws += flaws_in(exact(self.density, "density", ("density",)))
        if not 0 < self.counts_as <= 1:
            text = f"{self.counts_as} is not a share above 0 and up to 1"
            flaws.append(Flaw(("counts_as",), "out-of-range", text))
        raise_flaws(flaws)
        return self

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
        density = None if self.density is None else exact(self.density, "density")
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
            density_g_ml=density[0] if density else None,
        )


class HandlingBlock(Cited):
    """People's safety for one form sold."""

    form: Words
    signal: Literal["Danger", "Warning", "none"]
    statements: list[Words]
    wear: list[Words]
    storage: Words


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


class TreatmentFile(Block):
    """Everything a protocol file says of one treatment."""

    id: Name
    title: Words
    version: Version
    status: Literal["label", "common practice", "vet only", "not advised"]
    counts: Literal["treatment", "support"]
    basis: Basis
    strengths: list[StrengthBlock]
    from_label: Flag
    after_change: Literal["replace", "next-dose-only", "by-colour", "ask"]
    residue_end: Literal["low", "high"]
    margin: Literal["narrow", "wide"]
    cautions: list[Words] = Field(min_length=1)
    handling: list[HandlingBlock] = Field(min_length=1)
    masks: list[Words] = Field(default_factory=list)
    always_warn: list[AlwaysWarn] = Field(default_factory=list)
    half_life: HalfLife | None = None
    removed_by: list[Literal["carbon", "uv", "ozone", "zeolite"]] = Field(default_factory=list)
    solubility: GramsPerLitre | None = None
    crowded_over: GramsPerLitre | None = None
    oxygen_taken: OxygenTakenBlock | None = None
    sensitive: list[SensitiveBlock] = Field(default_factory=list)
    ammonia_tests: AmmoniaTestsBlock | None = None
    biofilter: Words
    light: Words
    oxygen: Words
    wash_out: Words
    neutraliser: Words
    legal: Words
    disagree: list[Words] = Field(default_factory=list)
    courses: list[CourseBlock]

    @model_validator(mode="after")
    def _whole(self) -> Self:
        raise_flaws([*self._course_flaws(), *self._form_flaws(), *self._caution_flaws()])
        return self

    def _course_flaws(self) -> list[Flaw]:
        flaws: list[Flaw] = []
        if not self.courses and self.status != "vet only":
            text = "there is no course, so it cannot be dosed"
            flaws.append(Flaw(("courses",), "missing-key", text, at_key=True))
        names = [c.name for c in self.courses]
        for n, name in enumerate(names):
            if name in names[:n]:
                text = f"two courses are named '{name}'"
                flaws.append(Flaw(("courses", n, "name"), "name-taken", text))
        return flaws

    def _form_flaws(self) -> list[Flaw]:
        flaws: list[Flaw] = []
        nothing_counts = self.status == "vet only" or self._only_heat()
        if not self.strengths and nothing_counts:
            return flaws
        if sum(s.usual for s in self.strengths) != 1:
            text = "exactly one strength is the usual one"
            hint = "write 'usual: yes' at one of them"
            flaws.append(Flaw(("strengths",), "wrong-kind", text, hint, at_key=True))
        handled = {h.form for h in self.handling}
        for n, strength in enumerate(self.strengths):
            if strength.form not in handled:
                text = f"nothing is said of handling '{strength.form}'"
                flaws.append(Flaw(("strengths", n, "form"), "missing-key", text))
        return flaws

    def _only_heat(self) -> bool:
        return bool(self.courses) and all(c.route == "heat" for c in self.courses)

    def _caution_flaws(self) -> list[Flaw]:
        first = self.cautions[0].lower()
        if "label" in first and "vet" in first:
            return []
        text = "the first caution does not put the label and the vet first"
        hint = "begin with 'The product label and your vet come first'"
        return [Flaw(("cautions", 0), "missing-key", text, hint)]

    def treatment(self, path: str, sha256: str) -> Treatment:
        """The treatment as a frozen shape."""
        half = self.half_life
        return Treatment(
            id=self.id,
            title=self.title,
            version=self.version,
            status=self.status,
            counts=self.counts,
            basis=self.basis,
            strengths=tuple(s.shape() for s in self.strengths),
            from_label=self.from_label,
            after_change=self.after_change,
            residue_end=self.residue_end,
            margin=self.margin,
            courses=tuple(c.course() for c in self.courses),
            cautions=tuple(self.cautions),
            handling=tuple(_handling(h) for h in self.handling),
            masks=tuple(self.masks),
            always_warn=tuple((w.code, w.text) for w in self.always_warn),
            half_life_low_h=None if half is None else sure(hours(half.at_least)),
            half_life_high_h=None if half is None else sure(hours(half.at_most)),
            half_life_source=None if half is None else half.cite(),
            removed_by=tuple(self.removed_by),
            solubility_g_l=None if self.solubility is None else self.solubility.g_l(),
            biofilter=self.biofilter,
            light=self.light,
            oxygen=self.oxygen,
            wash_out=self.wash_out,
            neutraliser=self.neutraliser,
            legal=self.legal,
            disagree=tuple(self.disagree),
            crowded_over_g_l=None if self.crowded_over is None else self.crowded_over.g_l(),
            path=path,
            sha256=sha256,
            solubility_source=None if self.solubility is None else self.solubility.cite(),
            crowded_source=None if self.crowded_over is None else self.crowded_over.cite(),
            oxygen_taken=None if self.oxygen_taken is None else self.oxygen_taken.shape(),
            sensitive=tuple(s.shape() for s in self.sensitive),
            ammonia_tests=None if self.ammonia_tests is None else self.ammonia_tests.shape(),
        )


def _handling(block: HandlingBlock) -> Handling:
    return Handling(
        form=block.form,
        signal=block.signal,
        statements=tuple(block.statements),
        wear=tuple(block.wear),
        storage=block.storage,
        source=block.cite(),
    )
