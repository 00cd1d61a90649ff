"""What the card of a tub says of doses: the courses that run, and what must not meet them."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from intake.flows.desk import Book
from intake.flows.dose_asking import Asking
from intake.flows.dose_ends import ended_at
from intake.flows.dose_tasks import dose_tasks
from intake.flows.dosed_water import recent_of
from intake.flows.doses import request_for, with_tool
from intake.flows.facts.things import System, Vessel
from intake.flows.redose import missing
from intake.flows.residues import substances
from intake.flows.running import run_of
from intake.report.tub_card import CourseLine
from intake.science.calendar import Task
from intake.science.problem import Refused, Unreadable
from intake.science.show import show
from intake.science.treatment import Course, NeverMix, Treatment


def courses_of(book: Book, system: System, vessel: Vessel) -> tuple[CourseLine, ...]:
    """Every course that is not over: its next dose, or that it asks for none."""
    due = {t.id.split("/")[-2]: t for t in dose_tasks(book, system)}
    found = []
    for name in dict.fromkeys(d.treatment for d in system.doses if d.at <= book.now):
        treatment = book.shelf.treatments.get(name)
        last = next(d for d in reversed(system.doses) if d.treatment == name and d.at <= book.now)
        course = treatment.course(last.course) if treatment else None
        end = ended_at(book, system, last, course)
        if treatment is None or course is None:
            continue
        if name in due or end is None or end > book.now:
            found.append(_course(book, system, vessel, treatment, course, due.get(name)))
    return tuple(found)


def _course(
    book: Book,
    system: System,
    vessel: Vessel,
    treatment: Treatment,
    course: Course,
    task: Task | None,
) -> CourseLine:
    run = run_of(system, treatment.id, course, book.now)
    count = f"{len(run)} dose{'s' if len(run) > 1 else ''} so far"
    last = show(run[-1].amount, run[-1].unit)
    line = CourseLine(
        treatment=f"{treatment.title} ({course.name})",
        so_far=f"begun {book.facts.local(run[0].at)}, {count}, the last {last}",
        when="Next",
        amount="nothing",
        unit="",
        why="the course asks for no more",
        stop_signs=course.stop_signs,
    )
    if task is None:
        return _put_back(book, system, treatment, line)
    if task.at_utc is None:
        return replace(line, when="No date", why=f"{task.task}; {task.because}")
    amount, unit, why = _amount(book, vessel, treatment, course, task)
    late = ", overdue" if task.state == "overdue" else ""
    when = f"Next {book.facts.local(task.at_utc)}{late}"
    return replace(line, when=when, amount=amount, unit=unit, why=why)


def _put_back(book: Book, system: System, treatment: Treatment, line: CourseLine) -> CourseLine:
    """What a water change took out and is to be put back; else the line as it is."""
    for gone in missing(book, system):
        if gone.treatment == treatment.id:
            amount, _, unit = gone.amount_text.partition(" ")
            why = gone.refused or "puts back what the last change took out"
            return replace(line, when="Now", amount=amount, unit=unit, why=why)
    return line


def _amount(
    book: Book, vessel: Vessel, treatment: Treatment, course: Course, task: Task
) -> tuple[str, str, str]:
    """What the next dose comes to as the water is foretold for then, in whole steps."""
    at = max(task.at_utc or book.now, book.now)
    typed = {"treatment": treatment.id, "course": course.name, "vessel": vessel.name}
    ask = Asking(typed, at, book.shelf, book)
    step = task.task.rpartition(": ")[2]
    try:
        answer = with_tool(ask, request_for(ask, treatment, course))
    except (Refused, Unreadable) as barred:
        why = barred.text if isinstance(barred, Refused) else str(barred)
        return "", "", f"{step}; not worked out: {why}"
    amount = answer.amount if answer.measured is None else answer.measured
    text = f"{amount.normalize():f}" if answer.measured is not None else show(amount, "", digits=4)
    target = show(answer.target, answer.target_unit)
    goal = step if target in step else f"{step} to {target}"
    said = f"{goal}, if nothing changes before; work it out again then"
    return text, answer.amount_unit, said


def never_mix_of(book: Book, system: System) -> tuple[str, ...]:
    """By what is in the water, or met it or its fish in the days that count: what must not."""
    left = {s.treatment for s in substances(book, system, book.now)}
    last: dict[str, datetime] = {}
    for met in recent_of(book, system, book.facts.occupants(system.vessels), "", book.now):
        last[met.treatment] = max(met.at_utc, last.get(met.treatment, met.at_utc))
    told = []
    for one in dict.fromkeys([*left, *last]):
        never: dict[bool, list[str]] = {True: [], False: []}
        for pair in book.shelf.never_mix:
            gone = book.now - last[one] if one in last else timedelta.max
            if one in left or gone < timedelta(days=float(pair.days)):
                others = [b for a, b in _both(pair) if a == one]
                never[pair.hard] += [title_of(book, other).lower() for other in others]
        parts = [f"never with {', '.join(dict.fromkeys(never[True]))}"] if never[True] else []
        if never[False]:
            parts.append(f"sources disagree on {', '.join(dict.fromkeys(never[False]))}")
        if parts:
            told.append(f"{title_of(book, one)}: {'; '.join(parts)}")
    return tuple(told)


def _both(pair: NeverMix) -> tuple[tuple[str, str], tuple[str, str]]:
    return (pair.first, pair.second), (pair.second, pair.first)


def title_of(book: Book, name: str) -> str:
    """What a treatment is called; a substance without a protocol by its own name."""
    treatment = book.shelf.treatments.get(name)
    return treatment.title if treatment else name
