"""What a change of a protocol would do: a sample tub before and after."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from intake.flows.views.protocols import Effect
from intake.science.conditions import Reading
from intake.science.dose import Direction, DoseRequest, WaterVolume
from intake.science.dose_checks import hard_limit
from intake.science.dosing import plan_dose
from intake.science.limits import allowed
from intake.science.plan import Plan
from intake.science.problem import Refused
from intake.science.rescue import Rescue
from intake.science.show import show
from intake.science.targets import WaterTargets
from intake.science.treatment import Course, Treatment

if TYPE_CHECKING:
    from intake.rules.one_file import Content

SAMPLE_L, SAMPLE_C, SAMPLE_FISH_G = Decimal(100), Decimal(19), Decimal(1000)
"""The sample tub: its water [L], its temperature [C], its fish [g]."""
THEN = datetime(2026, 1, 1, tzinfo=UTC)
"""Any moment will do: nothing of a sample tub is old."""
HOURS_A_DAY = 24


def sample_of(id_: str, content: Content | None) -> str:
    """What the effect is shown on."""
    name = id_.rpartition("/")[2]
    if isinstance(content, Treatment):
        return f"{name} on a tub of {SAMPLE_L} L, {SAMPLE_C} C"
    if isinstance(content, Plan):
        return f"{name}, from the day the last fish goes in"
    return f"what {name} says"


def effects_of(shipped: Content | None, yours: Content | None) -> tuple[Effect, ...]:
    """The sample tub with the shipped file and with the keeper's own text."""
    either = yours if yours is not None else shipped
    if isinstance(either, Treatment):
        first = shipped if isinstance(shipped, Treatment) else None
        second = yours if isinstance(yours, Treatment) else None
        return tuple(_treatment(first, second))
    if isinstance(either, Plan):
        one = shipped if isinstance(shipped, Plan) else None
        two = yours if isinstance(yours, Plan) else None
        return tuple(_plan(one, two))
    if isinstance(either, WaterTargets):
        was = shipped if isinstance(shipped, WaterTargets) else None
        now = yours if isinstance(yours, WaterTargets) else None
        return tuple(_water(was, now))
    return (_counted(shipped, yours),) if either is not None else ()


def _treatment(shipped: Treatment | None, yours: Treatment | None) -> Iterator[Effect]:
    """The first course whole, of the others only what differs."""
    both = [t for t in (yours, shipped) if t is not None]
    names = list(dict.fromkeys(c.name for t in both for c in t.courses))
    if shipped and yours and shipped.status != yours.status:
        yield Effect("status", shipped.status, yours.status, "changed", "care")
    for name in names:
        rows = _course_rows(shipped, yours, name)
        if name == names[0]:
            yield from rows
        else:
            differ = [r for r in rows if r.said != "same"]
            yield from (replace(r, label=f"{name}: {r.label}") for r in differ)


def _course_rows(
    shipped: Treatment | None, yours: Treatment | None, name: str
) -> tuple[Effect, ...]:
    first = shipped.course(name) if shipped else None
    second = yours.course(name) if yours else None
    unit = (second or first).unit  # type: ignore[union-attr]
    old, new = _amount(shipped, first), _amount(yours, second)
    limits = _limit(shipped, first), _limit(yours, second)
    days = _interval(first), _interval(second)
    amount = _row("amount", old, new, more_harms=True)
    if new[0] is not None and _over(second, limits[0][0]):
        amount = replace(amount, mark="stop", said=f"{amount.said}, over the shipped hard limit")
    return (
        amount,
        _row(f"hard limit, {unit}", *limits, more_harms=True),
        _row("days between doses", *days, more_harms=False, words=("longer", "shorter")),
    )


Value = tuple[Decimal | None, str]
"""A number and how it is shown; without a number what stands there instead."""
NONE: Value = (None, "-")


def _request(treatment: Treatment, course: Course) -> DoseRequest:
    """The dose for the sample tub, whose water is as every condition wants it.

    What only a vet directs is directed at its usual figure.
    """
    bare = replace(treatment, courses=(replace(course, conditions=()),))
    readings = {"temp": Reading(SAMPLE_C, SAMPLE_C, SAMPLE_C, THEN)}
    if course.per is not None:
        each = course.per.each
        readings[course.per.quantity] = Reading(each, each, each, THEN)
    said = None
    if treatment.status in ("vet only", "not advised") and course.usual:
        said = Direction("a vet", "", treatment.id, course.usual)
    water = WaterVolume(SAMPLE_L, SAMPLE_L, SAMPLE_L)
    return DoseRequest(
        bare, THEN, course.name, volume=water, fish_mass_g=SAMPLE_FISH_G, readings=readings,
        stages=course.stages[-1:], direction=said,
    )  # fmt: skip


def _amount(treatment: Treatment | None, course: Course | None) -> Value:
    if treatment is None or course is None:
        return NONE
    if course.rate is not None:
        return course.usual, show(course.usual, course.unit)
    try:
        answer = plan_dose(_request(treatment, course))
    except Refused as no:
        return None, f"refused: {no.code}"
    return answer.amount, show(answer.amount, answer.amount_unit)


def _limit(treatment: Treatment | None, course: Course | None) -> Value:
    if treatment is None or course is None:
        return NONE
    try:
        limit = hard_limit(_request(treatment, course), course)
    except Refused:
        return None, "none"
    return limit.value, show(limit.value, "")


def _interval(course: Course | None) -> Value:
    interval = course.interval if course is not None else None
    hours = interval.usual_every_h or interval.not_before_h if interval is not None else None
    if hours is None and course is not None and course.repeat is not None:
        hours = course.repeat.every_h
    if hours is None:
        return NONE
    return hours, show(hours / HOURS_A_DAY, "", digits=2)


def _over(course: Course | None, limit: Decimal | None) -> bool:
    """Whether the usual target of the keeper's own is over the shipped hard limit."""
    return limit is not None and course is not None and not allowed(course.usual, None, limit)


def _row(
    label: str,
    old: Value,
    new: Value,
    *,
    more_harms: bool,
    words: tuple[str, str] = ("more", "less"),
) -> Effect:
    before, after = old[0], new[0]
    if before is None or after is None:
        said = "same" if old[1] == new[1] else "changed"
        return Effect(label, old[1], new[1], said, "" if said == "same" else "care")
    if before == after:
        return Effect(label, old[1], new[1], "same")
    more = after > before
    word = words[0] if more else words[1]
    share = abs(after - before) / before * 100 if before else Decimal(0)
    said = word if words[0] == "longer" or not before else f"{show(share, '%', digits=2)} {word}"
    return Effect(label, old[1], new[1], said, "care" if more == more_harms else "")


def _plan(shipped: Plan | None, yours: Plan | None) -> Iterator[Effect]:
    def days(plan: Plan | None, value: int | None) -> Value:
        return NONE if plan is None or value is None else (Decimal(value), str(value))

    ends = [(p, p.days if p else None, p.floor_days if p else None) for p in (shipped, yours)]
    (first, old, low), (second, new, floor) = ends
    longer = ("longer", "shorter")
    yield _row(
        "days to serve", days(first, old), days(second, new), more_harms=False, words=longer
    )
    yield _row("never under, days", days(first, low), days(second, floor), more_harms=False,
               words=longer)  # fmt: skip
    yield _row("release checks", days(first, len(first.checks) if first else None),
               days(second, len(second.checks) if second else None), more_harms=False)  # fmt: skip
    yield _row("steps", days(first, len(first.steps) if first else None),
               days(second, len(second.steps) if second else None), more_harms=False)  # fmt: skip


def _water(shipped: WaterTargets | None, yours: WaterTargets | None) -> Iterator[Effect]:
    """The targets and thresholds that differ; how many there are where none does."""
    old, new = _targets(shipped), _targets(yours)
    differ = [name for name in dict.fromkeys([*old, *new]) if old.get(name) != new.get(name)]
    for name in differ:
        yield Effect(name, old.get(name, "-"), new.get(name, "-"), "changed", "care")
    if not differ:
        yield Effect("targets and thresholds", str(len(old)), str(len(new)), "same")


def _targets(water: WaterTargets | None) -> dict[str, str]:
    if water is None:
        return {}
    found = {n: show(t.value, t.unit) for n, t in water.thresholds.items()}
    for stage, limits in water.stages.items():
        for x in limits:
            ends = [show(end, "") for end in (x.low, x.high) if end is not None]
            found[f"{x.quantity}, {stage}"] = f"{' to '.join(ends)} {x.unit}".rstrip()
    return found


def _counted(shipped: Content | None, yours: Content | None) -> Effect:
    old, new = (_entries(c) for c in (shipped, yours))
    same = shipped is not None and yours is not None and old == new
    return Effect("entries", str(old), str(new), "same" if same else "changed",
                  "" if same else "care")  # fmt: skip


def _entries(content: Content | None) -> int:
    """How many signs, pairs or steps it has."""
    if isinstance(content, Rescue):
        return len(content.do)
    return len(content) if isinstance(content, tuple) else 0
