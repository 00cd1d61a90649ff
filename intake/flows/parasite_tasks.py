"""Tasks by the life of a parasite: the next dose, those after it, and when to look again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from intake.clock import local_date
from intake.flows.day_tasks import day_task
from intake.flows.desk import Book
from intake.flows.dose_moment import placed
from intake.flows.facts.things import System
from intake.flows.moved_windows import moved
from intake.flows.parasite_runs import Run, runs_of
from intake.flows.plan_treated import cited
from intake.flows.water_days import water_days
from intake.science.calendar import Task
from intake.science.pace import pace_of
from intake.science.parasite import COVER
from intake.science.parasite_windows import DoseWindow, Pace, Repeats, repeats
from intake.science.problem import Refused
from intake.science.schedule import instant
from intake.science.water_days import WaterDays

LATE_IN_WINDOW = "late inside its window: give it now, as much as ever, never double"
PAST_WINDOW = (
    "past its window: new ones may have laid, so the course begins again at its first dose; give "
    "it now, as much as ever, never double, and what follows counts from it"
)
GAP = (
    "a gap in the cover: what swam free meanwhile may be on the fish, so the cycle counts anew; "
    "give it now, as much as ever, never double"
)


@dataclass(frozen=True, slots=True)
class Followed:
    """A run with its windows, or with why it has none."""

    run: Run
    water: WaterDays
    pace: Pace
    found: Repeats | None
    refused: Refused | None = None

    @property
    def begun(self) -> int:
        """The place of the dose the course counts from."""
        return self.found.begun if self.found is not None else len(self.run.doses) - 1

    @property
    def start(self) -> int:
        """The entry of the dose the course counts from."""
        return self.run.doses[self.begun].entry


def followed(book: Book, system: System) -> list[Followed]:
    """Every course against a parasite that runs in this water."""
    return [_followed(book, system, run) for run in runs_of(book, system)]


def _followed(book: Book, system: System, run: Run) -> Followed:
    water = water_days(book, system, run.days[0])
    pace = pace_of(run.treatment, run.course)
    today = local_date(book.now, book.facts.zone)
    try:
        return Followed(run, water, pace, repeats(run.parasite, run.days, water, pace, today))
    except Refused as refusal:
        return Followed(run, water, pace, None, refusal)


def next_dose(book: Book, system: System, it: Followed) -> Task | None:
    """The next dose of a course, in its window, or that there is no date for it and why.

    None where it needs no more, or where nobody read the water, so that the protocol's own time
    is all there is.
    """
    if it.refused is not None:
        if it.refused.code == "reading-missing" and it.run.course.repeat is not None:
            return None
        return _undated(book, system, it, f"{it.refused.text}; {it.refused.way_out}")
    assert it.found is not None
    if it.found.windows:
        return _dose(book, system, it, it.found.windows[0])
    if it.found.cannot:
        more = "no date is given; ask a vet for a treatment that may be given as often"
        return _undated(book, system, it, f"{it.found.cannot}; {more}", cannot=True)
    return None


def later(book: Book, system: System) -> Iterator[Task]:
    """The doses after the next one, how long it is kept up, and when to look again."""
    for it in followed(book, system):
        if it.found is None:
            continue
        today = local_date(book.now, book.facts.zone)
        past = bool(it.found.windows) and today > it.found.windows[0].to_day
        if not past:
            for window in it.found.windows[1:]:
                yield _dose(book, system, it, window)
            if it.found.until is not None and it.pace.stands_d:
                yield _kept(book, system, it, it.found.until)
        if it.found.look_day is not None and not past:
            yield from _look(book, system, it, it.found.look_day)


def _dose(book: Book, system: System, it: Followed, window: DoseWindow) -> Task:
    zone, run = book.facts.zone, it.run
    today = local_date(book.now, zone)
    at = _at(book, it, window.day)
    was, why = moved(it.run.parasite, run.days, it.water, it.pace, window)
    late = _late(it, window, today)
    told = [*([late] if late else []), *([why] if why else []), window.because]
    assert it.found is not None
    told += [*it.found.because, cited((run.parasite.rule_source,))]
    told.append(f"the last dose was {book.facts.local(run.last.at)}, entry {run.last.entry}")
    for weak in run.weak:
        told.append(f"entry {weak.entry} left the water under its range and counts as no dose")
    text = f"dose {window.number} against {run.parasite.title.lower()}"
    last = window.to_day
    until = f", up to {last:%a} {last.day} {last:%b}" if last > window.day else ""
    due = "due" if window.from_day <= today else "upcoming"
    return Task(
        id=f"{system.name}/{it.start}/{run.treatment.id}/{window.number}",
        day=window.day,
        from_=window.from_day,
        to=max(window.to_day, window.day),
        at=f"{at.astimezone(zone):%H:%M}",
        task=f"{_title(run)}: {text}{until}",
        kind="treatment",
        system=system.name,
        state="overdue" if today > window.to_day else due,
        because="; ".join(told),
        at_utc=at,
        was=was,
        short=f"{run.treatment.id} {text}",
    )


def _title(run: Run) -> str:
    return run.drug or run.treatment.title


def _late(it: Followed, window: DoseWindow, today: date) -> str:
    if today > window.to_day:
        return GAP if it.run.parasite.rule == COVER else PAST_WINDOW
    return LATE_IN_WINDOW if window.from_day < today else ""


def _at(book: Book, it: Followed, day: date) -> datetime:
    """The hour of the last dose on that day, where neither it nor its end falls in the night."""
    zone, last = book.facts.zone, it.run.last.at
    clock = last.astimezone(zone).time().replace(tzinfo=None)
    soonest = last + timedelta(days=it.pace.least_d)
    return placed(book, it.run.course, instant(day, clock, zone), soonest)


def _undated(
    book: Book, system: System, it: Followed, because: str, *, cannot: bool = False
) -> Task:
    """A dose that has no date, as a task of today that says why."""
    run, today = it.run, local_date(book.now, book.facts.zone)
    number = len(run.doses) - it.begun + 1
    title = run.parasite.title.lower()
    said = f"cannot cover {title} here" if cannot else f"no date against {title}"
    text = f"{_title(run)} {said}" if cannot else f"{_title(run)}: {said}"
    return day_task(
        book,
        system,
        f"{it.start}/{run.treatment.id}/{number}",
        today,
        kind="treatment",
        task=f"{text}: {'no date for ' if cannot else ''}dose {number}",
        short=f"{run.treatment.id} {said}",
        because=because,
    )


def _kept(book: Book, system: System, it: Followed, until: date) -> Task:
    """The day up to which what stands in the water is kept at its strength."""
    run = it.run
    assert it.found is not None
    title, kept = run.parasite.title, "kept at its strength to here, without a gap"
    cycles = "a cycle" if run.parasite.cycles == 1 else f"{run.parasite.cycles:g} cycles"
    over = it.run.days[it.begun] + timedelta(it.pace.stands_d)
    told = [f"{title}: {cycles} after the first dose of {run.days[it.begun].isoformat()}"]
    if until > over:
        told.append(f"its course is no longer than to {over.isoformat()}: ask a vet before that")
    told += [*it.found.because, cited((run.parasite.rule_source,))]
    return day_task(
        book,
        system,
        f"{it.start}/keep-{run.parasite.id}/1",
        until,
        kind="treatment",
        task=f"{_title(run)}: {kept}, against {title.lower()}",
        short=f"{run.treatment.id} kept to here",
        because="; ".join(told),
    )


def _look(book: Book, system: System, it: Followed, day: date) -> Iterator[Task]:
    """A slide after the last dose, until one was made from that day on."""
    zone, run = book.facts.zone, it.run
    if any(local_date(s.at, zone) >= day for s in system.slides if s.at <= book.now):
        return
    title = run.parasite.title.lower()
    task = day_task(
        book,
        system,
        f"{it.start}/look-{run.parasite.id}/1",
        day,
        kind="slide",
        task=f"Skin scrape and gill clip: look for {title} again",
        short=f"slide: {title}?",
        because=f"after the last dose against {title}, when what was missed would show; "
        + cited((run.parasite.rule_source,)),
    )
    yield replace(task, state="overdue") if day < local_date(book.now, zone) else task


def protocol_time(task: Task, it: Followed) -> Task:
    """A dose by its protocol's own time, where nobody read the water."""
    assert it.refused is not None
    return replace(task, because=f"{it.refused.text}: by the protocol alone; {task.because}")
