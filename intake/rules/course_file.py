"""One course of a treatment file: what may be written, what is checked, and its frozen shape."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Literal, Self

from pydantic import Field, model_validator

from intake.rules.dose_blocks import ConditionBlock, HardLimit, SoftLimit, Stages
from intake.rules.fields import (
    Block,
    Cited,
    Flag,
    Flaw,
    Name,
    Words,
    flaws_in,
    hours,
    in_target_unit,
    raise_flaws,
    sure,
)
from intake.rules.target_block import Target
from intake.rules.time_blocks import Duration, IntervalBlock, RateBlock, RepeatBlock, Steps
from intake.science.course_parts import Source
from intake.science.treatment import Course, DoseStep, Interval

Route = Literal["prolonged", "bath", "dip", "feed", "eggs", "clean", "heat"]


class CourseBlock(Block):
    """One way a treatment is given."""

    name: Name
    route: Route
    counts: Literal["treatment", "support"] | None = None
    against: list[Words] = Field(default_factory=list)
    adds: Flag = False
    target: Target
    hard_limits: list[HardLimit] = Field(default_factory=list)
    soft_limits: list[SoftLimit] = Field(default_factory=list)
    conditions: list[ConditionBlock] = Field(default_factory=list)
    duration: Duration | None = None
    repeat: RepeatBlock | None = None
    interval: IntervalBlock | None = None
    steps: Steps | None = None
    rate: RateBlock | None = None
    stages: Stages
    before: list[Words]
    during: list[Words]
    after: list[Words]
    stop_signs: list[Words] = Field(min_length=1)
    note: Words | None = None

    @model_validator(mode="after")
    def _inside_limits(self) -> Self:
        flaws = [*self._limit_flaws(), *self._step_flaws(), *self._route_flaws()]
        raise_flaws(flaws)
        return self

    def _limit_flaws(self) -> list[Flaw]:
        unit = self.target.unit
        _, usual, high = self.target.numbers()
        flaws = self._unread_limits(unit)
        if flaws:
            return flaws
        if self.target.by is None and not any(limit.everywhere for limit in self.hard_limits):
            text = "no hard limit holds in every water, so it cannot be dosed"
            flaws.append(Flaw(("hard_limits",), "hard-limit-missing", text, at_key=True))
        for n, limit in enumerate(self.hard_limits):
            value = sure(in_target_unit(limit.value, unit))
            if limit.everywhere and high > value:
                text = f"high ({self.target.said('high')}) is over the hard limit ({limit.value})"
                flaws.append(Flaw(("target", "high", "value"), "not-in-order", text))
            if usual >= value:
                text = f"usual ({self.target.said('usual')}) is not under this hard limit"
                flaws.append(Flaw(("hard_limits", n, "value"), "not-in-order", text))
        for n, soft in enumerate(self.soft_limits):
            value = sure(in_target_unit(soft.value, unit))
            if any(value > sure(in_target_unit(h.value, unit)) for h in self.hard_limits):
                text = f"a soft limit ({soft.value}) over a hard one never warns"
                flaws.append(Flaw(("soft_limits", n, "value"), "not-in-order", text))
        return flaws

    def _unread_limits(self, unit: str) -> list[Flaw]:
        lists = (("hard_limits", self.hard_limits), ("soft_limits", self.soft_limits))
        return flaws_in(
            *(
                in_target_unit(limit.value, unit, (name, n, "value"))
                for name, limits in lists
                for n, limit in enumerate(limits)
            )
        )

    def _step_flaws(self) -> list[Flaw]:
        if self.steps is None:
            return []
        flaws: list[Flaw] = []
        last = (Decimal(0), Decimal(-1))
        for n, step in enumerate(self.steps.raises):
            where: tuple[str | int, ...] = ("steps", "raises", n)
            target = in_target_unit(step.target, self.target.unit, (*where, "target"))
            after = hours(step.after, (*where, "after"), zero_ok=True)
            flaws += flaws_in(target, after)
            if isinstance(target, Flaw) or isinstance(after, Flaw):
                return flaws
            if target <= last[0] or after <= last[1]:
                text = "each step is higher and later than the one before"
                flaws.append(Flaw((*where, "target"), "not-in-order", text))
            last = (target, after)
        if last[0] < self.target.numbers()[2]:
            text = f"the steps end under high ({self.target.said('high')})"
            flaws.append(Flaw(("steps",), "not-in-order", text, at_key=True))
        return flaws

    def _route_flaws(self) -> list[Flaw]:
        flaws: list[Flaw] = []
        own = {"feed": "mg/kg/d", "heat": "C"}
        if own.get(self.route) != (self.target.unit if self.target.unit in own.values() else None):
            text = f"a {self.route} course does not count in {self.target.unit}"
            flaws.append(Flaw(("target", "unit"), "wrong-kind", text))
        if (self.route == "clean") != (not self.stages.allowed):
            text = "nothing alive is allowed where equipment is cleaned, and something elsewhere"
            flaws.append(Flaw(("stages", "allowed"), "wrong-kind", text))
        if (self.route == "heat") != (self.rate is not None):
            text = "how fast it is raised is said of heat, and of nothing else"
            flaws.append(Flaw((), "missing-key", text, "a block 'rate:' with 'per-day:'"))
        if self.route == "eggs" and self.stages.allowed != ["eggs"]:
            text = "a course for eggs allows eggs only"
            flaws.append(Flaw(("stages", "allowed"), "wrong-kind", text))
        if self.route in ("bath", "dip") and self.duration is None:
            text = f"a {self.route} needs a duration"
            flaws.append(Flaw((), "missing-key", text, "add a block 'duration:'"))
        return flaws

    def course(self) -> Course:
        """The course as a frozen shape."""
        low, usual, high = self.target.numbers()
        unit = self.target.unit
        asked = self.target.asked_as
        soft = tuple(
            replace(b, hard=False, code=s.code) for s in self.soft_limits for b in (s.bound(unit),)
        )
        return Course(
            name=self.name,
            route=self.route,
            unit=unit,
            low=low,
            usual=usual,
            high=high,
            sources=tuple(f.cite() for _, f in self.target.figures()),
            bounds=tuple(limit.bound(unit) for limit in self.hard_limits) + soft,
            conditions=tuple(c.condition() for c in self.conditions),
            duration_min_h=_hours_or_none(self.duration.at_least if self.duration else None),
            duration_max_h=_hours_or_none(self.duration.at_most if self.duration else None),
            repeat=None if self.repeat is None else self.repeat.repeat(),
            interval=self._interval(),
            steps=self._steps(unit),
            stages=tuple(self.stages.allowed),
            stage_source=self.stages.cite(),
            before=tuple(self.before),
            during=tuple(self.during),
            after=tuple(self.after),
            stop_signs=tuple(self.stop_signs),
            note=self.note or "",
            duration_source=_cited(self.duration),
            steps_source=_cited(self.steps),
            counts=self.counts or "",
            against=tuple(self.against),
            adds=self.adds,
            by_vet=self.target.by is not None,
            per=None if self.target.per is None else self.target.per.per(),
            asked_as=None if asked is None else asked.asked_as(unit),
            rate=None if self.rate is None else self.rate.rate(),
        )

    def _interval(self) -> Interval | None:
        if self.interval is None:
            return None
        return Interval(
            _hours_or_none(self.interval.not_before),
            _hours_or_none(self.interval.usual_every),
            self.interval.cite(),
        )

    def _steps(self, unit: str) -> tuple[DoseStep, ...]:
        raises = self.steps.raises if self.steps else []
        return tuple(
            DoseStep(sure(in_target_unit(s.target, unit)), sure(hours(s.after, zero_ok=True)))
            for s in raises
        )


def _hours_or_none(text: str | None) -> Decimal | None:
    return None if text is None else sure(hours(text))


def _cited(block: Cited | None) -> Source | None:
    return None if block is None else block.cite()
