"""A quarantine plan file: what may be written, what is checked, and its frozen shape."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Literal, Self

from pydantic import Field, model_validator

from intake.rules.fields import (
    Block,
    Cited,
    Flaw,
    Mark,
    Name,
    Quantity,
    Version,
    Whole,
    Words,
    celsius,
    flaws_in,
    hours,
    raise_flaws,
    sure,
)
from intake.rules.target_block import Figure
from intake.science.course_parts import Source
from intake.science.plan import CheckRule, Plan, RestartRule, Stage, Step

CheckName = Literal[
    "days-served",
    "no-deaths",
    "sign-free",
    "eating",
    "since-treatment",
    "slides",
    "water",
    "warm-days",
    "no-additions",
    "mixing-test",
]
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

_CLOCK_TIME = re.compile(r"([01][0-9]|2[0-3]):[0-5][0-9]")
DAYS_MAX = 365
"""Longest plan and furthest day of a step [d] (common practice: the longest shipped is 42)."""


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
        raise_flaws(_day_flaws(self.from_day, self.to_day))
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

    @model_validator(mode="after")
    def _fits(self) -> Self:
        flaws = _day_flaws(self.from_day, self.to_day)
        if not 0 <= self.every_days <= DAYS_MAX:
            text = f"every {self.every_days} days is not possible"
            flaws.append(Flaw(("every_days",), "out-of-range", text))
        for n, time in enumerate(self.at):
            if not _CLOCK_TIME.fullmatch(time):
                text = f"'{time}' is not a time of day"
                flaws.append(Flaw(("at", n), "no-such-time", text, "write it like 08:30"))
            elif time in self.at[:n]:
                flaws.append(Flaw(("at", n), "name-taken", f"{time} is written twice"))
        flaws += flaws_in(*(hours(text, ("hours", n)) for n, text in enumerate(self.hours)))
        if self.hours and (self.at or self.every_days):
            text = "'hours' does not go with 'at' or 'every-days'"
            flaws.append(Flaw(("hours",), "wrong-kind", text, at_key=True))
        raise_flaws(flaws)
        return self

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
        )


class CheckBlock(Cited):
    """One release check and its numbers."""

    check: CheckName
    days: Whole = 0
    count: Whole = 0
    grade: Whole = 1
    low: Quantity | None = None
    high: Quantity | None = None
    because: Words | None = None

    @model_validator(mode="after")
    def _fits(self) -> Self:
        low = None if self.low is None else celsius(self.low, ("low",))
        high = None if self.high is None else celsius(self.high, ("high",))
        flaws = flaws_in(low, high)
        for name in ("days", "count"):
            if not 0 <= getattr(self, name) <= DAYS_MAX:
                text = f"{getattr(self, name)} is not possible"
                flaws.append(Flaw((name,), "out-of-range", text))
        if self.grade not in (1, 2, 3):
            text = f"{self.grade} is not a grade"
            flaws.append(Flaw(("grade",), "out-of-range", text, "1, 2 or 3"))
        if isinstance(low, Decimal) and isinstance(high, Decimal) and low >= high:
            text = f"low ({self.low}) is not under high ({self.high})"
            flaws.append(Flaw(("high",), "not-in-order", text))
        if self.check == "warm-days" and (low is None or high is None):
            flaws.append(Flaw((), "missing-key", "warm-days needs 'low' and 'high'"))
        raise_flaws(flaws)
        return self

    def rule(self) -> CheckRule:
        """The check as a frozen shape."""
        return CheckRule(
            check=self.check,
            source=self._source(),
            days=self.days,
            count=self.count,
            grade=self.grade,
            low_c=None if self.low is None else sure(celsius(self.low)),
            high_c=None if self.high is None else sure(celsius(self.high)),
        )

    def _source(self) -> Source:
        said = f"{self.source}; {self.because}" if self.because else self.source
        return Source(said, self.mark)


class RestartBlock(Cited):
    """When the days served begin again."""

    sign_grade: Whole
    same_sign_fish: Whole
    sign_days: Whole
    death_after_day: Whole
    stands_after: Quantity

    @model_validator(mode="after")
    def _fits(self) -> Self:
        flaws = flaws_in(hours(self.stands_after, ("stands_after",)))
        for name, least, most in (
            ("sign_grade", 1, 3),
            ("same_sign_fish", 1, 1000),
            ("sign_days", 1, DAYS_MAX),
            ("death_after_day", 0, DAYS_MAX),
        ):
            if not least <= getattr(self, name) <= most:
                text = f"{getattr(self, name)} is not from {least} to {most}"
                flaws.append(Flaw((name,), "out-of-range", text))
        raise_flaws(flaws)
        return self

    def rule(self) -> RestartRule:
        """The rule as a frozen shape."""
        return RestartRule(
            source=self.cite(),
            sign_grade=self.sign_grade,
            same_sign_fish=self.same_sign_fish,
            sign_days=self.sign_days,
            death_after_day=self.death_after_day,
            stands_after_h=int(sure(hours(self.stands_after))),
        )


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

    @model_validator(mode="after")
    def _whole(self) -> Self:
        days = _whole_days(self.days.value, ("days", "value"))
        floor = _whole_days(self.floor.value, ("floor", "value"))
        flaws = flaws_in(days, floor)
        if not flaws and sure(days) < sure(floor):
            text = f"days ({self.days.value}) is under floor ({self.floor.value})"
            flaws.append(Flaw(("days", "value"), "not-in-order", text))
        for name, ids in (
            ("stages", [s.id for s in self.stages]),
            ("steps", [s.id for s in self.steps]),
            ("checks", [c.check for c in self.checks]),
        ):
            key = "check" if name == "checks" else "id"
            flaws += [
                Flaw((name, n, key), "name-taken", f"'{id}' is written twice")
                for n, id in enumerate(ids)
                if id in ids[:n]
            ]
        raise_flaws(flaws)
        return self

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
        )


def _day_flaws(from_day: int, to_day: int | None) -> list[Flaw]:
    flaws: list[Flaw] = []
    if abs(from_day) > DAYS_MAX:
        flaws.append(Flaw(("from_day",), "out-of-range", f"day {from_day} is too far away"))
    if to_day is not None and not from_day <= to_day <= DAYS_MAX:
        text = f"to-day ({to_day}) is before from-day ({from_day}) or too far away"
        flaws.append(Flaw(("to_day",), "not-in-order", text))
    return flaws


def _whole_days(text: str, where: tuple[str | int, ...] = ()) -> Decimal | Flaw:
    read = hours(text, where)
    if isinstance(read, Flaw):
        return read
    days = read / 24
    if days != days.to_integral_value() or not 1 <= days <= DAYS_MAX:
        hint = f"a whole number of days up to {DAYS_MAX}, as in 30 d"
        return Flaw(where, "out-of-range", f"'{text}' is not a length for a plan", hint)
    return days
