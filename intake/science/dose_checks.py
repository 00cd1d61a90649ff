"""What may stop a dose, in the order it is said, and the hard limit that holds for it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from intake.science.amount import FEED_UNIT, counted
from intake.science.ceilings import ceiling
from intake.science.conditions import Reading, age_h, broken_conditions, judge_conditions
from intake.science.dose import DoseRequest
from intake.science.figures import figure, time_text
from intake.science.limits import allowed, compare
from intake.science.mixing import Clash, clashes, judge_mixing
from intake.science.mixing import refusal as mixing_refusal
from intake.science.problem import Problem, Refused, Unreadable
from intake.science.treatment import Bound, Course, Source

TEMPERATURE_MAX_AGE_H = Decimal(24)
"""An older temperature does not choose between limits [h]; the careful one is taken. Common
practice."""
LEAST_VOLUME_L = Decimal("0.01")
"""Less water than this is taken as not known [L]. Common practice."""


@dataclass(frozen=True, slots=True)
class Limit:
    """The hard limit of one dose in the course's unit, and who set it."""

    value: Decimal
    source: Source


def settled_course(request: DoseRequest) -> Course:
    """The course asked for, or the first.

    Raises
    ------
    Refused
        ``vet-only`` or ``not-advised``: the treatment has no course at all.
    Unreadable
        ``no-such-name``: it has others.
    """
    treatment = request.treatment
    if not treatment.courses:
        raise _status_refusal(request)
    course = treatment.course(request.course)
    if course is None:
        names = ", ".join(c.name for c in treatment.courses)
        text = f"{treatment.id} has no course {request.course!r}"
        raise Unreadable(Problem("no-such-name", text, f"it has: {names}"))
    return course


def _status_refusal(request: DoseRequest) -> Refused:
    treatment = request.treatment
    source = f"protocol {treatment.id} {treatment.version}"
    if treatment.status == "not advised":
        return Refused(
            "not-advised",
            f"{treatment.title} is not advised for these fish",
            source=source,
            way_out="ask a vet and record the direction, or choose another treatment",
        )
    return Refused(
        "vet-only",
        f"{treatment.title} is given on a vet's direction only",
        source=source,
        way_out="record the vet's direction with its target, then dose from that",
    )


def directed(request: DoseRequest) -> bool:
    """Whether a vet's direction for this treatment is recorded."""
    return request.direction is not None and request.direction.treatment == request.treatment.id


def check_status(request: DoseRequest, _course: Course) -> None:
    if request.treatment.status in ("not advised", "vet only") and not directed(request):
        raise _status_refusal(request)


def check_stage(request: DoseRequest, course: Course) -> None:
    for stage in request.stages:
        if stage not in course.stages:
            raise Refused(
                "life-stage",
                f"{stage} are in the water this dose reaches; the course is for "
                + ", ".join(course.stages),
                source="" if course.stage_source is None else course.stage_source.text,
                way_out=f"move the {stage} to water of their own first, or take another course",
            )


def check_water(request: DoseRequest, course: Course) -> None:
    if course.unit == FEED_UNIT:
        _check_fish_mass(request, course)
        return
    volume = request.volume
    if volume is None:
        if request.fish_mass_g is not None:
            raise Refused(
                "wrong-route",
                f"{course.name} is dosed by the volume of water, not by the mass of fish",
                way_out="give the volume or the vessel",
            )
        raise _unknown("the volume of the water is not known", "measure or fill the vessel first")
    ordered = (
        compare(volume.low_l, volume.volume_l) <= 0 <= compare(volume.high_l, volume.volume_l)
    )
    if not (ordered and allowed(volume.low_l, LEAST_VOLUME_L, None)):
        raise _unknown("this water may hold next to nothing", "measure it again, or by filling")


def _check_fish_mass(request: DoseRequest, course: Course) -> None:
    if request.fish_mass_g is not None and allowed(request.fish_mass_g, LEAST_VOLUME_L, None):
        return
    if request.volume is not None:
        raise Refused(
            "wrong-route",
            f"{course.name} goes into the feed by the mass of fish, not into the water",
            way_out="give the mass of all the fish that are fed",
        )
    raise _unknown("the mass of the fish is not known", "weigh the fish first")


def _unknown(text: str, way_out: str) -> Refused:
    return Refused("volume-unknown", text, way_out=way_out)


def check_strength(request: DoseRequest, _course: Course) -> None:
    counted(request.treatment, request.strength, request.bottle)


def check_readings(request: DoseRequest, course: Course) -> None:
    judge_conditions(course.conditions, request.readings, request.now_utc)


def check_mixing(request: DoseRequest, _course: Course) -> None:
    judge_mixing(met(request))


def check_interval(request: DoseRequest, course: Course) -> None:
    gone_h = hours_since_last(request)
    interval = course.interval
    if gone_h is None or interval is None or interval.not_before_h is None:
        return
    if not allowed(gone_h, interval.not_before_h, None):
        raise Refused(
            "too-soon",
            f"the last {request.treatment.title} was {time_text(gone_h)} ago, at least "
            f"{figure(interval.not_before_h)} h have to lie between",
            limit=float(interval.not_before_h),
            value=float(gone_h),
            unit="h",
            source=interval.source.text,
            way_out=f"wait {time_text(interval.not_before_h - gone_h, up=True)}",
        )


IN_ORDER: tuple[Callable[[DoseRequest, Course], None], ...] = (
    check_status,
    check_stage,
    check_water,
    check_strength,
    check_readings,
    check_mixing,
    check_interval,
)
"""The order refusals are said in; over-hard-limit and cannot-measure come after them."""


def refusals(request: DoseRequest, course: Course) -> tuple[Refused, ...]:
    """Everything but the concentration that would have stopped it, for what was given anyway."""
    found: list[Refused] = []
    for check in IN_ORDER:
        if check is check_readings:
            found += broken_conditions(course.conditions, request.readings, request.now_utc)
        elif check is check_mixing:
            found += [mixing_refusal(clash) for clash in met(request) if clash.pair.hard]
        else:
            try:
                check(request, course)
            except Refused as refusal:
                found.append(refusal)
    return tuple(found)


def met(request: DoseRequest) -> tuple[Clash, ...]:
    """Every pair of the never-mix list this dose would make."""
    return clashes(
        request.treatment.id,
        request.never_mix,
        request.present,
        request.recent,
        request.now_utc,
    )


def hours_since_last(request: DoseRequest) -> Decimal | None:
    """Hours since the last dose of the same treatment; None where no interval applies."""
    if request.last_dose_utc is None:
        return None
    if request.replaces and request.treatment.after_change == "replace":
        return None
    return hours_between(request.last_dose_utc, request.now_utc)


def hours_between(start: datetime, end: datetime) -> Decimal:
    """Elapsed hours, to the microsecond."""
    return Decimal((end - start) // timedelta(microseconds=1)) / 3_600_000_000


def applies(bound: Bound, temp: Reading | None, now_utc: datetime) -> bool:
    """Whether a bound holds at this temperature; it does where the temperature is not known."""
    if bound.above_c is None and bound.below_c is None:
        return True
    if not known_temperature(temp, now_utc) or temp is None:
        return True
    warm_enough = bound.above_c is None or not _ends(temp.high, None, bound.above_c)
    cold_enough = bound.below_c is None or not _ends(temp.low, bound.below_c, None)
    return warm_enough and cold_enough


def _ends(end: Decimal | None, low: Decimal | None, high: Decimal | None) -> bool:
    return end is not None and allowed(end, low, high)


def known_temperature(temp: Reading | None, now_utc: datetime) -> bool:
    """Whether the temperature is young enough to choose between limits."""
    return temp is not None and allowed(age_h(temp, now_utc), None, TEMPERATURE_MAX_AGE_H)


def hard_limit(request: DoseRequest, course: Course) -> Limit:
    """The lowest hard limit that applies, lifted to a vet's target, cut to the ceiling.

    Raises
    ------
    Refused
        ``over-hard-limit``: nothing limits this course, so nothing is dosed.
    """
    temp = request.readings.get("temp")
    held = [
        Limit(bound.value, bound.source)
        for bound in course.bounds
        if bound.hard and bound.unit == course.unit and applies(bound, temp, request.now_utc)
    ]
    limit = min(held, key=lambda found: found.value, default=None)
    limit = _lifted(request, limit)
    top = ceiling(
        request.treatment.id, course.unit, course.duration_max_h, request.stages or course.stages
    )
    if top is not None and (limit is None or compare(limit.value, top.value) > 0):
        limit = Limit(top.value, top.source)
    if limit is None:
        raise Refused(
            "over-hard-limit",
            f"{request.treatment.title}, {course.name}, has no hard limit, and nothing is dosed "
            "without one",
            source=f"protocol {request.treatment.id} {request.treatment.version}",
            way_out="give the protocol a hard limit with its source, or record a vet's target",
        )
    return limit


def _lifted(request: DoseRequest, limit: Limit | None) -> Limit | None:
    direction = request.direction
    if direction is None or not directed(request) or direction.target is None:
        return limit
    if limit is not None and compare(direction.target, limit.value) <= 0:
        return limit
    return Limit(direction.target, Source(f"direction of {direction.vet}", "published"))
