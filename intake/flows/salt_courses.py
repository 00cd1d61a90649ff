"""The course of salt that runs in a water."""

from __future__ import annotations

from datetime import datetime

from intake.flows.desk import Book
from intake.flows.facts.things import System
from intake.flows.running import run_of, still_runs

SALT = "salt"


def course_now(book: Book, system: System, when: datetime) -> str | None:
    """The standing course that runs, which more salt then belongs to; None for the first one."""
    doses = [d for d in system.doses if d.treatment == SALT and d.at <= when]
    course = book.shelf.treatments[SALT].course(doses[-1].course) if doses else None
    if course is None or course.route != "prolonged":
        return None
    run = run_of(system, SALT, course, when)
    return course.name if still_runs(system, run, course, when) else None
