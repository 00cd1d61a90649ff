"""The dated tasks of a quarantine: a pure function of its plan and facts."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from functools import partial
from zoneinfo import ZoneInfo

from intake.science.answers import Answer, Marks, answers, marks_of, shown
from intake.science.checks import checks
from intake.science.hatching import hatching_step
from intake.science.missed import Late, late, moved_by
from intake.science.plan import ONLY_WHERE, Plan, Step
from intake.science.preventive import preventive_step
from intake.science.quarantine import QuarantineFacts
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
    skipped or upcoming. `was` is the date it had before a restart moved it, `short` its few words,
    `evidence` what the record says of a preparation, `moved` what a missed one moves.
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
    short: str = ""
    evidence: str = ""
    moved: str = ""

    @property
    def late(self) -> Late | None:
        """What to do about it where it was missed."""
        return late(self.kind, self.moved) if self.state == "overdue" else None


def tasks(
    facts: QuarantineFacts, now_utc: datetime, to_date: date | None = None
) -> tuple[Task, ...]:
    """The tasks of one quarantine in order of date, 14 days ahead unless `to_date` says else.

    Done and skipped tasks are kept for 14 days. Overdue ones are always given, but of those that
    repeat only the newest of each kind, with the number of earlier times that passed: after a
    month away the list is as short as after a day. What was missed is no longer asked for once a
    later time of its kind was done, or a restart asks for it again. Preparation is asked for until
    the fish are in, the rest from then on until they are released.
    """
    zone = ZoneInfo(facts.time_zone)
    today = local_day(now_utc, facts.time_zone)
    until = to_date or today + timedelta(AHEAD_DAYS)
    marks = marks_of(facts, now_utc)
    found: list[Slot] = []
    for step, passes, of_run in _asked(facts, now_utc):
        own = marks.get(step.id, {})
        first = {n: min(m.at_utc for m in all_of) for n, all_of in own.items()}
        asked = slots(step, passes, zone, max(until, today), first, facts.quiet, of_run)
        found += [s for s in asked if s.number in own or not step.only_where or _met(facts, step)]
    if facts.released_utc is not None and facts.released_utc <= now_utc:
        found = [s for s in found if _still_asked(s, facts.released_utc, marks)]
    found.sort(key=lambda s: (s.opens_utc, s.day))
    told = answers(facts, found, marks, now_utc, today)
    kept = shown(found, told, today, max(until, today), AHEAD_DAYS)
    met = {m.condition: m.text for m in facts.met}
    lived_in = bool(facts.present)
    asked_for = [
        (s, replace(a, why=a.why or met.get(s.step.only_where, "") or _closing(s, lived_in)))
        for s, a in kept
    ]
    result = [_task(s, a, facts.system, facts.start_entry) for s, a in asked_for]
    return tuple(sorted(_moving(facts, now_utc, result), key=lambda t: (t.day, t.at)))


def _moving(facts: QuarantineFacts, now_utc: datetime, found: list[Task]) -> list[Task]:
    """The tasks, those missed with what that moves; nothing is moved once the fish are out."""
    over = facts.released_utc is not None and facts.released_utc <= now_utc
    if over or not any(t.state == "overdue" for t in found):
        return found
    held = checks(facts, now_utc)
    return [replace(t, moved=moved_by(t.kind, held)) if t.state == "overdue" else t for t in found]


def planned(
    plan: Plan, day_0: date, time_zone: str = "UTC", more: Sequence[Step] = ()
) -> tuple[Task, ...]:
    """Every task of a plan whose fish go in on `day_0`, to its last day, nothing being known yet.

    `more` are steps beside those of the plan, worked out for these fish.
    Hours after the fish went in carry no time of day: nobody knows when they come.
    """
    zone = ZoneInfo(time_zone)
    first = min([0, *(s.from_day for s in plan.steps)])
    began = instant(day_0 + timedelta(first), time(), zone)
    run = Run(day_0, began, instant(day_0, time(9), zone), "the fish go in")
    until = day_0 + timedelta(plan.days)
    found: list[Slot] = []
    for step in (*plan.steps, *more):
        if step.counted_from == "arrival":
            found += slots(step, (run,), zone, until, {})
    found.sort(key=lambda s: (s.opens_utc, s.day))
    told = [_task(s, Answer("upcoming", why=_only(s.step)), plan.id, 0) for s in found]
    told = [
        replace(t, task=f"{t.task} ({only})") if (only := _only(s.step)) else t
        for s, t in zip(found, told, strict=True)
    ]
    return tuple(
        replace(t, at="", at_utc=None) if s.hours else t for s, t in zip(found, told, strict=True)
    )


OfRun = Callable[[Run], Step] | None


def _asked(
    facts: QuarantineFacts, now_utc: datetime
) -> Iterable[tuple[Step, tuple[Run, ...], OfRun]]:
    zone = facts.time_zone
    known = runs(facts, restarts(facts, now_utc))
    for step in facts.plan.steps:
        if step.counted_from == "release":
            at = facts.released_utc
            if at is not None and at <= now_utc:
                run = Run(local_day(at, zone), at, at, "the fish were released")
                yield step, (run,), None
        elif step.from_day < 0:
            if not known:
                yield step, (_before_fish(facts, step, now_utc),), None
        elif known:
            yield step, known, None
    if known:
        yield from _worked_out(facts, known, now_utc)


def _worked_out(
    facts: QuarantineFacts, known: tuple[Run, ...], now_utc: datetime
) -> Iterable[tuple[Step, tuple[Run, ...], OfRun]]:
    """The steps no plan file can date: a preventive course that was chosen, eggs that hatch."""
    last, chosen = known[-1], facts.preventive
    offer = facts.plan.offer(chosen.treatment) if chosen is not None else None
    if chosen is not None and offer is not None:
        of_run = partial(preventive_step, chosen, offer)
        yield of_run(last), known, of_run
    hatching = hatching_step(facts, last.day_0, now_utc)
    if hatching is not None:
        yield hatching, known, None


def _met(facts: QuarantineFacts, step: Step) -> str:
    """By what the record meets the condition of a step, "" where it does not."""
    return next((m.text for m in facts.met if m.condition == step.only_where), "")


def _closing(slot: Slot, lived_in: bool) -> str:
    """That a water with fish in it is not disinfected, however it was released."""
    closes = slot.step.counted_from == "release" and slot.step.kind == "clean"
    return FISH_IN if closes and lived_in else ""


FISH_IN = (
    "fish are still in it: nothing is disinfected with fish in the water, lift them out first, or "
    "skip this with the reason that they stay"
)


def _only(step: Step) -> str:
    return f"only where {ONLY_WHERE[step.only_where]}" if step.only_where else ""


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


def _still_asked(slot: Slot, released_utc: datetime, marks: Marks) -> bool:
    """After release only what was marked, and what is counted from the release."""
    if slot.step.counted_from == "release":
        return True
    return slot.opens_utc <= released_utc and bool(marks.get(slot.step.id, {}).get(slot.number))


def _because(slot: Slot, answer: Answer) -> str:
    step, run = slot.step, slot.run
    told = [answer.why] if answer.why else []
    if answer.missed:
        times = "time" if answer.missed == 1 else "times"
        told.append(f"{answer.missed} earlier {times} passed with nothing recorded")
    n = (slot.day - run.day_0).days
    told.append(f"day {n} from {run.day_0.isoformat()}: {run.because}")
    if slot.was:
        told.append(f"was {slot.was.isoformat()}")
    told.append(step.because or step.source.text)
    return "; ".join(told)


def _task(slot: Slot, answer: Answer, system: str, start: int) -> Task:
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
        state=answer.state,
        because=_because(slot, answer),
        at_utc=slot.at_utc,
        was=slot.was,
        entry=answer.entry,
        short=step.short,
        evidence=answer.why if step.evidence else "",
    )
