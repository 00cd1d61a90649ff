"""Stages and steps of a quarantine plan file: what is asked for, when, and on what condition."""

from __future__ import annotations

import re
from typing import Literal, Self

from pydantic import Field, model_validator

from intake.rules.fields import (
    Block,
    Cited,
    Flaw,
    Mark,
    Name,
    Quantity,
    Whole,
    Words,
    flaws_in,
    hours,
    raise_flaws,
    sure,
)
from intake.science.plan import Step

StepKind = Literal[
    "prepare",
    "look",
    "water-test",
    "temperature",
    "feed",
    "slide",
    "weigh",
    "photo",
    "change",
    "mixing-test",
    "treatment",
    "clean",
    "review",
]
Evidence = Literal[
    "volume",
    "load",
    "sponge",
    "kits",
    "water",
    "bag-temperature",
    "vet",
    "seller",
]
OnlyWhere = Literal["salt-in-water", "eggs-in-water", "fry-in-water"]

_CLOCK_TIME = re.compile(r"([01][0-9]|2[0-3]):[0-5][0-9]")
DAYS_MAX = 365
"""Longest plan and furthest day of a step [d] (common practice: the longest shipped is 42)."""
WEEKS_MAX = DAYS_MAX // 7


class StageBlock(Block):
    """A named stretch of days, both ends included; without `to-day` until release."""

    id: Name
    title: Words
    from_day: Whole
    to_day: Whole | None = None
    source: Words | None = None
    mark: Mark | None = None

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        raise_flaws(day_flaws(self.from_day, self.to_day))
        return self


class StepBlock(Cited):
    """One thing a plan asks for, once or again and again."""

    id: Name
    kind: StepKind
    task: Words
    from_day: Whole
    to_day: Whole | None = None
    every_days: Whole = 0
    at: list[str] = Field(default_factory=list)
    hours: list[Quantity] = Field(default_factory=list)
    because: Words | None = None
    counted_from: Literal["arrival", "release"] = "arrival"
    short: Words | None = None
    every_weeks: Whole = 0
    evidence: list[Evidence] = Field(default_factory=list)
    only_where: OnlyWhere | None = None

    @model_validator(mode="after")
    def _fits(self) -> Self:
        flaws = day_flaws(self.from_day, self.to_day)
        flaws += self._repeat_flaws()
        for n, time in enumerate(self.at):
            if not _CLOCK_TIME.fullmatch(time):
                text = f"'{time}' is not a time of day"
                flaws.append(Flaw(("at", n), "no-such-time", text, "write it like 08:30"))
            elif time in self.at[:n]:
                flaws.append(Flaw(("at", n), "name-taken", f"{time} is written twice"))
        flaws += flaws_in(*(hours(text, ("hours", n)) for n, text in enumerate(self.hours)))
        flaws += self._evidence_flaws()
        raise_flaws(flaws)
        return self

    def _repeat_flaws(self) -> list[Flaw]:
        flaws = []
        if not 0 <= self.every_days <= DAYS_MAX:
            text = f"every {self.every_days} days is not possible"
            flaws.append(Flaw(("every_days",), "out-of-range", text))
        if not 0 <= self.every_weeks <= WEEKS_MAX:
            text = f"every {self.every_weeks} weeks is not possible"
            flaws.append(Flaw(("every_weeks",), "out-of-range", text))
        if self.every_days and self.every_weeks:
            text = "'every-weeks' does not go with 'every-days'"
            flaws.append(Flaw(("every_weeks",), "wrong-kind", text, at_key=True))
        if self.hours and (self.at or self.every_days or self.every_weeks):
            text = "'hours' does not go with 'at', 'every-days' or 'every-weeks'"
            flaws.append(Flaw(("hours",), "wrong-kind", text, at_key=True))
        return flaws

    def _evidence_flaws(self) -> list[Flaw]:
        flaws = []
        if self.evidence and (self.kind != "prepare" or self.from_day >= 0):
            text = "only what is prepared before day 0 is answered by 'evidence'"
            flaws.append(Flaw(("evidence",), "wrong-kind", text, at_key=True))
        flaws += [
            Flaw(("evidence", n), "name-taken", f"{name} is written twice")
            for n, name in enumerate(self.evidence)
            if name in self.evidence[:n]
        ]
        return flaws

    def step(self) -> Step:
        """The step as a frozen shape."""
        return Step(
            id=self.id,
            kind=self.kind,
            task=self.task,
            from_day=self.from_day,
            to_day=self.to_day,
            source=self.cite(),
            every_days=self.every_days,
            at=tuple(self.at),
            hours=tuple(sure(hours(text)) for text in self.hours),
            because=self.because or "",
            short=self.short or "",
            counted_from=self.counted_from,
            every_weeks=self.every_weeks,
            evidence=tuple(self.evidence),
            only_where=self.only_where or "",
        )


def day_flaws(from_day: int, to_day: int | None) -> list[Flaw]:
    """What is wrong with two days a step or stage runs between."""
    flaws: list[Flaw] = []
    if abs(from_day) > DAYS_MAX:
        flaws.append(Flaw(("from_day",), "out-of-range", f"day {from_day} is too far away"))
    if to_day is not None and not from_day <= to_day <= DAYS_MAX:
        text = f"to-day ({to_day}) is before from-day ({from_day}) or too far away"
        flaws.append(Flaw(("to_day",), "not-in-order", text))
    return flaws
