"""The file of parasites: how long each part of a life takes, how far that holds, what repeats."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise
from typing import Literal, Self

from pydantic import Field, model_validator

from intake.rules.fields import (
    Block,
    Cited,
    Flaw,
    Name,
    Number,
    Quantity,
    Version,
    Whole,
    Words,
    celsius,
    flaws_in,
    hours,
    raise_flaws,
    same_ids,
    sure,
)
from intake.rules.parasite_times import RangeBlock, TimeBlock
from intake.science.limits import allowed
from intake.science.parasite import COVER, EGGS, Fit, Parasite

Rule = Literal["eggs", "cover", "once"]
NEEDED = {EGGS: ("last-hatch", "first-layer", "generation")}
"""The parts of a life a rule is worked out from; any rule needs a generation."""


class EveryBlock(Cited):
    """From a temperature on a dose follows the last within so long."""

    at: Quantity
    takes: Quantity

    @model_validator(mode="after")
    def _fits(self) -> Self:
        flaws = flaws_in(celsius(self.at, ("at",)), hours(self.takes, ("takes",)))
        if not flaws and sure(hours(self.takes)) % 24:
            text = f"'{self.takes}' is not whole days"
            flaws.append(Flaw(("takes",), "wrong-kind", text, "as in '1 d'"))
        raise_flaws(flaws)
        return self


class Counted(Cited):
    """A plain number with where it comes from."""

    value: Number


class DaysBlock(Cited):
    """Whole days with where they come from."""

    value: Quantity

    @model_validator(mode="after")
    def _fits(self) -> Self:
        read = hours(self.value, ("value",), zero_ok=True)
        flaws = flaws_in(read)
        if not flaws and sure(read) % 24:
            text = f"'{self.value}' is not whole days"
            flaws.append(Flaw(("value",), "wrong-kind", text, "as in '7 d'"))
        raise_flaws(flaws)
        return self

    def days(self) -> int:
        """How many [d]."""
        return int(sure(hours(self.value, zero_ok=True)) / 24)


class DosesBlock(Cited):
    """How many doses are given at least."""

    at_least: Whole


class ParasiteBlock(Cited):
    """One parasite; its own source is that of its rule."""

    id: Name
    title: Words
    names: list[Words] = Field(default_factory=list)
    rule: Rule
    range: RangeBlock
    below: Words
    above: Words
    doses: DosesBlock | None = None
    every: list[EveryBlock] = Field(default_factory=list)
    slack: DaysBlock | None = None
    cycles: Counted | None = None
    look_after: DaysBlock | None = None
    times: list[TimeBlock] = Field(min_length=1)
    notes: list[Words] = Field(default_factory=list)

    @model_validator(mode="after")
    def _whole(self) -> Self:
        known = {t.name for t in self.times}
        flaws = [
            Flaw(("times",), "missing-key", f"'{self.rule}' needs the time {name}", at_key=True)
            for name in NEEDED.get(self.rule, ("generation",))
            if name not in known
        ]
        if (self.rule == COVER) != bool(self.every):
            text = "'every' is said of what is kept out without a gap, and of nothing else"
            flaws.append(Flaw((), "missing-key", text))
        if self.rule != EGGS and self.look_after is None:
            text = "when it is looked for again is not said"
            flaws.append(Flaw((), "missing-key", text, "a block 'look-after:'"))
        low, high = self.range.ends()
        for n, time in enumerate(self.times):
            flaws += [
                Flaw(("times", n, *f.where), f.code, f.text, f.hint, at_key=f.at_key)
                for f in time.beyond(low, high)
            ]
        raise_flaws([*flaws, *self._every_flaws(low), *self._range_flaws(low, high)])
        return self

    def _every_flaws(self, low: Decimal) -> list[Flaw]:
        rows = [(sure(celsius(e.at)), sure(hours(e.takes))) for e in self.every]
        flaws = [
            Flaw(("every", n, "at"), "not-in-order", "warmer water never waits longer for a dose")
            for n, (a, b) in enumerate(pairwise(rows), 1)
            if b[0] <= a[0] or b[1] > a[1]
        ]
        if rows and not allowed(rows[0][0], None, low):
            text = f"nothing is said from {low} C up to the first row"
            flaws.append(Flaw(("every", 0, "at"), "out-of-range", text))
        return flaws

    def _range_flaws(self, low: Decimal, high: Decimal) -> list[Flaw]:
        """What a rule that dates the eggs needs is known in the whole range."""
        flaws = []
        for n, time in enumerate(self.times):
            if self.rule != EGGS or time.name not in NEEDED[EGGS] or time.range is None:
                continue
            ends = time.range.ends()
            if not (allowed(low, ends[0], None) and allowed(high, None, ends[1])):
                text = f"{time.name} is not known in the whole range of the parasite"
                flaws.append(Flaw(("times", n, "range"), "out-of-range", text, at_key=True))
        return flaws

    def parasite(self) -> Parasite:
        """The parasite as a frozen shape."""
        low, high = self.range.ends()
        times: dict[str, tuple[Fit, ...]] = {}
        for time in self.times:
            times[time.name] = (*times.get(time.name, ()), time.fit(low, high))
        return Parasite(
            id=self.id,
            title=self.title,
            rule=self.rule,
            low_c=float(low),
            high_c=float(high),
            range_source=self.range.cite(),
            below=self.below,
            above=self.above,
            rule_source=self.cite(),
            times=times,
            names=tuple(self.names),
            doses=1 if self.doses is None else max(1, self.doses.at_least),
            every=tuple(
                (float(sure(celsius(e.at))), float(sure(hours(e.takes)) / 24)) for e in self.every
            ),
            every_sources=tuple(e.cite() for e in self.every),
            cycles=1.0 if self.cycles is None else float(self.cycles.value),
            slack_d=0 if self.slack is None else self.slack.days(),
            look_d=0 if self.look_after is None else self.look_after.days(),
            notes=tuple(self.notes),
        )


class ParasiteFile(Block):
    """All parasites of one folder."""

    version: Version
    parasites: list[ParasiteBlock]

    @model_validator(mode="after")
    def _once(self) -> Self:
        raise_flaws(same_ids("parasites", [p.id for p in self.parasites]))
        return self
