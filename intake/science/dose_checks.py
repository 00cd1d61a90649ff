"""What may stop a dose, in the order it is said, and the hard limit that holds for it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from intake.science.amount import FEED_UNIT, counted
from intake.science.ceilings import ceiling
from intake.science.conditions import Reading, age_h, broken_conditions, judge_conditions
from intake.science.course_parts import Source
from intake.science.course_settled import check_per_reading, directed, status_refusal
from intake.science.dose import DoseRequest
from intake.science.dose_time import check_attended, check_lasts
from intake.science.figures import figure, time_text
from intake.science.limits import allowed, compare
from intake.science.mixing import Clash, clashes, judge_mixing
from intake.science.mixing import refusal as mixing_refusal
from intake.science.problem import Refused
from intake.science.treatment import Bound, Course, Sensitive

CHOOSING_MAX_AGE_H = Decimal(24)
"""An older reading does not choose between limits [h]; the careful one is taken. Common
practice."""
LEAST_VOLUME_L = Decimal("0.01")
"""Less water than this is taken as not known [L]. Common practice."""


@dataclass(frozen=True, slots=True)
class Limit:
    """The hard limit of one dose in the course's unit, and who set it."""

    value: Decimal
    source: Source


def check_status(request: DoseRequest, _course: Course) -> None:
    if request.treatment.status in ("not advised", "vet only") and not directed(request):
        raise status_refusal(request)


def check_stage(request: DoseRequest, course: Course) -> None:
    """Nothing, where everything alive in this water stands the course."""
    for stage in request.stages:
        if not course.stages:
            raise Refused(
                "life-stage",
                f"{stage} are in the water this reaches; it is for empty vessels and tools only",
                source="" if course.stage_source is None else course.stage_source.text,
                way_out="clean it where nothing lives, rinse it, and let it dry",
            )
        if stage not in course.stages:
            raise Refused(
                "life-stage",
                f"{stage} are in the water this dose reaches; the course is for "
                + ", ".join(course.stages),
                source="" if course.stage_source is None else course.stage_source.text,
                way_out=f"move the {stage} to water of their own first, or take another course",
            )


def check_kinds(request: DoseRequest, _course: Course) -> None:
    """Nothing, where no kind of animal lives there that the protocol names as not standing it."""
    for part in sensitive_here(request):
        if part.hard:
            raise Refused(
                "life-stage",
                f"{part.text} ({', '.join(part.kinds)})",
                source=part.source.text,
                way_out="move them to water of their own first, or take another treatment",
            )


def sensitive_here(request: DoseRequest) -> tuple[Sensitive, ...]:
    """What the protocol says of the kinds that live in this water, by words in their variety."""
    kinds = [kind.lower() for kind in request.kinds]
    return tuple(
        part
        for part in request.treatment.sensitive
        if any(word.lower() in kind for word in part.kinds for kind in kinds)
    )


def check_water(request: DoseRequest, course: Course) -> None:
    """Nothing, where the water (or the mass of fish) that is dosed is known."""
    if course.rate is not None:
        raise Refused(
            "wrong-route",
            f"{request.treatment.title} is set at the heater; nothing goes into the water",
            way_out="intake dose heat --vessel NAME says the days; intake record equipment NAME "
            "--heater records each",
        )
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
    check_per_reading(request, course)
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
    check_kinds,
    check_water,
    check_strength,
    check_readings,
    check_mixing,
    check_interval,
    check_lasts,
    check_attended,
)
"""The order refusals are said in; over-hard-limit and cannot-measure come after them."""


def refusals(request: DoseRequest, course: Course) -> tuple[Refused, ...]:
    """Everything but the concentration that would have stopped it, for what was given anyway."""
    found: list[Refused] = []
    for check in IN_ORDER:
        if check is check_attended:
            continue  # it broke nothing by being there at night
        if check is check_readings:
            found += _without_reading(request, course)
            found += broken_conditions(course.conditions, request.readings, request.now_utc)
        elif check is check_mixing:
            found += [mixing_refusal(clash) for clash in met(request) if clash.pair.hard]
        else:
            try:
                check(request, course)
            except Refused as refusal:
                found.append(refusal)
    return tuple(found)


def _without_reading(request: DoseRequest, course: Course) -> list[Refused]:
    if course.per is None or not course.per.needed:
        return []
    try:
        check_per_reading(request, course)
    except Refused as refusal:
        return [refusal]
    return []


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


def applies(bound: Bound, request: DoseRequest) -> bool:
    """Whether a bound holds in this water; it does where its reading is not known."""
    if bound.untried and request.tried:
        return False
    if bound.above is None and bound.below is None:
        return True
    reading = request.readings.get(bound.quantity)
    if not known_today(reading, request.now_utc) or reading is None:
        return True
    over = bound.above is None or not _ends(reading.high, None, bound.above)
    under = bound.below is None or not _ends(reading.low, bound.below, None)
    return over and under


def _ends(end: Decimal | None, low: Decimal | None, high: Decimal | None) -> bool:
    return end is not None and allowed(end, low, high)


def known_today(reading: Reading | None, now_utc: datetime) -> bool:
    """Whether a reading is young enough to choose between limits."""
    return reading is not None and allowed(age_h(reading, now_utc), None, CHOOSING_MAX_AGE_H)


def hard_limit(request: DoseRequest, course: Course) -> Limit:
    """The lowest hard limit that applies, lifted to a vet's target, cut to the ceiling.

    Raises
    ------
    Refused
        ``over-hard-limit``: nothing limits this course, so nothing is dosed.
    """
    held = [
        Limit(bound.value, bound.source)
        for bound in course.bounds
        if bound.hard and bound.unit == course.unit and applies(bound, request)
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
