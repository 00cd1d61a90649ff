"""The course a dose is worked out by: the one asked for, with the figures that hold this time."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from itertools import pairwise

from intake.science.amount import bath_added, counted
from intake.science.conditions import Reading, age_h, refuse_stale
from intake.science.course_parts import PerReading, Source
from intake.science.dose import Direction, DoseRequest
from intake.science.figures import figure
from intake.science.limits import allowed
from intake.science.problem import Problem, Refused, Unreadable
from intake.science.treatment import Course, Interval, Repeat

EARLIEST_SHARE = Decimal("0.75")
"""The share of the time a vet said between two doses that has to be over: a daily dose may come
six hours early and be warned of, not sooner. Common practice."""

SLIP_TIMES = Decimal("2.5")
"""Over so many times the most a reading asks for, a target is taken for a slip: less than ten
times the least of any shipped course, and no more than a second helping. Common practice."""
SLIP = Source(
    "two and a half times the most the reading asks for; more is a slip", "common practice"
)


def settled_course(request: DoseRequest) -> Course:
    """The course asked for, or the first, with its figures scaled to what they are for.

    A course whose target comes from a vet has that of the recorded direction, and the time
    between its doses where the vet said it; one whose figures are for each so much of a reading
    has them times that reading. Where the reading is not known and a target was asked for, its
    range is that target.

    Raises
    ------
    Refused
        ``vet-only`` or ``not-advised``: the treatment has no course at all.
    Unreadable
        ``no-such-name``: it has others.
    """
    treatment = request.treatment
    if not treatment.courses:
        raise status_refusal(request)
    course = treatment.course(request.course)
    if course is None:
        names = ", ".join(c.name for c in treatment.courses)
        text = f"{treatment.id} has no course {request.course!r}"
        raise Unreadable(Problem("no-such-name", text, f"it has: {names}"))
    if request.direction is not None and directed(request):
        course = by_vet(course, request.direction)
    return course if course.per is None else _per_reading(request, course, course.per)


def status_refusal(request: DoseRequest) -> Refused:
    """Why a treatment of this status is not given on the keeper's own word."""
    treatment = request.treatment
    source = f"protocol {treatment.id} {treatment.version}"
    if treatment.status == "not advised":
        return Refused(
            "not-advised",
            f"{treatment.title} is not advised for these fish",
            source=source,
            way_out=_undirected(request, "ask a vet and record the direction, or take another"),
        )
    return Refused(
        "vet-only",
        f"{treatment.title} is given on a vet's direction only",
        source=source,
        way_out=_undirected(
            request,
            "record the vet's direction with its target, then dose from that: "
            "intake record direction",
        ),
    )


def _undirected(request: DoseRequest, way_out: str) -> str:
    """The way out, and why a direction that is recorded does not hold here."""
    return f"{way_out}; {request.undirected}" if request.undirected else way_out


def directed(request: DoseRequest) -> bool:
    """Whether a vet's direction for this treatment and course is recorded."""
    direction = request.direction
    if direction is None or direction.treatment != request.treatment.id:
        return False
    course = request.treatment.course(request.course)
    return direction.course is None or (course is not None and direction.course == course.name)


def check_per_reading(request: DoseRequest, course: Course) -> None:
    """Nothing, where the reading the figures are for is known and young enough.

    Raises
    ------
    Refused
        ``reading-missing`` or ``reading-stale``.
    """
    per = course.per
    if per is None or (not per.needed and request.target is not None):
        return
    reading = request.readings.get(per.quantity)
    if reading is None or _end(reading, per) is None:
        raise Refused(
            "reading-missing",
            f"{per.quantity} has to be measured: this course is so much for each "
            f"{figure(per.each)} of it",
            source=per.source.text,
            way_out=f"read {per.quantity}, at most {figure(per.max_age_h)} h before",
        )
    refuse_stale(per.quantity, reading, per.max_age_h, per.source, request.now_utc)


def by_amount(request: DoseRequest, amount: Decimal) -> DoseRequest:
    """The request for what `amount` comes to, where its course may do without its reading."""
    course, water = request.treatment.course(request.course), request.volume
    if course is None or course.per is None or course.per.needed or request.target is not None:
        return request
    if water is None or water.volume_l <= 0:
        return request
    try:
        product = counted(request.treatment, request.strength, request.bottle)
    except Refused:
        return request  # said in its own turn
    return replace(request, target=bath_added(amount, course.unit, water.volume_l, product))


def _end(reading: Reading, per: PerReading) -> Decimal | None:
    return reading.low if per.end == "low" else reading.high


def by_vet(course: Course, direction: Direction) -> Course:
    """A course whose target comes from a vet, with the direction's; any other stays as it is."""
    target = direction.target
    if not course.by_vet or target is None:
        return course
    said = Source(f"direction of {direction.vet}", "published")
    found = replace(course, low=target, usual=target, high=target, sources=(said,))
    every_h = direction.every_h
    if every_h is None:
        return found
    times = 0 if direction.lasts_h is None else max(1, int(direction.lasts_h / every_h))
    return replace(
        found,
        repeat=Repeat(every_h, times, said),
        interval=Interval(every_h * EARLIEST_SHARE, every_h, said),
    )


def _per_reading(request: DoseRequest, course: Course, per: PerReading) -> Course:
    end = _known_end(request.readings.get(per.quantity), per, request.now_utc)
    if end is not None:
        times = end / per.each
        low, usual, high = course.low * times, course.usual * times, course.high * times
        return replace(course, low=low, usual=usual, high=high)
    if request.target is not None and not per.needed:
        target = request.target
        return replace(course, low=target, usual=target, high=target)
    return course


def refuse_slip(request: DoseRequest, course: Course, added: Decimal) -> None:
    """Nothing, where `added` [course unit] is no slip beside what the reading asks for.

    Raises
    ------
    Refused
        ``over-hard-limit``: it is over `SLIP_TIMES` the most that the reading asks for.
    """
    per = course.per
    if per is None or not course.high:
        return
    if _known_end(request.readings.get(per.quantity), per, request.now_utc) is None:
        return
    most = course.high * SLIP_TIMES
    if allowed(added, None, most):
        return
    raise Refused(
        "over-hard-limit",
        f"{figure(added)} {course.unit} is over two and a half times the "
        f"{figure(course.high)} {course.unit} that {per.quantity} asks for",
        limit=float(most),
        value=float(added),
        unit=course.unit,
        source=SLIP.text,
        way_out=f"ask for at most {figure(most)} {course.unit}, or read {per.quantity} again",
    )


def _known_end(reading: Reading | None, per: PerReading, now_utc: datetime) -> Decimal | None:
    if reading is None or not allowed(age_h(reading, now_utc), None, per.max_age_h):
        return None
    return _end(reading, per)


def repeat_hours(course: Course, temp: Reading | None) -> Decimal | None:
    """Hours between doses at this temperature [h]; the course's own where it says no more.

    Between two temperatures of the protocol it is interpolated; outside them, or where the
    temperature is not known, the plain interval of the course holds.
    """
    repeat = course.repeat
    if repeat is None:
        return None
    if temp is None or temp.value is None or not repeat.by_temperature:
        return repeat.every_h
    at = temp.value
    rows = repeat.by_temperature
    for (cold, long_h), (warm, short_h) in pairwise(rows):
        if allowed(at, cold, warm):
            return long_h + (short_h - long_h) * (at - cold) / (warm - cold)
    return repeat.every_h
