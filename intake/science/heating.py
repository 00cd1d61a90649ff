"""Water warmed on purpose: how warm, and day by day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from intake.science.course_settled import settled_course
from intake.science.dose import DoseRequest
from intake.science.dose_checks import (
    check_interval,
    check_kinds,
    check_mixing,
    check_readings,
    check_stage,
    check_status,
    hard_limit,
)
from intake.science.dose_setting import goal_of
from intake.science.dose_words import LABEL_FIRST, course_warnings
from intake.science.figures import figure
from intake.science.limits import allowed
from intake.science.problem import Refused, Warn
from intake.science.treatment import Course

HEAT_UNIT = "C"
"""The unit of a course that warms the water and puts nothing in."""
_CHECKS = (check_status, check_stage, check_kinds, check_readings, check_mixing, check_interval)


@dataclass(frozen=True, slots=True)
class Rise:
    """One rise of the heater: to `to_c` [C], not before `at_utc`."""

    to_c: Decimal
    at_utc: datetime


@dataclass(frozen=True, slots=True)
class Raised:
    """Water warmed from `from_c` to `target_c` [C] in `rises`, one a day at most."""

    course: Course
    from_c: Decimal
    target_c: Decimal
    hard_limit_c: Decimal
    hard_limit_source: str
    rises: tuple[Rise, ...]
    warnings: tuple[Warn, ...]
    because: tuple[str, ...]


def plan_raise(request: DoseRequest) -> Raised:
    """The days on which the heater goes up, from the water's own temperature to the target.

    Parameters
    ----------
    request
        A treatment whose course counts in C; its reading of temp is where it begins.

    Raises
    ------
    Refused
        As `plan_dose`, and ``reading-missing`` without a temperature.

    Notes
    -----
    Every rise is at most the protocol's share of a day. The course begins at the likely reading
    and is judged against its limit at the target.
    """
    course = settled_course(request)
    for check in _CHECKS:
        check(request, course)
    temp = request.readings.get("temp")
    if temp is None or temp.value is None:
        raise Refused(
            "reading-missing",
            "the water's temperature is not known",
            unit=HEAT_UNIT,
            way_out="read temp first; the heater goes up from there",
        )
    if course.rate is None:
        raise ValueError("a course of heat says how fast")
    goal, limit = goal_of(request, course), hard_limit(request, course)
    if not allowed(goal, None, limit.value):
        raise Refused(
            "over-hard-limit",
            f"{figure(goal)} C is over the hard limit of {figure(limit.value)} C",
            limit=float(limit.value),
            value=float(goal),
            unit=HEAT_UNIT,
            source=limit.source.text,
            way_out=f"ask for at most {figure(limit.value)} C",
        )
    rate = course.rate
    return Raised(
        course,
        temp.value,
        goal,
        limit.value,
        limit.source.text,
        _rises(temp.value, goal, rate.per_day_c, request.now_utc),
        course_warnings(request, course, goal, limit),
        (
            f"at most {figure(rate.per_hour_c)} C in an hour and {figure(rate.per_day_c)} C in a "
            f"day: {rate.source.text}",
            f"hard limit {figure(limit.value)} C: {limit.source.text}",
            LABEL_FIRST,
        ),
    )


def _rises(
    from_c: Decimal, goal_c: Decimal, per_day_c: Decimal, now_utc: datetime
) -> tuple[Rise, ...]:
    rises: list[Rise] = []
    at_c, day = from_c, 0
    while at_c < goal_c:
        at_c = min(at_c + per_day_c, goal_c)
        rises.append(Rise(at_c, now_utc + timedelta(days=day)))
        day += 1
    return tuple(rises)
