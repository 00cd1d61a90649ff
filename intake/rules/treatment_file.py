"""A treatment file: what may be written, what is checked, and its frozen shape."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from intake.rules.course_file import CourseBlock
from intake.rules.dose_blocks import OxygenTakenBlock
from intake.rules.fields import (
    Block,
    Flag,
    Flaw,
    Name,
    Version,
    Words,
    hours,
    raise_flaws,
    sure,
)
from intake.rules.treatment_blocks import (
    AlwaysWarn,
    AmmoniaTestsBlock,
    GramsPerLitre,
    HalfLife,
    HandlingBlock,
    SensitiveBlock,
    StrengthBlock,
)
from intake.science.treatment import (
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
            handling=tuple(h.shape() for h in self.handling),
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
