"""Looks at fish that were released, in the water they joined, for as long as their plan says."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from intake.clock import local_date
from intake.flows.day_tasks import day_task
from intake.flows.desk import Book
from intake.flows.facts.quarantining import Quarantine
from intake.flows.facts.things import Animal, System
from intake.flows.quarantine_facts import plan_of
from intake.science.calendar import AHEAD_DAYS, Task
from intake.science.plan import Step


def watch_tasks(book: Book, system: System) -> list[Task]:
    """A look for today and each day left of the watch, in a water that released fish went into.

    Where they were released the plan itself asks. Days that passed are not asked for again: a
    look tells of today. Many fish of one release are one task.
    """
    if system.quarantine is not None:
        return []
    found: dict[str, Task] = {}
    for animal in book.facts.occupants(system.vessels):
        for task in _of(book, system, animal):
            found.setdefault(task.id, task)
    return list(found.values())


def _of(book: Book, system: System, animal: Animal) -> Iterator[Task]:
    if not animal.releases:
        return
    entry, at, quarantine = animal.releases[-1]
    running = _quarantine(book, quarantine)
    if running is None or running.system == system.id:
        return
    step = next(
        (
            s
            for s in plan_of(book, running).steps
            if s.counted_from == "release" and s.kind == "look"
        ),
        None,
    )
    if step is None:
        return
    today, day_0 = local_date(book.now, book.facts.zone), local_date(at, book.facts.zone)
    first = max(today, day_0 + timedelta(step.from_day))
    last = min(day_0 + timedelta(step.to_day or step.from_day), today + timedelta(AHEAD_DAYS))
    for n in range((last - first).days + 1):
        day = first + timedelta(n)
        if day == today and _all_looked_at(book, system, today):
            continue
        yield _task(book, system, step, entry, day, day_0)


def _quarantine(book: Book, number: int) -> Quarantine | None:
    every = (q for s in book.facts.systems.values() for q in s.quarantines)
    return next((q for q in every if q.id == number), None)


def _all_looked_at(book: Book, system: System, today: date) -> bool:
    """Whether every fish there was looked at today: those that joined and those they joined."""
    here = book.facts.occupants(system.vessels)
    looks = [a.last_look for a in here]
    return all(x is not None and local_date(x.at, book.facts.zone) == today for x in looks)


def _task(book: Book, system: System, step: Step, entry: int, day: date, day_0: date) -> Task:
    number = (day - day_0).days
    return day_task(
        book,
        system,
        f"{entry}/{step.id}/{number}",
        day,
        kind=step.kind,
        task=step.task,
        short=step.short,
        because=f"day {number} of {step.to_day or step.from_day} after the release, "
        f"entry {entry}; {step.because or step.source.text}",
    )
