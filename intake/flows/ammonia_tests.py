"""Daily tests of ammonia while a treatment that slows the filter is repeated."""

from __future__ import annotations

from datetime import date, timedelta

from intake.clock import local_date
from intake.flows.day_tasks import day_task
from intake.flows.desk import Book
from intake.flows.facts.happened import DoseFact
from intake.flows.facts.things import System
from intake.flows.running import run_of
from intake.science.calendar import AHEAD_DAYS, Task
from intake.science.treatment import Treatment

STEP = "ammonia"
"""The step of a task's id that asks for it."""


def ammonia_tasks(book: Book, system: System) -> list[Task]:
    """A test of total ammonia for today and each day after, where the protocol asks for it.

    Days that passed without one are not asked for again: a test tells of today.
    """
    found: list[Task] = []
    for name in dict.fromkeys(d.treatment for d in system.doses):
        treatment = book.shelf.treatments.get(name)
        if treatment is not None and treatment.ammonia_tests is not None:
            found += _of(book, system, treatment)
    return found


def _of(book: Book, system: System, treatment: Treatment) -> list[Task]:
    tests = treatment.ammonia_tests
    doses = [d for d in system.doses if d.treatment == treatment.id and d.at <= book.now]
    course = treatment.course(doses[-1].course) if doses else None
    if tests is None or course is None:
        return []
    run = run_of(system, treatment.id, course, book.now)
    if len(run) < tests.from_dose:
        return []
    began = run[tests.from_dose - 1]
    today, first = local_date(book.now, book.facts.zone), local_date(began.at, book.facts.zone)
    over = run[-1].at + timedelta(hours=float(tests.until_after_h))
    last = min(local_date(over, book.facts.zone), today + timedelta(days=AHEAD_DAYS))
    days = [today + timedelta(days=n) for n in range((last - today).days + 1)]
    return [
        _task(book, system, treatment, run[0], (day - first).days + 1, day)
        for day in days
        if not (day == today and _tested(book, system, today))
    ]


def _tested(book: Book, system: System, today: date) -> bool:
    return any(
        r.quantity == "tan" and local_date(r.at, book.facts.zone) == today for r in system.history
    )


def _task(
    book: Book, system: System, treatment: Treatment, first: DoseFact, number: int, day: date
) -> Task:
    tests = treatment.ammonia_tests
    assert tests is not None
    return day_task(
        book,
        system,
        f"{first.entry}/{treatment.id}-{STEP}/{number}",
        day,
        kind="water-test",
        task=f"Test total ammonia in {system.name}",
        short="test ammonia",
        because=f"{treatment.title} is repeated and slows the filter: every day from dose "
        f"{tests.from_dose} on; {tests.source.text}; begun {book.facts.local(first.at)}, "
        f"entry {first.entry}",
    )
