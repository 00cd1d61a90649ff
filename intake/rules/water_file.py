"""The file of water targets by life stage, and of the thresholds a bag is decided on."""

from __future__ import annotations

from decimal import Decimal
from typing import Self

from pydantic import Field, model_validator

from intake.rules.dose_blocks import LifeStage
from intake.rules.fields import (
    Block,
    Cited,
    Flaw,
    Quantity,
    Version,
    Words,
    exact,
    exact_number,
    flaws_in,
    hours,
    raise_flaws,
    read_with_basis,
    sure,
)
from intake.rules.readings import READING_KINDS, Reading, in_reading_unit
from intake.science.targets import THRESHOLDS, Threshold, WaterLimit, WaterTargets


class TargetBlock(Cited):
    """What one reading should be, for some life stages."""

    stages: list[LifeStage] = Field(min_length=1)
    reading: Reading
    at_least: Quantity | None = None
    at_most: Quantity | None = None
    briefly_at_most: Quantity | None = None
    text: Words | None = None

    @model_validator(mode="after")
    def _fits(self) -> Self:
        ends = [self._end(n) for n in ("at_least", "at_most", "briefly_at_most")]
        flaws = flaws_in(*ends)
        if self.at_least is None and self.at_most is None:
            flaws.append(Flaw((), "missing-key", "neither 'at-least' nor 'at-most' is given"))
        given = [e for e in ends if isinstance(e, Decimal)]
        if not flaws and given != sorted(given):
            text = "at-least, at-most and briefly-at-most are not in rising order"
            flaws.append(Flaw((), "not-in-order", text))
        raise_flaws(flaws)
        return self

    def _end(self, name: str) -> Decimal | Flaw | None:
        text: str | None = getattr(self, name)
        return None if text is None else in_reading_unit(text, self.reading, (name,))

    def limit(self) -> WaterLimit:
        """The target as a frozen shape."""
        low, high, brief = (self._end(n) for n in ("at_least", "at_most", "briefly_at_most"))
        return WaterLimit(
            quantity=self.reading,
            low=None if low is None else sure(low),
            high=None if high is None else sure(high),
            unit=READING_KINDS[self.reading].unit,
            source=self.cite(),
            brief_high=None if brief is None else sure(brief),
            text=self.text or "",
        )


class ThresholdBlock(Cited):
    """One number a decision turns on."""

    name: str
    value: Quantity
    text: Words | None = None

    @model_validator(mode="after")
    def _fits(self) -> Self:
        if self.name not in THRESHOLDS:
            hint = "one of " + ", ".join(THRESHOLDS)
            raise_flaws(
                [Flaw(("name",), "no-such-name", f"'{self.name}' is not a threshold", hint)]
            )
        raise_flaws(flaws_in(self._read()))
        return self

    def _read(self) -> Decimal | Flaw:
        where: tuple[str | int, ...] = ("value",)
        read = read_threshold(self.value, THRESHOLDS[self.name].unit, where)
        if isinstance(read, Decimal) and read <= 0:
            return Flaw(where, "out-of-range", f"'{self.value}' is not above zero")
        return read

    def threshold(self) -> Threshold:
        """The threshold as a frozen shape."""
        known = THRESHOLDS[self.name]
        return Threshold(
            name=self.name,
            value=sure(self._read()),
            unit=known.unit,
            source=self.cite(),
            text=self.text or "",
        )


def read_threshold(text: str, unit: str, where: tuple[str | int, ...]) -> Decimal | Flaw:
    """The value of a threshold in the unit its name stands for."""
    if unit == "mg/L as N":
        return read_with_basis(text, "tan", "N", where)
    if unit == "min":
        read = hours(text, where)
        return read if isinstance(read, Flaw) else read * 60
    if unit == "h":
        return hours(text, where)
    if unit in ("g/L", "pH"):
        kind = "salt" if unit == "g/L" else "ph"
        plain = exact(text, kind, where)
        return plain if isinstance(plain, Flaw) else plain[0]
    return _with_ending(text, unit, where)


def _with_ending(text: str, unit: str, where: tuple[str | int, ...]) -> Decimal | Flaw:
    """A plain number followed by exactly this unit, for units nothing else is written in."""
    number = exact_number(text.removesuffix(unit).strip()) if text.endswith(unit) else None
    if number is None:
        return Flaw(where, "unknown-unit", f"'{text}' is not in {unit}", f"as in '1 {unit}'")
    return number


class WaterFile(Block):
    """Water targets and thresholds."""

    version: Version
    targets: list[TargetBlock]
    thresholds: list[ThresholdBlock]

    @model_validator(mode="after")
    def _once(self) -> Self:
        flaws: list[Flaw] = []
        seen: set[tuple[str, str]] = set()
        for n, target in enumerate(self.targets):
            for stage in target.stages:
                if (stage, target.reading) in seen:
                    text = f"{target.reading} is set twice for {stage}"
                    flaws.append(Flaw(("targets", n, "reading"), "name-taken", text))
                seen.add((stage, target.reading))
        names = [t.name for t in self.thresholds]
        flaws += [
            Flaw(("thresholds", n, "name"), "name-taken", f"'{name}' is set twice")
            for n, name in enumerate(names)
            if name in names[:n]
        ]
        raise_flaws(flaws)
        return self

    def water(self, path: str, sha256: str) -> WaterTargets:
        """The targets as a frozen shape."""
        stages: dict[str, tuple[WaterLimit, ...]] = {}
        for block in self.targets:
            for stage in block.stages:
                stages[stage] = (*stages.get(stage, ()), block.limit())
        thresholds = {block.name: block.threshold() for block in self.thresholds}
        return WaterTargets(self.version, stages, thresholds, path, sha256)
