"""The file of signs: what a keeper can see, its grades and what each asks for."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from intake.rules.fields import (
    Block,
    Cited,
    Flag,
    Flaw,
    Name,
    Version,
    Whole,
    Words,
    raise_flaws,
    same_ids,
)
from intake.science.signs import CAUSES, Sign

Cause = Literal["WQ", "PA", "BA", "VI", "NI"]
Urgency = Literal["watch", "test-water", "isolate", "call-vet"]
SignGroup = Literal[
    "behaviour", "skin", "fins", "gills", "eyes", "abdomen", "droppings", "appetite"
]


class GradeBlock(Block):
    """What a grade looks like and what it asks for."""

    seen: Words
    do: list[Urgency] = Field(min_length=1, max_length=4)


class SignBlock(Cited):
    """One sign."""

    id: Name
    title: Words
    group: SignGroup
    line: Words
    grades: list[GradeBlock] = Field(min_length=3, max_length=3)
    causes: list[Cause] = Field(min_length=1)
    look_like: list[Words] = Field(default_factory=list)
    infectious: Flag
    slide_from: Whole | None = None
    nervous: Flag = False
    grave: Flag = False

    @model_validator(mode="after")
    def _fits(self) -> Self:
        flaws: list[Flaw] = []
        if self.causes != [c for c in CAUSES if c in self.causes]:
            hint = "each once, in the order " + ", ".join(CAUSES)
            flaws.append(Flaw(("causes",), "not-in-order", "causes out of order", hint))
        if self.slide_from is not None and self.slide_from not in (1, 2, 3):
            text = f"{self.slide_from} is not a grade"
            flaws.append(Flaw(("slide_from",), "out-of-range", text, "1, 2 or 3"))
        raise_flaws(flaws)
        return self

    def sign(self) -> Sign:
        """The sign as a frozen shape."""
        one, two, three = self.grades
        return Sign(
            id=self.id,
            title=self.title,
            group=self.group,
            line=self.line,
            grades=(one.seen, two.seen, three.seen),
            causes=tuple(self.causes),
            urgency=(tuple(one.do), tuple(two.do), tuple(three.do)),
            look_like=tuple(self.look_like),
            infectious=self.infectious,
            source=self.cite(),
            slide_from=self.slide_from,
            nervous=self.nervous,
            grave=self.grave,
        )


class SignFile(Block):
    """All signs of one folder."""

    version: Version
    signs: list[SignBlock]

    @model_validator(mode="after")
    def _once(self) -> Self:
        raise_flaws(same_ids("signs", [s.id for s in self.signs]))
        return self
