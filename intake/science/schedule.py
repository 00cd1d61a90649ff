"""The dated times a plan asks for: one run of the plan from each day 0 to the next.

A restart begins a new run. An occurrence number counts a step's times over all runs: what was
due or marked before a restart keeps its number, the new run goes on with the next one, so a
task that a restart only moved keeps its id and one that was done is never asked for under the
same id again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from itertools import zip_longest
from zoneinfo import ZoneInfo

from dateutil.rrule import DAILY, WEEKLY, rrule

from intake.science.plan import Step
from intake.science.quarantine import QuarantineFacts
from intake.science.restarts import Restart

LATE_H = 2
"""A task with a time of day is late this long after it [h]. Common practice."""


@dataclass(frozen=True, slots=True)
class Run:
    """One stretch of a quarantine counted from `day_0`; `began_utc` is when that was known.

    `arrival_utc` is when fish went in (None: no fish, another restart), `earlier` when others did
    on the same day, and `ended_utc` when the next run began.
    """

    day_0: date
    began_utc: datetime
    arrival_utc: datetime | None
    because: str
    ended_utc: datetime | None = None
    earlier: tuple[datetime, ...] = ()

    @property
    def by_arrival(self) -> tuple[Run, ...]:
        """Itself from each arrival to the next: hours are counted from every one of them."""
        if self.arrival_utc is None or not self.earlier:
            return (self,)
        ends = (*self.earlier[1:], self.arrival_utc, self.ended_utc)
        return tuple(
            replace(self, began_utc=max(at, self.began_utc), arrival_utc=at, ended_utc=end)
            for at, end in zip((*self.earlier, self.arrival_utc), ends, strict=True)
        )


@dataclass(frozen=True, slots=True)
class Slot:
    """One occurrence of a step: its window of days, its moment where it has one, its end."""

    step: Step
    number: int
    day: date
    last_day: date
    at_utc: datetime | None
    at: str
    opens_utc: datetime
    ends_utc: datetime
    run: Run
    hours: str = ""
    was: date | None = None


def runs(facts: QuarantineFacts, known: Iterable[Restart]) -> tuple[Run, ...]:
    """The runs the standing restarts begin, in order; a run never goes back to an earlier day."""
    found: list[Run] = []
    standing = [r for r in known if r.state == "stands" and r.stands_utc is not None]
    for r in sorted(standing, key=lambda r: (r.stands_utc or r.at_utc, r.entry)):
        arrival = r.at_utc if r.kind == "fish-in" else None
        if found and r.day < found[-1].day_0:
            continue
        began = max(r.stands_utc or r.at_utc, facts.started_utc)
        if found and r.day == found[-1].day_0:
            last = found.pop()
            earlier = last.earlier
            if arrival and last.arrival_utc:
                earlier = (*earlier, last.arrival_utc)
            arrival = arrival or last.arrival_utc
            found.append(Run(r.day, last.began_utc, arrival, r.because, earlier=earlier))
        else:
            found.append(Run(r.day, began, arrival, r.because))
    ends = [later.began_utc for later in found[1:]]
    return tuple(replace(r, ended_utc=end) for r, end in zip_longest(found, ends))


def slots(
    step: Step,
    passes: Iterable[Run],
    zone: ZoneInfo,
    until: date,
    first_mark: Mapping[int, datetime],
    quiet: tuple[time, time] | None = None,
    of_run: Callable[[Run], Step] | None = None,
) -> Iterator[Slot]:
    """The occurrences of one step over all runs, numbered from 1.

    Dates never go back, but for a task marked before its day and then left behind by a restart.

    Parameters
    ----------
    until
        The last local date looked at.
    first_mark
        When each occurrence number was first marked done or skipped.
    quiet
        Local hours in which nothing is asked for: a time inside them moves to their end.
    of_run
        The step as it stands in one run, where what happened before that run moves it.
    """
    before = 0
    last_mark = max(first_mark, default=0)
    previous: dict[int, date] = {}
    if step.hours:
        passes = [each for run in passes for each in run.by_arrival]
    for run in passes:
        number = before
        full: dict[int, date] = {}
        own = of_run(run) if of_run is not None else step
        for slot in _one_run(own, run, zone, until, quiet):
            if slot.ends_utc < run.began_utc:
                continue
            number += 1
            full[number] = slot.day
            marked = first_mark.get(number)
            cut = run.ended_utc
            if cut and step.repeats and slot.opens_utc > cut and number > last_mark:
                break
            if cut is None or slot.ends_utc < cut or (marked is not None and marked < cut):
                before = number
                was = None if step.repeats else previous.get(number)
                yield replace(slot, number=number, was=was if was != slot.day else None)
        previous = full


def _one_run(
    step: Step, run: Run, zone: ZoneInfo, until: date, quiet: tuple[time, time] | None
) -> Iterator[Slot]:
    if step.hours:
        if run.arrival_utc is None:
            return
        moments = [(run.arrival_utc + timedelta(hours=float(h)), f"{h} h") for h in step.hours]
        yield from _timed(step, run, zone, until, quiet, moments)
        return
    days = _days(step, run.day_0, until)
    if step.at:
        clock = [time.fromisoformat(at) for at in sorted(step.at)]
        moments = [(instant(day, t, zone), "") for day in days for t in clock]
        yield from _timed(step, run, zone, until, quiet, moments)
        return
    # A day that a zone left out is the next one, on which the same is not asked for twice.
    walls = [instant(day, time(12), zone).astimezone(zone).date() for day in days]
    for first in dict.fromkeys(walls):
        last = first if step.repeats or step.to_day is None else _window_end(step, run, first)
        opens, ends = instant(first, time(), zone), instant(last + timedelta(1), time(), zone)
        yield Slot(step, 0, first, last, None, "", opens, ends, run)


def _window_end(step: Step, run: Run, first: date) -> date:
    return max(first, run.day_0 + timedelta(step.to_day or step.from_day))


def _days(step: Step, day_0: date, until: date) -> Iterator[date]:
    first = day_0 + timedelta(step.from_day)
    if not step.repeats:
        if first <= until:
            yield first
        return
    last = until if step.to_day is None else min(until, day_0 + timedelta(step.to_day))
    start, end = datetime.combine(first, time()), datetime.combine(last, time())
    if step.every_weeks:
        times = rrule(WEEKLY, interval=step.every_weeks, dtstart=start, until=end)
    else:
        times = rrule(DAILY, interval=step.every_days or 1, dtstart=start, until=end)
    for moment in times:
        yield moment.date()


def _timed(
    step: Step,
    run: Run,
    zone: ZoneInfo,
    until: date,
    quiet: tuple[time, time] | None,
    moments: Iterable[tuple[datetime, str]],
) -> Iterator[Slot]:
    seen = set[datetime]()
    for at_utc, hours in moments:
        moved = after_quiet(at_utc, zone, quiet)
        local = moved.astimezone(zone)
        if moved in seen or local.date() > until:
            continue
        seen.add(moved)
        opens, ends = moved - timedelta(hours=1), moved + timedelta(hours=LATE_H)
        day = local.date()
        yield Slot(step, 0, day, day, moved, f"{local:%H:%M}", opens, ends, run, hours)


def instant(day: date, at: time, zone: ZoneInfo) -> datetime:
    """The instant of a local time; one that a clock change leaves out moves on by the change."""
    return datetime.combine(day, at, zone).astimezone(UTC)


def after_quiet(at_utc: datetime, zone: ZoneInfo, quiet: tuple[time, time] | None) -> datetime:
    """The same instant, or the end of the quiet hours it falls into."""
    if quiet is None:
        return at_utc
    start, end = quiet
    local = at_utc.astimezone(zone)
    clock = local.time()
    past_midnight = start > end and (clock >= start or clock < end)
    if not (past_midnight or start <= clock < end):
        return at_utc
    day = local.date() + timedelta(1) if clock >= end else local.date()
    return instant(day, end, zone)
