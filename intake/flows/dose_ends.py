"""When a dose was over, and how long to wait after it."""

from __future__ import annotations

from datetime import datetime, timedelta

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.facts.happened import DoseFact
from intake.flows.facts.things import System
from intake.flows.parasite_runs import named_best
from intake.flows.residues import level_of
from intake.flows.water_days import water_days
from intake.science.development import wait_to
from intake.science.treatment import Course
from intake.science.water_days import steady


def ended_at(book: Book, system: System, dose: DoseFact, course: Course | None) -> datetime | None:
    """When a dose was over: stopped, its longest duration past, or washed out by changes."""
    ends = [
        s.at for s in system.stops if s.at >= dose.at and s.treatment in (None, dose.treatment)
    ]
    if course is not None and course.duration_max_h is not None:
        ends.append(dose.at + timedelta(hours=float(course.duration_max_h)))
    gone = None if course is None else washed_out_at(book, system, dose, course)
    if gone is not None:
        ends.append(gone)
    return min(ends, default=None)


WASHED_OUT = 0.1
"""Under this share of a course's lowest level nothing is taken to be left (common practice)."""


def washed_out_at(book: Book, system: System, dose: DoseFact, course: Course) -> datetime | None:
    """The change after which next to nothing of a dose was left, None while there is."""
    under = float(course.low) * WASHED_OUT
    if not course.unit.endswith("/L"):
        return None
    if level_of(book, system, dose.treatment, book.now).high >= under:
        return None
    for w in system.water:
        at = w.event.at_utc
        if at > dose.at and level_of(book, system, dose.treatment, at).high < under:
            return at
    return None


def wait_after(book: Book, system: System, at: datetime, ended: datetime | None = None) -> int:
    """Days to wait after a treatment of `at`: one and a half generations of what it was against.

    That is what slides had shown by then, and what doses by then were given for. The days count
    from when it `ended`, for one still in the water from now, by the lows of this water since;
    where none was read it is taken for `COLD_C`.
    """
    names = {p for s in system.slides if s.at <= at for p, n in s.found if n > 0}
    names |= {d.reason for d in system.doses if d.at <= at and d.reason}
    found = {p.id: p for n in names if (p := named_best(book.shelf.parasites, n)) is not None}
    if not found:
        return 0
    day = local_date(ended or book.now, book.facts.zone)
    water = water_days(book, system, day)
    if water.ahead is None:
        water = steady(day, COLD_C, COLD_C)
    return max((wait_to(p, day, water) - day).days for p in found.values())


COLD_C = 15.0
"""Taken for the water where no temperature was read [C]: colder means a longer wait."""
