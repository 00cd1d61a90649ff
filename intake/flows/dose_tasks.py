"""Tasks that follow from doses: the next step or repeat of a course that runs."""

from __future__ import annotations

from datetime import datetime, timedelta

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.dose_ends import ended_at
from intake.flows.facts.things import DoseFact, System
from intake.science.calendar import Task
from intake.science.show import show
from intake.science.treatment import Course, Treatment

LATE_AFTER_H = 6
"""A dose this long after its time is overdue [h] (common practice)."""


def dose_tasks(book: Book, system: System) -> list[Task]:
    """The next dose of every course that runs in this water, at its own time."""
    found = []
    for name in dict.fromkeys(d.treatment for d in system.doses):
        treatment = book.shelf.treatments.get(name)
        doses = [d for d in system.doses if d.treatment == name and d.at <= book.now]
        if treatment is None or not doses:
            continue
        course = treatment.course(doses[-1].course)
        if course is None or ended_at(book, system, doses[-1], course) is not None:
            continue
        task = _next(book, system, treatment, course, doses)
        if task is not None:
            found.append(task)
    return found


def _next(
    book: Book, system: System, treatment: Treatment, course: Course, doses: list[DoseFact]
) -> Task | None:
    own = [d for d in doses if d.course == course.name]
    first, count = own[0], len(own)
    if course.steps:
        if count >= len(course.steps):
            return None
        at = first.at + timedelta(hours=float(course.steps[count].after_h))
        text = f"raise to {show(course.steps[count].target, course.unit)}"
        because = f"step {count + 1} of {len(course.steps)} of the course begun"
    elif course.repeat is not None:
        if course.repeat.times and count >= course.repeat.times:
            return None
        at = own[-1].at + timedelta(hours=float(course.repeat.every_h))
        text = f"dose {count + 1}" + (f" of {course.repeat.times}" if course.repeat.times else "")
        because = f"every {show(course.repeat.every_h, 'h')}, {course.repeat.source.text}; begun"
    else:
        return None
    because += f" {book.facts.local(first.at)}, entry {first.entry}"
    return _task(book, system, treatment, first.entry, count + 1, at, text, because)


def _task(
    book: Book,
    system: System,
    treatment: Treatment,
    start: int,
    number: int,
    at: datetime,
    text: str,
    because: str,
) -> Task:
    zone = book.facts.zone
    day = local_date(at, zone)
    late = book.now > at + timedelta(hours=LATE_AFTER_H)
    due = "due" if day <= local_date(book.now, zone) else "upcoming"
    return Task(
        id=f"{system.name}/{start}/{treatment.id}/{number}",
        day=day,
        from_=day,
        to=day,
        at=f"{at.astimezone(zone):%H:%M}",
        task=f"{treatment.title}: {text}",
        kind="treatment",
        system=system.name,
        state="overdue" if late else due,
        because=because,
        at_utc=at,
        short=f"{treatment.id} {text}",
    )
