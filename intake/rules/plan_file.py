"""A quarantine plan file: what may be written, what is checked, and its frozen shape."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Literal, Self

from pydantic import Field, model_validator

from intake.rules.fields import (
    Block,
    Flaw,
    Name,
    Version,
    Words,
    flaws_in,
    hours,
    raise_flaws,
    sure,
)
from intake.rules.plan_checks import CheckBlock, LeftOutBlock, RestartBlock
from intake.rules.plan_offers import HatchingBlock, PreventiveBlock
from intake.rules.plan_steps import DAYS_MAX, StageBlock, StepBlock
from intake.rules.target_block import Figure
from intake.science.plan import Plan, Stage

LifeStage = Literal["eggs", "hatchlings", "fry", "juvenile", "adult"]


class PlanFile(Block):
    """A quarantine plan."""

    id: Name
    title: Words
    version: Version
    days: Figure
    floor: Figure
    stages: list[StageBlock] = Field(min_length=1)
    steps: list[StepBlock] = Field(min_length=1)
    checks: list[CheckBlock] = Field(min_length=1)
    restarts: RestartBlock
    used_for: Words | None = None
    life_stages: list[LifeStage] = Field(default_factory=list)
    preventive: list[PreventiveBlock] = Field(default_factory=list)
    left_out: list[LeftOutBlock] = Field(default_factory=list)
    hatching: HatchingBlock | None = None

    @model_validator(mode="after")
    def _whole(self) -> Self:
        days = _whole_days(self.days.value, ("days", "value"))
        floor = _whole_days(self.floor.value, ("floor", "value"))
        flaws = flaws_in(days, floor)
        if not flaws and sure(days) < sure(floor):
            text = f"days ({self.days.value}) is under floor ({self.floor.value})"
            flaws.append(Flaw(("days", "value"), "not-in-order", text))
        flaws += self._twice()
        flaws += self._asked_and_left_out()
        raise_flaws(flaws)
        return self

    def _twice(self) -> Iterator[Flaw]:
        for name, key, ids in (
            ("stages", "id", [s.id for s in self.stages]),
            ("steps", "id", [s.id for s in self.steps]),
            ("checks", "check", [str(c.check) for c in self.checks]),
            ("preventive", "treatment", [p.treatment for p in self.preventive]),
            ("left_out", "check", [str(c.check) for c in self.left_out]),
        ):
            for n, id in enumerate(ids):
                if id in ids[:n]:
                    yield Flaw((name, n, key), "name-taken", f"'{id}' is written twice")

    def _asked_and_left_out(self) -> Iterator[Flaw]:
        asked = {c.check for c in self.checks}
        for n, block in enumerate(self.left_out):
            if block.check in asked:
                text = f"'{block.check}' is asked for and left out"
                yield Flaw(("left_out", n, "check"), "name-taken", text)

    def plan(self, text: str, path: str, sha256: str) -> Plan:
        """The plan as a frozen shape, with the text it was read from."""
        return Plan(
            id=self.id,
            title=self.title,
            version=self.version,
            days=int(sure(_whole_days(self.days.value))),
            floor_days=int(sure(_whole_days(self.floor.value))),
            stages=tuple(Stage(s.id, s.title, s.from_day, s.to_day) for s in self.stages),
            steps=tuple(s.step() for s in self.steps),
            checks=tuple(c.rule() for c in self.checks),
            restarts=self.restarts.rule(),
            sources=(self.days.cite(), self.floor.cite()),
            text=text,
            path=path,
            sha256=sha256,
            used_for=self.used_for or "",
            life_stages=tuple(self.life_stages),
            preventive=tuple(p.preventive() for p in self.preventive),
            left_out=tuple(c.left_out() for c in self.left_out),
            hatching=None if self.hatching is None else self.hatching.hatching(),
        )


def _whole_days(text: str, where: tuple[str | int, ...] = ()) -> Decimal | Flaw:
    read = hours(text, where)
    if isinstance(read, Flaw):
        return read
    days = read / 24
    if days != days.to_integral_value() or not 1 <= days <= DAYS_MAX:
        hint = f"a whole number of days up to {DAYS_MAX}, as in 30 d"
        return Flaw(where, "out-of-range", f"'{text}' is not a length for a plan", hint)
    return days
