"""How long a bath or a timed dose lasts, and whether anybody is there when it has to end."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from intake.science.dose import DoseRequest
from intake.science.figures import time_text
from intake.science.limits import allowed, compare
from intake.science.problem import Refused
from intake.science.schedule import after_quiet, instant
from intake.science.treatment import Course

TIMED_UNDER_H = Decimal(24)
"""A course that ends sooner has to be ended by hand at its hour [h]. Common practice."""


def lasts_h(request: DoseRequest, course: Course) -> Decimal | None:
    """How long the fish are in it at most [h]; None where no hour ends it."""
    if request.lasts_h is not None:
        return request.lasts_h
    longest = course.duration_max_h
    timed = longest is not None and compare(longest, TIMED_UNDER_H) < 0
    return longest if timed else None


def ends_utc(request: DoseRequest, course: Course) -> datetime | None:
    """When it has to end; None where no hour ends it."""
    hours = lasts_h(request, course)
    return None if hours is None else request.now_utc + timedelta(hours=float(hours))


def begun_attended(
    at_utc: datetime, lasts_h: float, zone: ZoneInfo, quiet: tuple[time, time] | None
) -> datetime:
    """The same time, or one that day at which it neither begins nor ends in the quiet hours.

    What would end in them is begun earlier, so that it ends as they begin; what would begin in
    the morning ones is begun as they end. `lasts_h` [h] is 0 where no hour ends it.
    """
    begins = after_quiet(at_utc, zone, quiet)
    ends = begins + timedelta(hours=lasts_h)
    same_day = begins.astimezone(zone).date() == at_utc.astimezone(zone).date()
    if quiet is None or (same_day and after_quiet(ends, zone, quiet) == ends):
        return begins
    day = at_utc.astimezone(zone).date()
    evening = instant(day, quiet[0], zone)
    return evening - timedelta(hours=lasts_h)


def check_lasts(request: DoseRequest, course: Course) -> None:
    """Nothing, where a bath is no longer than its course allows."""
    longest = course.duration_max_h
    if request.lasts_h is None or longest is None or allowed(request.lasts_h, None, longest):
        return
    source = course.duration_source
    raise Refused(
        "over-hard-limit",
        f"{time_text(request.lasts_h)} is longer than {course.name} may last, "
        f"{time_text(longest)} at most",
        limit=float(longest),
        value=float(request.lasts_h),
        unit="h",
        source="" if source is None else source.text,
        way_out=f"lift the fish after {time_text(longest)} at the latest",
    )


def check_attended(request: DoseRequest, course: Course) -> None:
    """Nothing, where it does not end in the hours of the night in which nobody is up."""
    end = ends_utc(request, course)
    if end is None or request.quiet is None or request.zone is None:
        return
    if after_quiet(end, request.zone, request.quiet) == end:
        return
    first, last = request.quiet
    raise Refused(
        "out-of-condition",
        f"{course.name} would have to be ended at {end.astimezone(request.zone):%H:%M}, in the "
        f"quiet hours of this room, {first:%H:%M} to {last:%H:%M}: nothing timed ends unattended",
        way_out=f"begin it so that it ends before {first:%H:%M}, or another day; "
        "intake room set --quiet changes the hours",
    )
