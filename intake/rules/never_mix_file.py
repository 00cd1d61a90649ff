"""The file of treatments that are never in the same water."""

from __future__ import annotations

from typing import Self

from pydantic import Field, model_validator

from intake.rules.fields import (
    Block,
    Cited,
    Flag,
    Flaw,
    Name,
    Quantity,
    Version,
    Words,
    flaws_in,
    hours,
    raise_flaws,
    sure,
)
from intake.science.treatment import NeverMix

HOURS_PER_DAY = 24


class PairBlock(Cited):
    """Two treatments, for how long after each other, and why."""

    pair: list[Name] = Field(min_length=2, max_length=2)
    days: Quantity
    hard: Flag
    why: Words

    @model_validator(mode="after")
    def _fits(self) -> Self:
        flaws = flaws_in(hours(self.days, ("days",)))
        if self.pair[0] == self.pair[1]:
            text = f"'{self.pair[0]}' is paired with itself"
            flaws.append(Flaw(("pair", 1), "name-taken", text))
        raise_flaws(flaws)
        return self

    def shape(self) -> NeverMix:
        """The pair as a frozen shape."""
        return NeverMix(
            first=self.pair[0],
            second=self.pair[1],
            why=self.why,
            source=self.cite(),
            days=sure(hours(self.days)) / HOURS_PER_DAY,
            hard=self.hard,
        )


class NeverMixFile(Block):
    """All pairs of one folder."""

    version: Version
    pairs: list[PairBlock]

    @model_validator(mode="after")
    def _once(self) -> Self:
        seen: list[frozenset[str]] = []
        flaws: list[Flaw] = []
        for n, block in enumerate(self.pairs):
            both = frozenset(block.pair)
            if both in seen:
                text = f"{block.pair[0]} with {block.pair[1]} is written twice"
                flaws.append(Flaw(("pairs", n, "pair"), "name-taken", text))
            seen.append(both)
        raise_flaws(flaws)
        return self
