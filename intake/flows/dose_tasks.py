"""Tasks that follow from doses: the next step or repeat of a course that runs."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal

from intake.clock import local_date
from intake.flows.clock_change import over_change
from intake.flows.desk import Book
from intake.flows.directions import as_directed, is_of, of_drug
from intake.flows.dose_ends import washed_out_at
from intake.flows.dose_moment import placed
from intake.flows.dosed_water import readings_of
from intake.flows.facts.happened import DoseFact
from intake.flows.facts.things import System
from intake.flows.parasite_tasks import followed, next_dose, protocol_time
from intake.flows.running import run_of
from intake.science.calendar import Task
from intake.science.course_settled import repeat_hours
from intake.science.dose_setting import STEP_REACHED
from intake.science.limits import allowed
from intake.science.show import show
from intake.science.treatment import Course, Treatment

LATE_AFTER_H = 6
"""A dose this long after its time is overdue [h] (common practice)."""


def dose_tasks(book: Book, system: System) -> list[Task]:
    """The next dose of every course that runs in this water, at its own time."""
    found = []
    by_life = {(f.run.treatment.id, f.run.drug): f for f in followed(book, system)}
    for name, drug in dict.fromkeys((d.treatment, d.drug) for d in system.doses):
        treatment = book.shelf.treatments.get(name)
        doses = [d for d in system.doses if is_of(d, name, drug) and d.at <= book.now]
        course = treatment.course(doses[-1].course) if treatment and doses else None
        if treatment is None or course is None:
            continue
        course = as_directed(book, doses[-1], course)
        treatment = replace(treatment, title=drug or treatment.title)
        run = run_of(of_drug(system, treatment, drug), name, course, book.now)
        if _over(book, system, run[-1], course):
            continue
        life = by_life.get((name, drug))
        if life is not None and not course.steps:
            task = next_dose(book, system, life)
            if task is None and life.refused is not None:
                task = _next(book, system, treatment, course, run)
                task = None if task is None else protocol_time(task, life)
        else:
            task = _next(book, system, treatment, course, run)
        if task is not None:
            found.append(task)
    return found


def _over(book: Book, system: System, last: DoseFact, course: Course) -> bool:
    """Whether the course was stopped, or what is raised in steps was washed out.

    A dose that is gone does not end a course of several: the next is for what hatched since.
    """
    if any(s.at >= last.at and s.treatment in (None, last.treatment) for s in system.stops):
        return True
    return bool(course.steps) and washed_out_at(book, system, last, course) is not None


def _next(
    book: Book, system: System, treatment: Treatment, course: Course, run: list[DoseFact]
) -> Task | None:
    first, count = run[0], len(run)
    if course.steps:
        number = _steps_reached(course, run)
        if number >= len(course.steps) or course.steps[number].target > _goal(course, run):
            return None
        count = number
        at = first.at + timedelta(hours=float(course.steps[number].after_h))
        text = f"raise to {show(course.steps[number].target, course.unit)}"
        because = f"step {number + 1} of {len(course.steps)} of the course begun"
    elif course.repeat is not None:
        if course.repeat.times and count >= course.repeat.times:
            return None
        every_h = repeat_hours(course, readings_of(book, system).get("temp"))
        assert every_h is not None
        at = _attended(book, course, run[-1].at, run[-1].at + timedelta(hours=float(every_h)))
        text = f"dose {count + 1}" + (f" of {course.repeat.times}" if course.repeat.times else "")
        because = f"every {show(every_h, 'h')}, {course.repeat.source.text}; begun"
    else:
        return None
    because += f" {book.facts.local(first.at)}, entry {first.entry}"
    because += over_change(book, first.at if course.steps else run[-1].at, at)
    return _task(book, system, treatment, first.entry, count + 1, at, text, because)


def _attended(book: Book, course: Course, last: datetime, at: datetime) -> datetime:
    """The time of a dose, moved where it would have to be ended at an hour of the night."""
    least = course.interval.not_before_h if course.interval else None
    return placed(book, course, at, last + timedelta(hours=float(least or 0)))


def _highest(run: list[DoseFact]) -> Decimal:
    return max(Decimal(repr(d.target or 0.0)) for d in run)


def _steps_reached(course: Course, run: list[DoseFact]) -> int:
    """How many steps the run has reached: what only puts back after a change is no step."""
    before, reached = Decimal(0), 0
    for step in course.steps:
        near = step.target - STEP_REACHED * (step.target - before)
        if not allowed(near, None, _highest(run)):
            break
        before, reached = step.target, reached + 1
    return reached


def _goal(course: Course, run: list[DoseFact]) -> Decimal:
    """The course's usual target; its highest, once a dose went over the usual one."""
    return course.usual if allowed(_highest(run), None, course.usual) else course.high


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
