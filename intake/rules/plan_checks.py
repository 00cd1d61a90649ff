"""Release checks of a quarantine plan file, those it leaves out, and when its days begin again."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal, Self

from pydantic import model_validator

from intake.rules.fields import (
    Cited,
    Flaw,
    Quantity,
    Whole,
    Words,
    celsius,
    flaws_in,
    hours,
    raise_flaws,
    sure,
)
from intake.rules.plan_steps import DAYS_MAX
from intake.science.course_parts import Source
from intake.science.plan import CheckRule, LeftOut, RestartRule

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


class LeftOutBlock(Cited):
    """A release check this plan does not ask for, and why not."""

    check: CheckName
    because: Words

    def left_out(self) -> LeftOut:
        """The check left out as a frozen shape."""
        return LeftOut(self.check, self.because, self.cite())


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
