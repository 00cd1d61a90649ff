"""How often a course may be given and how long one dose of it stays, against a parasite."""

from __future__ import annotations

from decimal import Decimal
from math import floor, log2

from intake.science.limits import allowed
from intake.science.parasite import Parasite
from intake.science.parasite_windows import Pace
from intake.science.treatment import Course, Treatment

STANDS_ON_D = 1000
"""Days a dose stays where no length is set and nothing takes it out by itself [d]."""
NOT_REACHED = ("useless", "not ")
"""Words by which a part of a sentence says that something is not what it is given against."""


def pace_of(treatment: Treatment, course: Course) -> Pace:
    """How often a course may be given, and for how many whole days a dose covers the water.

    A course of a single dose is not begun again before the time its file sets between two.
    """
    least_h = Decimal(0)
    if course.interval is not None and course.interval.not_before_h is not None:
        least_h = course.interval.not_before_h
    if course.repeat is not None and course.repeat.times == 1:
        least_h = max(least_h, course.repeat.every_h)
    return Pace(treatment.title, float(least_h) / 24, stands_d(treatment, course))


def stands_d(treatment: Treatment, course: Course) -> int:
    """Whole days one usual dose stays in the water over its low end, at least [d].

    None but a prolonged course stays. What goes by itself is counted at the fast end of its
    half-life, down to the low end of its range; the rest as long as its course lasts.
    """
    if course.route != "prolonged":
        return 0
    longest_h = course.duration_max_h
    stands = STANDS_ON_D * 24.0 if longest_h is None else float(longest_h)
    half_h = treatment.half_life_low_h
    if half_h is not None and allowed(course.low, Decimal(0), None) and course.low > 0:
        stands = min(stands, float(half_h) * log2(float(course.usual / course.low)))
    return floor(stands / 24)


def against(course: Course, parasite: Parasite) -> bool:
    """Whether a course's file names a parasite among what it is given against."""
    parts = [p for line in course.against for p in line.lower().replace(";", ",").split(",")]
    return any(
        parasite.named_in(part) for part in parts if not any(w in part for w in NOT_REACHED)
    )


def course_against(treatment: Treatment, parasite: Parasite) -> Course | None:
    """The first course given against a parasite; else the first one of all."""
    named = (c for c in treatment.courses if against(c, parasite))
    return next(named, treatment.course(None))
