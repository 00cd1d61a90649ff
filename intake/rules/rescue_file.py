"""The file of a rescue: what to do when something is wrong, and what to write down after."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Literal, Self

from pydantic import Field, model_validator

from intake.rules.fields import Block, Cited, Flaw, Name, Version, Words, raise_flaws
from intake.science.rescue import FIGURES, Rescue, RescueRecord, RescueStep

WaterState = Literal["unread", "plain", "raises-ammonia"]
Sum = Literal["water", "chlorine", "oxygen", "use", "air-off", "tap-change"]
WorkedOut = Literal["crash-plan"]

_BRACES = re.compile(r"\{([^{}]*)\}")


def _strange_figures(text: str, where: tuple[str | int, ...]) -> list[Flaw]:
    """What stands in braces and is no figure that is worked out."""
    hint = "one of " + ", ".join(f"{{{name}}}" for name in FIGURES)
    return [
        Flaw(where, "no-such-name", f"'{{{m[1]}}}' is not worked out", hint, m.start())
        for m in _BRACES.finditer(text)
        if m[1] not in FIGURES
    ]


class StepBlock(Cited):
    """One thing to do."""

    text: Words | None = None
    lines: WorkedOut | None = None
    water: list[WaterState] = Field(default_factory=list)

    @model_validator(mode="after")
    def _fits(self) -> Self:
        flaws: list[Flaw] = []
        if (self.text is None) == (self.lines is None):
            flaws.append(Flaw((), "missing-key", "give one of 'text' and 'lines'"))
        flaws += _strange_figures(self.text or "", ("text",))
        raise_flaws(flaws)
        return self

    def step(self) -> RescueStep:
        """The step as a frozen shape."""
        return RescueStep(self.text or "", self.lines or "", tuple(self.water), self.cite())


class RecordBlock(Block):
    """What to write down afterwards."""

    command: Words
    keys: Words

    @model_validator(mode="after")
    def _fits(self) -> Self:
        flaws = _strange_figures(self.command, ("command",))
        if not self.command.startswith("intake record "):
            text = f"'{self.command}' writes nothing down"
            flaws.append(Flaw(("command",), "wrong-kind", text, "begin with 'intake record '"))
        raise_flaws(flaws)
        return self


class RescueFile(Block):
    """Everything a file says of one rescue."""

    id: Name
    title: Words
    version: Version
    do: list[StepBlock] = Field(min_length=1, max_length=12)
    amounts: list[Sum] = Field(default_factory=list)
    then_record: list[RecordBlock] = Field(min_length=1)
    caution: Words

    @model_validator(mode="after")
    def _whole(self) -> Self:
        flaws = _no_label(self.caution)
        if not any(not step.water and step.text for step in self.do):
            text = "no step is for every water: there would be nothing to do at once"
            flaws.append(Flaw(("do",), "missing-key", text, "leave 'water' out of the first one"))
        flaws += [
            Flaw(("amounts", n), "name-taken", f"'{name}' is named twice")
            for n, name in enumerate(self.amounts)
            if name in self.amounts[:n]
        ]
        raise_flaws(flaws)
        return self

    def rescue(self, path: str, sha256: str) -> Rescue:
        """The rescue as a frozen shape."""
        return Rescue(
            id=self.id,
            title=self.title,
            version=self.version,
            do=tuple(step.step() for step in self.do),
            amounts=tuple(self.amounts),
            then_record=_records(self.then_record),
            caution=self.caution,
            path=path,
            sha256=sha256,
        )


def _records(blocks: Sequence[RecordBlock]) -> tuple[RescueRecord, ...]:
    return tuple(RescueRecord(block.command, block.keys) for block in blocks)


def _no_label(caution: str) -> list[Flaw]:
    if "label" in caution.lower() and "vet" in caution.lower():
        return []
    text = "the caution does not put the label and the vet first"
    hint = "begin with 'The product label and your vet come first'"
    return [Flaw(("caution",), "missing-key", text, hint)]
