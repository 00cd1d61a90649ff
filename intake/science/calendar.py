"""The dated tasks of a quarantine: a pure function of its plan and facts."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from intake.science.plan import Plan, Step
from intake.science.quarantine import Marked, QuarantineFacts
from intake.science.restarts import local_day, restarts
from intake.science.schedule import Run, Slot, instant, runs, slots

AHEAD_DAYS = 14
"""How far ahead tasks are given where nobody asks for more, and how long done ones are kept [d].
"""


@dataclass(frozen=True, slots=True)
class Task:
    """One dated thing to do.

    `id` is system/start-entry/step/occurrence and never holds the date. It may be done on any day
    from `from_` to `to`; `at` is its local time, "HH:MM", or "". `state` is due, overdue, done,
    skipped or upcoming. `was` is the date it had before a restart moved it.
    """

    id: str
    day: date
    from_: date
    to: date
    at: str
    task: str
    kind: str
    system: str
    state: str
    because: str
    at_utc: datetime | None = None
    was: date | None = None
    entry: int | None = None


def tasks(
    facts: QuarantineFacts, now_utc: datetime, to_date: date | None = None
) -> tuple[Task, ...]:
    """The tasks of one quarantine in order of date, 14 days ahead unless `to_date` says else.

    Done and skipped tasks are kept for 14 days. Overdue ones are always given, but of those that
    repeat only the newest of each kind, with the number of earlier times that passed: after a
    month away the list is as short as after a day. A later look, test or slide answers what was
    missed before it. Preparation is asked for until the fish are in, the rest from then on until
    they are released.
    """
    zone = ZoneInfo(facts.time_zone)
    today = local_day(now_utc, facts.time_zone)
    until = to_date or today + timedelta(AHEAD_DAYS)
    marks = _marks(facts, now_utc)
    found: list[Slot] = []
    for step, passes in _asked(facts, now_utc):
        own = marks.get(step.id, {})
        first = {n: min(m.at_utc for m in all_of) for n, all_of in own.items()}
        found += slots(step, passes, zone, max(until, today), first, facts.quiet)
    if facts.released_utc is not None and facts.released_utc <= now_utc:
        found = [s for s in found if _still_asked(s, facts.released_utc, marks)]
    found.sort(key=lambda s: (s.opens_utc, s.day))
    told = [
        _told(facts, s, marks, ev, now_utc, today) for s, ev in _answered(facts, found, now_utc)
    ]
    return _kept(found, told, today, until)


def planned(plan: Plan, day_0: date, time_zone: str = "UTC") -> tuple[Task, ...]:
    """Every task of a plan whose fish go in on `day_0`, to its last day, nothing being known yet.

    Hours after the fish went in carry no time of day: nobody knows when they come.
    """
    zone = ZoneInfo(time_zone)
    first = min([0, *(s.from_day for s in plan.steps)])
    began = instant(day_0 + timedelta(first), time(), zone)
    run = Run(day_0, began, instant(day_0, time(9), zone), "the fish go in")
    until = day_0 + timedelta(plan.days)
    found: list[Slot] = []
    for step in plan.steps:
        if step.counted_from == "arrival":
            found += slots(step, (run,), zone, until, {})
    found.sort(key=lambda s: (s.opens_utc, s.day))
    told = [_task(s, plan.id, 0, "upcoming", _because(s), None) for s in found]
    return tuple(
        replace(t, at="", at_utc=None) if s.hours else t for s, t in zip(found, told, strict=True)
    )


def _asked(facts: QuarantineFacts, now_utc: datetime) -> Iterable[tuple[Step, tuple[Run, ...]]]:
    zone = facts.time_zone
    known = runs(facts, restarts(facts, now_utc))
    for step in facts.plan.steps:
        if step.counted_from == "release":
            at = facts.released_utc
            if at is not None and at <= now_utc:
                yield step, (Run(local_day(at, zone), at, at, "the fish were released"),)
        elif step.from_day < 0:
            if not known:
                yield step, (_before_fish(facts, step, now_utc),)
        elif known:
            yield step, known


def _before_fish(facts: QuarantineFacts, step: Step, now_utc: datetime) -> Run:
    """The run preparation is dated by: back from the expected day, or on from the start."""
    started = local_day(facts.started_utc, facts.time_zone)
    prep = min(s.from_day for s in facts.plan.steps)
    if facts.expected is None:
        day_0, because = started - timedelta(prep), "no day is expected: fish no sooner than this"
    else:
        day_0, because = facts.expected, "the fish are expected"
    # Late starts pull what should have been done already to the day the quarantine was started.
    late = max(day_0, started - timedelta(step.from_day))
    return Run(late, min(facts.started_utc, now_utc), None, because)


def _marks(facts: QuarantineFacts, now_utc: datetime) -> dict[str, dict[int, list[Marked]]]:
    head = f"{facts.system}/{facts.start_entry}/"
    found: dict[str, dict[int, list[Marked]]] = defaultdict(lambda: defaultdict(list))
    for m in sorted(facts.marked, key=lambda m: (m.at_utc, m.entry)):
        step, _, number = m.task.removeprefix(head).rpartition("/")
        if m.task.startswith(head) and number.isdecimal() and m.at_utc <= now_utc:
            found[step][int(number)].append(m)
    return found


def _still_asked(
    slot: Slot, released_utc: datetime, marks: Mapping[str, Mapping[int, Sequence[Marked]]]
) -> bool:
    """After release only what was marked, and what is counted from the release."""
    if slot.step.counted_from == "release":
        return True
    return slot.opens_utc <= released_utc and bool(marks.get(slot.step.id, {}).get(slot.number))


def _answered(
    facts: QuarantineFacts, found: Sequence[Slot], now_utc: datetime
) -> Iterable[tuple[Slot, int | None]]:
    """Each slot with the entry of a record that answers it: one of its kind before the next."""
    records: dict[str, list[tuple[datetime, int]]] = {
        "look": [(x.at_utc, x.entry) for x in facts.looks],
        "water-test": [(x.at_utc, x.entry) for x in facts.waters],
        "temperature": [(x.at_utc, x.entry) for x in facts.temperatures],
        "slide": [(x.at_utc, x.entry) for x in facts.slides],
        "mixing-test": [(x.at_utc, x.entry) for x in facts.mixing_tests],
    }
    opens: dict[str, list[datetime]] = defaultdict(list)
    for s in found:
        opens[s.step.kind].append(s.opens_utc)
    ordered = {k: sorted(r for r in v if r[0] <= now_utc) for k, v in records.items()}
    for s in found:
        of_kind = ordered.get(s.step.kind, [])
        i = bisect_left(of_kind, (s.opens_utc, -1))
        starts = opens[s.step.kind]
        later = bisect_right(starts, s.opens_utc)
        hit = i < len(of_kind) and (later == len(starts) or of_kind[i][0] < starts[later])
        yield s, of_kind[i][1] if hit else None


def _told(
    facts: QuarantineFacts,
    slot: Slot,
    marks: Mapping[str, Mapping[int, Sequence[Marked]]],
    answered: int | None,
    now_utc: datetime,
    today: date,
) -> Task:
    own = marks.get(slot.step.id, {}).get(slot.number, [])
    because = _because(slot)
    if own:
        why = f"{own[-1].why}; " if own[-1].why else ""
        state, because, entry = own[-1].state, f"{why}{because}", own[-1].entry
    elif answered is not None:
        state, entry = "done", answered
        because = f"recorded, entry {answered}; {because}"
    else:
        entry = None
        due = "due" if slot.day <= today else "upcoming"
        state = "overdue" if slot.ends_utc <= now_utc else due
    return _task(slot, facts.system, facts.start_entry, state, because, entry)


def _because(slot: Slot) -> str:
    step = slot.step
    n = (slot.day - slot.run.day_0).days
    counted = f"day {n} from {slot.run.day_0.isoformat()}: {slot.run.because}"
    moved = f"; was {slot.was.isoformat()}" if slot.was else ""
    return f"{counted}{moved}; {step.because or step.source.text}"


def _task(
    slot: Slot, system: str, start: int, state: str, because: str, entry: int | None
) -> Task:
    step = slot.step
    return Task(
        id=f"{system}/{start}/{step.id}/{slot.number}",
        day=slot.day,
        from_=slot.day,
        to=slot.last_day,
        at=slot.at,
        task=f"{step.task} ({slot.hours} after the fish went in)" if slot.hours else step.task,
        kind=step.kind,
        system=system,
        state=state,
        because=because,
        at_utc=slot.at_utc,
        was=slot.was,
        entry=entry,
    )


def _kept(
    found: Sequence[Slot], told: Sequence[Task], today: date, until: date
) -> tuple[Task, ...]:
    """The tasks worth showing; missed times of what repeats are folded into the newest."""
    missed: dict[str, list[int]] = defaultdict(list)
    settled: dict[str, int] = {}
    for i, (slot, task) in enumerate(zip(found, told, strict=True)):
        if task.state == "overdue" and slot.step.repeats:
            missed[task.kind].append(i)
        elif task.state in ("done", "skipped"):
            settled[task.kind] = i
    newest = {k: of[-1] for k, of in missed.items() if of[-1] > settled.get(k, -1)}
    result = []
    for i, (slot, task) in enumerate(zip(found, told, strict=True)):
        if task.state == "overdue" and slot.step.repeats:
            if newest.get(task.kind) != i:
                continue
            n = len(missed[task.kind]) - 1
            if n:
                passed = "1 earlier time" if n == 1 else f"{n} earlier times"
                because = f"{passed} passed with nothing recorded; {task.because}"
                task = replace(task, because=because)
        shown = task.day <= until if task.state == "upcoming" else True
        if task.state in ("done", "skipped"):
            shown = today - timedelta(AHEAD_DAYS) <= task.day <= max(until, today)
        if shown:
            result.append(task)
    return tuple(sorted(result, key=lambda t: (t.day, t.at)))
