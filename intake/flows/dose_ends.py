"""When a dose was over, and how long to wait after it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from intake.flows.desk import Book
from intake.flows.facts.things import DoseFact, System
from intake.flows.residues import level_of
from intake.science.lifecycle import wait_days
from intake.science.problem import Refused
from intake.science.treatment import Course


def ended_at(book: Book, system: System, dose: DoseFact, course: Course | None) -> datetime | None:
    """When a dose was over: stopped, its longest duration past, or washed out by changes."""
    ends = [
        s.at for s in system.stops if s.at >= dose.at and s.treatment in (None, dose.treatment)
    ]
    if course is not None and course.duration_max_h is not None:
        ends.append(dose.at + timedelta(hours=float(course.duration_max_h)))
    if course is not None and course.unit.endswith("/L"):
        ends += _washed_out(book, system, dose, float(course.low) * WASHED_OUT)
    return min(ends, default=None)


WASHED_OUT = 0.1
"""Under this share of a course's lowest level nothing is taken to be left (common practice)."""


def _washed_out(book: Book, system: System, dose: DoseFact, under: float) -> Iterator[datetime]:
    if level_of(book, system, dose.treatment, book.now).high >= under:
        return
    for w in system.water:
        at = w.event.at_utc
        if at > dose.at and level_of(book, system, dose.treatment, at).high < under:
            yield at
            return


def wait_after(book: Book, system: System, dose: DoseFact) -> int:
    """Days to wait after it: one and a half generations of what slides had shown before it."""
    found = {p for s in system.slides if s.at <= dose.at for p, n in s.found if n > 0}
    temps = [r for v in system.vessels if (r := book.facts.vessel(v).readings.get("temp"))]
    lows = [r.low for r in temps if r.low is not None]
    longest = 0
    for parasite in found:
        try:
            longest = max(longest, wait_days(parasite, min(lows, default=COLD_C)))
        except (Refused, KeyError):
            continue
    return longest


COLD_C = 15.0
"""Taken for the water where no temperature was read [C]: colder means a longer wait."""
