"""Quarantines: the facts of a system handed to the calendar, the checks and the alerts."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from intake.clock import local_date
from intake.flows.ammonia_tests import ammonia_tasks
from intake.flows.desk import Book
from intake.flows.dose_tasks import dose_tasks
from intake.flows.facts.things import Animal, System
from intake.flows.names import unknown
from intake.flows.own_clock import emptied_at
from intake.flows.parasite_tasks import later
from intake.flows.quarantine_facts import facts_of, fish_facts, plan_of
from intake.flows.released_watch import watch_tasks
from intake.flows.salt_steps import reading_tasks
from intake.science.calendar import AHEAD_DAYS, Task, tasks
from intake.science.checks import Checks, checks
from intake.science.counters import counters
from intake.science.escalation import Alert, alerts
from intake.science.problem import Problem
from intake.science.windows import Window, windows


def checks_of(book: Book, system: System, animal: Animal | None = None) -> Checks:
    """The release checks of the system's newest quarantine, or of one fish or group in it."""
    known = facts_of(book, system) if animal is None else fish_facts(book, animal)
    return checks(known, book.now)


def windows_of(book: Book, system: System, animal: Animal | None = None) -> tuple[Window, ...]:
    """At which temperatures the system's newest quarantine, or a fish of it, has been."""
    known = facts_of(book, system) if animal is None else fish_facts(book, animal)
    days = counters(known, book.now).temperatures
    return windows([d.mean_c for d in days], known.plan)


def own_tasks(book: Book, system: System) -> list[Task]:
    """What courses, tests and salt steps ask for, in a quarantine or not."""
    return [
        *dose_tasks(book, system),
        *later(book, system),
        *ammonia_tasks(book, system),
        *reading_tasks(book, system),
        *watch_tasks(book, system),
    ]


def tasks_of(book: Book, system: System, to_date: date | None = None) -> tuple[Task, ...]:
    """The tasks of the system's newest quarantine and of the courses that run in its water."""
    until = to_date or local_date(book.now, book.facts.zone) + timedelta(days=AHEAD_DAYS)
    dosed = [
        t
        for t in own_tasks(book, system)
        if (t.state != "upcoming" or t.day <= until) and t.id not in book.facts.marked
    ]
    planned = tasks(facts_of(book, system), book.now, to_date) if system.quarantines else ()
    if not book.facts.occupants(system.vessels) and system.quarantines:
        # Nobody is in it to be looked at or fed; who left it is watched where it went.
        planned = tuple(t for t in planned if t.state in ("done", "skipped") or t.kind in STAYS)
    return tuple(sorted([*planned, *dosed], key=lambda t: (t.day, t.at)))


STAYS = frozenset({"prepare", "clean", "review", "water-test", "temperature"})
"""Kinds of tasks that are asked for in a water without fish."""


def alerts_of(book: Book, system: System) -> tuple[Alert, ...]:
    """What the record of the system's newest quarantine calls for."""
    return alerts(facts_of(book, system), book.now)


AFTER_DAYS = 21
"""How long a water that was released, or that its last fish left, still asks for what closes it
[d]: the longest watch of the shipped plans and a week (judgement)."""


def with_tasks(book: Book) -> list[System]:
    """The systems whose quarantine or a course runs, or whose quarantine is being closed."""
    return [s for s in book.facts.waters() if _asks(book, s)]


def _asks(book: Book, system: System) -> bool:
    if system.quarantines:
        over = closed_at(book, system)
        if over is None or book.now - over <= timedelta(days=AFTER_DAYS):
            return True
    return bool(own_tasks(book, system))


def closed_at(book: Book, system: System) -> datetime | None:
    """When the newest quarantine was released or its last fish left; None while it runs."""
    running = system.quarantines[-1]
    return running.released or emptied_at(book, system, running)


def in_quarantine(book: Book) -> list[System]:
    """The systems whose quarantine runs, with fish in it or still waiting for them."""
    return [s for s in book.facts.waters() if s.quarantine and closed_at(book, s) is None]


def known_task(book: Book, text: str) -> str | Problem:
    """The task of that id, or a problem with the nearest open ones."""
    far = local_date(book.now, book.facts.zone) + timedelta(days=366)
    ids: list[str] = []
    for system in book.facts.waters():
        if not text.startswith(f"{system.name}/"):
            continue
        if text in {t.id for t in tasks_of(book, system, far)}:
            return text
        if system.quarantines and text.startswith(f"{system.name}/{system.quarantines[-1].id}/"):
            step, _, number = text.split("/", 2)[-1].rpartition("/")
            plan = plan_of(book, system.quarantines[-1])
            if plan.step(step) is not None and number.isdecimal():
                return text
    for system in with_tasks(book):
        ids += [t.id for t in tasks_of(book, system) if t.state in ("due", "overdue")]
    return unknown(text, dict.fromkeys(ids), "a task")
