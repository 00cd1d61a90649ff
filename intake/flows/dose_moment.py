"""The hour of a dose to come: nothing timed ends, and nothing is asked for, in the quiet hours."""

from __future__ import annotations

from datetime import datetime, timedelta

from intake.flows.desk import Book
from intake.flows.quiet import USUAL, quiet_hours
from intake.science.dose_time import TIMED_UNDER_H, begun_attended
from intake.science.limits import compare
from intake.science.schedule import after_quiet
from intake.science.treatment import Course


def placed(book: Book, course: Course, at: datetime, soonest: datetime) -> datetime:
    """That time; of what has to be ended at its hour, one at which somebody is up for both.

    Never before `soonest`, when the treatment may be given again: then the first hour after the
    next night.
    """
    quiet, zone = quiet_hours(book.facts.settings.get("quiet", "") or USUAL), book.facts.zone
    longest = course.duration_max_h
    if longest is None or compare(longest, TIMED_UNDER_H) >= 0:
        return max(at, soonest)
    lasts_h = float(longest)
    found = begun_attended(at, lasts_h, zone, quiet)
    if found >= soonest or quiet is None:
        return max(found, soonest)
    night = begun_attended(soonest, lasts_h, zone, quiet)
    if night >= soonest:
        return night
    return after_quiet(soonest + timedelta(hours=lasts_h), zone, quiet)
