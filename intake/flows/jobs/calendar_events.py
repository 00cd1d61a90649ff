"""The events of the calendar: tasks, the earliest release, and what has a fixed moment."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, time, timedelta

from intake.clock import local_date
from intake.flows.asking import claims
from intake.flows.desk import Book
from intake.flows.facts.things import Shipment
from intake.flows.jobs.calendar_waters import CalendarDays, Running, WaterDays
from intake.flows.jobs.calendar_words import readable, release_why, task_words, why_of
from intake.flows.jobs.words import day_text
from intake.flows.notes import Notes
from intake.flows.quiet import USUAL, quiet_hours
from intake.report.calendar_events import CalendarEvent, EventList, sequence_of
from intake.science.calendar import Task
from intake.science.schedule import after_quiet, instant

NAME = "Fish room"
LEAD_MIN = 15
"""How long before a task at a time of day somebody is reminded [min] (common practice)."""
SETTLE_LEAD_H = 24
"""How long before a proposed restart stands somebody is reminded [h] (common practice)."""
MORNING = time(9)
"""When somebody is reminded of a task of the day (common practice)."""
CAUTION = (
    "The product label and your vet come first and win where they differ. No amount stands here: "
    "it is worked out on the day, from the water as it is then."
)
PREFIX = {"done": "Done: ", "skipped": "Skipped: ", "overdue": "Late: "}
OPEN = ("due", "overdue", "upcoming")


def event_list(book: Book, days: CalendarDays, notes: Notes) -> EventList:
    """Every event of these days, as the journal stands now."""
    from intake.store import journal

    number, _ = journal.head(book.connection)
    newest = journal.row(book.connection, number)
    assert newest is not None
    quiet = _quiet(book, notes)
    found = [e for w in days.waters for e in _of_water(book, w, days.today, quiet)]
    found += _claims(book, days.today, quiet)
    foot = _foot(book, number)
    return EventList(
        room=journal.link(book.connection, 1)[1],
        time_zone=book.facts.time_zone,
        now_utc=book.now,
        today=days.today,
        sequence=sequence_of(number, newest.entered, book.now),
        name=NAME,
        events=tuple(_ended(e, foot) for e in found),
    )


def _ended(event: CalendarEvent, foot: str) -> CalendarEvent:
    return replace(event, lines=(*event.lines, foot))


def _foot(book: Book, number: int) -> str:
    return (
        f"As the journal stood at entry {number}, {book.facts.local(book.now)}. Dates move with "
        "the temperature and with what happens: write this file again and read it in again."
    )


Quiet = tuple[time, time] | None


def _quiet(book: Book, notes: Notes) -> Quiet:
    text = book.facts.settings.get("quiet", "")
    if not text:
        notes.assume(
            f"no alarm in the quiet hours {USUAL}, none are set: intake room set --quiet {USUAL}"
        )
    return quiet_hours(text or USUAL)


def _of_water(book: Book, water: WaterDays, today: date, quiet: Quiet) -> Iterator[CalendarEvent]:
    for task in water.tasks:
        yield _task(book, water, task, today, quiet)
    if water.running is not None:
        yield from _release(book, water, water.running, quiet)
        yield from _counted_from(water, water.running)
        yield from _to_settle(book, water, water.running, quiet)


def _task(book: Book, water: WaterDays, task: Task, today: date, quiet: Quiet) -> CalendarEvent:
    words = task_words(task, water.occupants)
    return CalendarEvent(
        key=f"{water.system.id}/{task.id.removeprefix(f'{task.system}/')}",
        kind=task.kind,
        state=task.state,
        summary=f"{PREFIX.get(task.state, '')}{water.system.name}: {words}",
        lines=tuple(_task_lines(water, task, words, today)),
        day=task.from_,
        last=max(task.from_, task.to),
        at_utc=task.at_utc,
        alarms=tuple(_alarms(book, task, quiet)),
    )


def _task_lines(water: WaterDays, task: Task, words: str, today: date) -> Iterator[str]:
    if task.kind == "treatment":
        yield CAUTION
    if task.task != words:
        yield task.task
    if task.to > task.from_:
        yield f"On any day from {day_text(task.from_)} to {day_text(task.to)}."
    if task.was is not None:
        yield f"Was {day_text(task.was)}."
    if task.entry is not None:
        yield f"Entry {task.entry}."
    yield f"Because: {readable(task.because, today)}"
    if water.running is not None and task.was is not None:
        yield from why_of(water.running.facts, water.running.count, task)


def _alarms(book: Book, task: Task, quiet: Quiet) -> Iterator[datetime]:
    """When somebody is reminded, never in the quiet hours: those move it to their end."""
    zone = book.facts.zone
    if task.state not in OPEN:
        return
    if task.at_utc is not None:
        yield after_quiet(task.at_utc - timedelta(minutes=LEAD_MIN), zone, quiet)
        return
    for day in dict.fromkeys((task.from_, max(task.from_, task.to))):
        yield after_quiet(instant(day, MORNING, zone), zone, quiet)


def _release(
    book: Book, water: WaterDays, running: Running, quiet: Quiet
) -> Iterator[CalendarEvent]:
    found, count = running.found, running.count
    day = found.earliest_release
    if day is None:
        return
    checks = [f"{c.check}: {c.state}. {readable(c.evidence, count.today)}" for c in found.checks]
    zone = book.facts.zone
    yield CalendarEvent(
        key=f"{water.system.id}/{running.facts.start_entry}/release",
        kind="release",
        state="fact",
        summary=f"{water.system.name}: earliest release, only with every check met",
        lines=(
            f"{found.decided_by} sets the day.",
            *release_why(running.facts, count, found),
            "Release checks:",
            *checks,
        ),
        day=day,
        last=day,
        alarms=(after_quiet(instant(day, MORNING, zone), zone, quiet),),
    )


def _counted_from(water: WaterDays, running: Running) -> Iterator[CalendarEvent]:
    count = running.count
    if count.served_from is None or count.decided is None:
        return
    served = count.served_from
    plan = running.facts.plan
    old = sorted({r.day for r in count.restarts if r.state == "stands" and r.day < served})
    yield CalendarEvent(
        key=f"{water.system.id}/{running.facts.start_entry}/counted-from",
        kind="quarantine",
        state="fact",
        summary=f"{water.system.name}: day 0 of at least {plan.days}, days count from here",
        lines=(count.decided.because, *(f"Was {day_text(day)}." for day in old[-1:])),
        day=served,
        last=served,
    )


def _to_settle(
    book: Book, water: WaterDays, running: Running, quiet: Quiet
) -> Iterator[CalendarEvent]:
    """Until when a proposed restart can be settled before it stands."""
    zone = book.facts.zone
    for restart in running.count.proposed:
        if restart.stands_utc is None:
            continue
        day = local_date(restart.stands_utc, zone)
        lead = restart.stands_utc - timedelta(hours=SETTLE_LEAD_H)
        yield CalendarEvent(
            key=f"{water.system.id}/{running.facts.start_entry}/settle/{restart.entry}",
            kind="quarantine",
            state="fact",
            summary=f"{water.system.name}: settle the restart, from now on it stands",
            lines=(
                f"Proposed: {restart.because}.",
                "Keep the days or begin them again, with a reason: intake record clock.",
            ),
            day=day,
            last=day,
            at_utc=restart.stands_utc,
            alarms=(after_quiet(lead, zone, quiet),),
        )


def _claims(book: Book, today: date, quiet: Quiet) -> Iterator[CalendarEvent]:
    """Until when a seller takes a claim that was not sent yet."""
    zone = book.facts.zone
    numbers = {s.name: s.id for s in book.facts.of_kind(Shipment)}
    for claim in claims(book):
        closes = datetime.fromisoformat(claim["closes_at"])
        if claim["state"] == "open" and local_date(closes, zone) >= today:
            day = local_date(closes, zone)
            yield CalendarEvent(
                key=f"claim/{numbers[claim['shipment']]}",
                kind="claim",
                state="fact",
                summary=f"{claim['shipment']}: the seller's claim window closes",
                lines=("Counted from the carrier's stamp.",),
                day=day,
                last=day,
                at_utc=closes,
                alarms=(after_quiet(closes - timedelta(minutes=LEAD_MIN), zone, quiet),),
            )
