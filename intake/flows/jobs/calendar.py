"""Calendar: every quarantine that runs as a strip of days, and why each date is what it is."""

from __future__ import annotations

from datetime import date, timedelta

from intake.clock import local_date
from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.things import System
from intake.flows.jobs.calendar_days import days_of
from intake.flows.jobs.calendar_words import (
    readable,
    release_why,
    said,
    short_words,
    shown_evidence,
    started,
    task_words,
    why_of,
)
from intake.flows.jobs.proposals import proposals_of
from intake.flows.jobs.today import KINDS, SKIP_REASONS, heads
from intake.flows.jobs.words import day_text
from intake.flows.quarantine_facts import facts_of
from intake.flows.quarantines import in_quarantine, tasks_of
from intake.flows.views.calendar import CalendarView, DayTask, SystemStrip
from intake.science.calendar import Task
from intake.science.check_state import CheckState
from intake.science.checks import Checks, checks
from intake.science.chills import chills
from intake.science.counters import Counters, counters
from intake.science.quarantine import QuarantineFacts

BEHIND_DAYS = 14
"""Days of the past shown before the first day 0 [d]."""
AHEAD_DAYS = 14
"""Days shown after the last earliest release [d]."""
NONE_RUNS = "no quarantine runs; one begins with: intake record quarantine SYSTEM"


def view(desk: Desk) -> CalendarView:
    """All quarantines that run, each with its days, tasks and release checks."""
    with at_work(desk) as book:
        today = local_date(book.now, book.facts.zone)
        known = [(s, facts_of(book, s)) for s in in_quarantine(book)]
        begun = [started(facts, counters(facts, book.now)) for _, facts in known]
        judged = [checks(facts, book.now) for _, facts in known]
        ends = [c.earliest_release for c in judged if c.earliest_release is not None]
        first = min([today, *begun]) - timedelta(BEHIND_DAYS)
        last = max([today, *ends]) + timedelta(AHEAD_DAYS)
        strips = tuple(
            _strip(book, system, facts, found, first, last)
            for (system, facts), found in zip(known, judged, strict=True)
        )
    told = _headline(strips, today), _because(strips)
    return CalendarView(today, first, last, strips, *told, SKIP_REASONS)


def _strip(
    book: Book, system: System, facts: QuarantineFacts, found: Checks, first: date, last: date
) -> SystemStrip:
    count = counters(facts, book.now)
    chilled = chills(facts, book.now)
    asked = [t for t in tasks_of(book, system, last) if t.day >= first]
    animals = book.facts.occupants(system.vessels)
    fish = heads(animals)
    return SystemStrip(
        system=system.name,
        occupants=fish,
        started=started(facts, count),
        days=days_of(facts, count, asked, found.earliest_release, (first, last), chilled),
        said=said(facts, count, found),
        earliest_release=found.earliest_release,
        decided_by=found.decided_by,
        release_why=release_why(facts, count, found),
        tasks=tuple(_task(facts, count, t, fish) for t in asked if animals or t.kind != "look"),
        checks=tuple((c.check, c.state, shown_evidence(c, count.today)) for c in found.checks),
        proposals=proposals_of(book, system),
        counted_from=count.served_from,
    )


def _evidence(check: CheckState, today: date) -> str:
    """What is on record for a check, and what an open one asks for next."""
    to_do = f"; next: {check.to_do}" if check.to_do and check.state == "open" else ""
    return readable(f"{check.evidence}{to_do}", today)


def _task(facts: QuarantineFacts, count: Counters, task: Task, fish: str) -> DayTask:
    words = f"{short_words(task)}, {task.evidence}" if task.evidence else task_words(task, fish)
    return DayTask(
        id=task.id,
        day=task.day,
        text=f"{task.at} {words}" if task.at else words,
        kind=KINDS.get(task.kind, "other"),
        state=task.state,
        was=task.was,
        because=readable(task.because, count.today),
        why=why_of(facts, count, task),
        short=f"{task.at} {short_words(task)}".strip(),
    )


def _headline(strips: tuple[SystemStrip, ...], today: date) -> str:
    dated = [(s.earliest_release, s.system) for s in strips if s.earliest_release is not None]
    if not dated:
        return "no release date yet" if strips else ""
    when, name = min(dated)
    year = "" if when.year == today.year else f" {when.year}"
    return f"earliest release {name}, {day_text(when)}{year}"


def _because(strips: tuple[SystemStrip, ...]) -> str:
    if not strips:
        return NONE_RUNS
    dated = [s for s in strips if s.earliest_release is not None]
    if not dated:
        return "days are counted from the day the last fish goes in; nothing is in yet."
    first = min(dated, key=lambda s: (s.earliest_release or date.max, s.system))
    return f"{first.system}: {first.release_why[0]}"
