"""The calendar on paper, worked out: strips of whole weeks, tasks by day, why each is there."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from intake.clock import local_date
from intake.drawing.daystrip import DayCell, day_cells
from intake.flows.desk import Book
from intake.flows.jobs.calendar_waters import CalendarDays, Running, WaterDays
from intake.flows.jobs.calendar_words import readable, release_why, said, task_words
from intake.flows.jobs.words import day_text
from intake.report.calendar import CalendarPaper, PaperDay, PaperTask, PaperWater
from intake.science.calendar import Task
from intake.science.check_state import CheckState

WEEK = 7


def paper_of(book: Book, days: CalendarDays) -> CalendarPaper:
    """All that the paper says."""
    from intake.store import journal

    number, hash_ = journal.head(book.connection)
    year = local_date(book.now, book.facts.zone).year
    keeper = book.desk.keeper or next(iter(book.facts.keepers), "nobody named")
    return CalendarPaper(
        today=days.today,
        waters=tuple(_water(water, days) for water in days.waters),
        printed=f"Printed {book.facts.local(book.now)} {year} by {keeper}, from the room "
        f"{book.desk.room.name}, its clock {book.facts.time_zone}",
        head=f"Journal at entry {number}, {hash_}",
    )


def week_cells(water: WaterDays, days: CalendarDays) -> tuple[DayCell, ...]:
    """The days of a water as whole weeks, Monday first, to its release and its last task."""
    marks = {m.day: (m.mark, m.counted) for m in water.marks}
    first = min([water.started, days.today, *(t.day for t in water.tasks)])
    last = max([days.today, *(m.day for m in water.marks if m.mark)])
    if water.running is not None:
        last = max(last, water.release or days.last)
    start = first - timedelta(first.weekday())
    count = ((last - start).days // WEEK + 1) * WEEK
    return tuple(
        day_cells(
            [start + timedelta(n) for n in range(count)],
            started=first,
            today=days.today,
            marks=marks,
            release=water.release,
        )
    )


def _water(water: WaterDays, days: CalendarDays) -> PaperWater:
    running = water.running
    told = [water.occupants]
    if running is not None:
        told += [
            said(running.facts, running.count, running.found),
            f"plan {running.facts.plan.id}",
        ]
    else:
        told += ["no quarantine runs in this water"]
    return PaperWater(
        system=water.system.name,
        said=", ".join(told),
        cells=week_cells(water, days),
        release=release_said(water, days.today),
        why=tuple(_why(running)) if running else (),
        checks=tuple(_check(c, days.today) for c in running.found.checks) if running else (),
        days=tuple(_days(water, days.today)),
    )


def _why(running: Running) -> Iterator[str]:
    """What stands behind the release beside its checks: restarts, and the plan."""
    told = release_why(running.facts, running.count, running.found)
    checks = tuple(f"{c.check}: " for c in running.found.checks)
    yield from (why for why in told if not why.startswith(checks))


def _check(found: CheckState, today: date) -> tuple[str, str, str, str]:
    day = found.earliest
    first = day_text(day) if day is not None and found.state == "open" else ""
    return found.check, found.state, first, readable(found.evidence, today)


def release_said(water: WaterDays, today: date) -> str:
    """The earliest release and the check that sets it; empty where no quarantine runs."""
    if water.running is None:
        return ""
    day, by = water.release, water.running.found.decided_by
    if day is None:
        return "Earliest release: not known before the fish are in"
    year = "" if day.year == today.year else f" {day.year}"
    return f"Earliest release: {day_text(day)}{year}, set by {by}"


def _days(water: WaterDays, today: date) -> Iterator[PaperDay]:
    by_day: dict[date, list[Task]] = {}
    for task in water.tasks:
        by_day.setdefault(task.day, []).append(task)
    told: set[str] = set()
    for day in sorted(by_day):
        today_said = ", today" if day == today else ""
        yield PaperDay(
            day_text(day) + today_said,
            "; ".join(_place(water, day)),
            tuple(_task(task, water, today, told) for task in by_day[day]),
        )


def _place(water: WaterDays, day: date) -> Iterator[str]:
    """Which day of the plan it is, whether it counts, and what began the days again on it."""
    if water.running is None or water.running.count.served_from is None:
        return
    count = water.running.count
    assert count.served_from is not None
    served = (day - count.served_from).days
    yield f"day {served}" if served >= 0 else "counts no more"
    if any(mark.day == day and not mark.counted for mark in water.marks):
        yield "not a warm day"
    began = [r.because for r in count.restarts if r.day == day and r.state != "kept"]
    yield from began[-1:]


def _task(task: Task, water: WaterDays, today: date, told: set[str]) -> PaperTask:
    """One line; the reason of a step that repeats stands once, or where its day was moved."""
    words = task_words(task, water.occupants)
    words = f"{task.at}  {words}" if task.at else words
    if task.to > task.from_:
        words += f", until {day_text(task.to)}"
    step = task.id.rpartition("/")[0]
    known = step in told or task.state in ("done", "skipped")
    if not known:
        told.add(step)
    return PaperTask(
        state=task.state,
        text=words,
        was=f"was {day_text(task.was)}" if task.was else "",
        because="" if known and not task.was else readable(task.because, today),
    )
