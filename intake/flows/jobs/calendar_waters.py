"""Every water with dates ahead of it: a quarantine that runs, or a course in its water."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from intake.clock import local_date, read_date
from intake.flows.desk import Book
from intake.flows.doses import system_named
from intake.flows.facts.things import System
from intake.flows.jobs.calendar_days import days_of, mark_of
from intake.flows.jobs.calendar_words import started
from intake.flows.jobs.today import heads
from intake.flows.quarantine_facts import facts_of
from intake.flows.quarantines import tasks_of, with_tasks
from intake.flows.views.calendar import DayMark
from intake.science.calendar import AHEAD_DAYS, Task
from intake.science.checks import Checks, checks
from intake.science.counters import Counters, counters
from intake.science.problem import Problem, Unreadable
from intake.science.quarantine import QuarantineFacts


@dataclass(frozen=True, slots=True)
class Running:
    """A quarantine that runs: what is known of it, how far it is, its release checks."""

    facts: QuarantineFacts
    count: Counters
    found: Checks


@dataclass(frozen=True, slots=True)
class WaterDays:
    """One water, its tasks in order of date, and its quarantine where one runs."""

    system: System
    occupants: str
    tasks: tuple[Task, ...]
    running: Running | None
    started: date
    marks: tuple[DayMark, ...]

    @property
    def release(self) -> date | None:
        """The earliest release, None where none is known or no quarantine runs."""
        return self.running.found.earliest_release if self.running else None


@dataclass(frozen=True, slots=True)
class CalendarDays:
    """The calendar of a room from `first` to `last`."""

    today: date
    first: date
    last: date
    waters: tuple[WaterDays, ...]


def calendar_days(book: Book, only: str | None = None, to: str | None = None) -> CalendarDays:
    """The calendar of every water, or of one, to a day or two weeks past the last release.

    Raises
    ------
    Unreadable
        no-such-name, no-such-time, out-of-range for a last day before today.
    """
    today = local_date(book.now, book.facts.zone)
    systems = [system_named(book, only, "--system")] if only else with_tasks(book)
    until = _until(book, today, to)
    runs = {s.id: _running(book, s) for s in systems if s.quarantine is not None}
    if until is None:
        ends = [r.found.earliest_release for r in runs.values()]
        until = max([today, *(e for e in ends if e is not None)]) + timedelta(AHEAD_DAYS)
    waters = tuple(_water(book, s, runs.get(s.id), today, until) for s in systems)
    return CalendarDays(today, min([today, *(w.started for w in waters)]), until, waters)


def _until(book: Book, today: date, to: str | None) -> date | None:
    if to is None:
        return None
    found = read_date(to, now=book.now)
    if not isinstance(found, Problem) and found < today:
        found = Problem("out-of-range", f"{to} is before today, {today}", "today or later")
    if isinstance(found, Problem):
        raise Unreadable(found.placed("--to"))
    return found


def _running(book: Book, system: System) -> Running:
    facts = facts_of(book, system)
    return Running(facts, counters(facts, book.now), checks(facts, book.now))


def _water(
    book: Book, system: System, running: Running | None, today: date, until: date
) -> WaterDays:
    asked = [t for t in tasks_of(book, system, until) if t.day <= until]
    occupants = heads(book.facts.occupants(system.vessels))
    if running is None:
        begun = min([today, *(t.day for t in asked)])
        marks = _marks(asked, begun, until)
    else:
        begun = started(running.facts, running.count)
        first = min([begun, *(t.day for t in asked)])
        release = running.found.earliest_release
        marks = days_of(running.facts, running.count, asked, release, (first, until))
    return WaterDays(system, occupants, tuple(asked), running, begun, marks)


def _marks(asked: list[Task], first: date, last: date) -> tuple[DayMark, ...]:
    days = (first + timedelta(n) for n in range((last - first).days + 1))
    here = {day: [t for t in asked if t.day == day] for day in days}
    return tuple(
        DayMark(day, mark_of(tasks, looked=False, slid=False))
        for day, tasks in here.items()
        if tasks
    )
