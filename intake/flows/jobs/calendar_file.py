"""The calendar of a room: told, put on paper, or as a file of events for other calendars."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from intake.flows import papers
from intake.flows.asking import task_keys
from intake.flows.desk import Book, Desk, at_work
from intake.flows.jobs.calendar_events import event_list
from intake.flows.jobs.calendar_paper import paper_of, release_said, week_cells
from intake.flows.jobs.calendar_waters import CalendarDays, WaterDays, calendar_days
from intake.flows.jobs.calendar_words import readable, release_why, said
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.notes import Notes
from intake.report.calendar import week_lines
from intake.report.calendar_events import EventList
from intake.science.calendar import Task
from intake.science.problem import Problem, Unreadable

EVENTS = ".ics"


def calendar(
    desk: Desk, system: str | None = None, to: str | None = None, out: str | None = None
) -> dict[str, Any]:
    """What every water has ahead of it, and where the file is that was asked for.

    A file of events this room wrote is written again; any other file that is there stays.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then no file is made or changed.
    """
    path = papers.ending(out, (*papers.FORMS, EVENTS)) if out is not None else None
    if path is not None and path.suffix.lower() != EVENTS:
        papers.refuse_taken(path)
    notes = Notes()
    with at_work(desk) as book:
        days = calendar_days(book, system, to)
        answer = _keys(book, days)
        if path is not None and path.suffix.lower() == EVENTS:
            events = event_list(book, days, notes)
        elif path is not None:
            paper = paper_of(book, days)
    if path is not None and path.suffix.lower() == EVENTS:
        answer |= _write_events(path, events, notes)
    elif path is not None:
        papers.write_paper(path, "calendar", paper)
        answer["file"] = str(path)
    return answer | notes.as_keys()


def file_name(end: str) -> str:
    """Where a paper goes by itself: a file not there yet, but for events, which are replaced."""
    if end == EVENTS:
        return str(Path.cwd() / f"calendar{EVENTS}")
    return papers.free_name("calendar", end)


def written(desk: Desk, system: str, out: str) -> str:
    """The file made for a screen, of one water or of all (""), and where it is."""
    with as_unreadable():
        answer = calendar(desk, system or None, out=out)
    what = f"{answer['events']} events" if "events" in answer else "the calendar"
    dropped = f", {answer['cancelled']} cancelled" if answer.get("cancelled") else ""
    return f"{what}{dropped}: {answer['file']}"


def _write_events(path: Path, events: EventList, notes: Notes) -> dict[str, Any]:
    from intake.report.calendar_ics import as_ics
    from intake.report.calendar_kept import read_kept

    before = papers.there(path)
    kept = read_kept(before, events.room) if before is not None else {}
    if kept is None:
        text = f"{path} is there already and is no calendar this room wrote"
        raise Unreadable(Problem("name-taken", text, "another name, or move it away", "--out"))
    made, cancelled = as_ics(events, kept)
    papers.put(path, made, over=before is not None)
    if cancelled:
        notes.because.append(
            f"{cancelled} events of the file before are no longer asked for and are marked "
            "cancelled in it, so that a calendar that reads it in drops them"
        )
    return {"file": str(path), "events": len(events.events), "cancelled": cancelled}


def _keys(book: Book, days: CalendarDays) -> dict[str, Any]:
    return {
        "time_zone": book.facts.time_zone,
        "today": days.today.isoformat(),
        "to": days.last.isoformat(),
        "systems": [_water_keys(water, days) for water in days.waters],
    }


def _water_keys(water: WaterDays, days: CalendarDays) -> dict[str, Any]:
    running = water.running
    count = running.count if running else None
    return {
        "system": water.system.name,
        "fish": water.occupants,
        "plan": running.facts.plan.id if running else None,
        "day_0": count.day_0.isoformat() if count and count.day_0 else None,
        "day": (days.today - count.day_0).days if count and count.day_0 else None,
        "days_served": count.days_served if count else None,
        "said": said(running.facts, running.count, running.found) if running else "",
        "weeks": week_lines(week_cells(water, days), days.today),
        "tasks": [_task_keys(task) for task in water.tasks],
        "earliest_release": water.release.isoformat() if water.release else None,
        "decided_by": (running.found.decided_by or None) if running else None,
        "release": release_said(water, days.today),
        "because": list(release_why(running.facts, running.count, running.found))
        if running
        else [],
        "checks": [
            {"check": c.check, "state": c.state, "evidence": readable(c.evidence, days.today)}
            for c in running.found.checks
        ]
        if running
        else [],
    }


def _task_keys(task: Task) -> dict[str, Any]:
    return {**task_keys(task), "was": task.was.isoformat() if task.was else None}
