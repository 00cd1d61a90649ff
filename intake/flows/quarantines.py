"""Quarantines: the facts of a system handed to the calendar, the checks and the alerts."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from decimal import Decimal
from functools import lru_cache

from intake.clock import local_date
from intake.flows.ammonia_tests import ammonia_tasks
from intake.flows.desk import Book
from intake.flows.dose_ends import ended_at, wait_after
from intake.flows.dose_tasks import dose_tasks
from intake.flows.facts.happened import LookFact, SlideFact
from intake.flows.facts.things import Animal, Quarantine, System
from intake.flows.judged_water import waters
from intake.flows.met import bath_counts, baths_of
from intake.flows.names import unknown
from intake.flows.quiet import quiet_hours
from intake.flows.salt_steps import reading_tasks
from intake.flows.temperatures import temperatures
from intake.science import quarantine as q
from intake.science.calendar import AHEAD_DAYS, Task, tasks
from intake.science.checks import Checks, checks
from intake.science.escalation import Alert, alerts
from intake.science.limits import allowed
from intake.science.mixing import TRACE
from intake.science.plan import Plan
from intake.science.problem import Problem, Unreadable


def plan_of(book: Book, running: Quarantine) -> Plan:
    """The plan as it was written when this quarantine began."""
    now = book.shelf.plans.get(running.plan)
    if now is not None and now.text == running.plan_text:
        return now
    return _parsed(running.plan, running.plan_text)


@lru_cache(maxsize=32)
def _parsed(name: str, text: str) -> Plan:
    # Kept, because every screen asks for the same few plans and YAML is slow to read.
    from intake.rules.shelf import parse_plan

    found = parse_plan(text, f"plans/{name}.yaml")
    if isinstance(found, Plan):
        return found
    raise Unreadable(*found)


def facts_of(book: Book, system: System) -> q.QuarantineFacts:
    """Everything known of the newest quarantine of a system."""
    running = system.quarantines[-1]
    facts = book.facts
    plan = plan_of(book, running)
    arrivals = tuple(_arrivals(book, system, running))
    since = min([running.at, *(a.at_utc for a in arrivals)])
    looks = tuple(_look(book, x) for x in system.looks if x.at >= since)
    return q.QuarantineFacts(
        system=system.name,
        start_entry=running.id,
        started_utc=running.at,
        plan=plan,
        time_zone=facts.time_zone,
        expected=date.fromisoformat(running.expected) if running.expected else None,
        quiet=quiet_hours(facts.settings.get("quiet", "")),
        arrivals=arrivals,
        contacts=tuple(
            q.Contact(c.at, c.entry, c.how, c.source) for c in system.contacts if c.at >= since
        ),
        looks=looks,
        deaths=tuple(_deaths(book, system, since)),
        slides=tuple(_slide(book, system, s) for s in system.slides if s.at >= since),
        doses=tuple(_doses(book, system, since)),
        night_drop_c=facts.night_drop_c,
        temperatures=tuple(temperatures(system, since)),
        waters=tuple(waters(book, system, since)),
        mixing_tests=tuple(_mixing(book, system, since)),
        recorded=tuple(q.Recorded(at, entry, kind) for entry, at, kind in system.recorded),
        settled=tuple(
            q.Settled(at, entry, about, choice, why)
            for entry, at, about, choice, why in system.settled
            if at >= since
        ),
        marked=tuple(
            q.Marked(at, entry, task, kind, why)
            for task, (entry, at, kind, why) in facts.marked.items()
            if task.startswith(f"{system.name}/{running.id}/")
        ),
        passed=tuple(
            q.Passed(at, entry, check, reason) for entry, at, check, reason in running.passed
        ),
        present=tuple(
            q.Occupant(a.name, a.count, a.stage) for a in facts.occupants(system.vessels)
        ),
        released_utc=running.released,
    )


def _name(book: Book, animal: int) -> str:
    thing = book.facts.things.get(animal)
    return thing.name if thing is not None else ""


def _arrivals(book: Book, system: System, running: Quarantine) -> Iterator[q.Arrival]:
    """Fish whose stay in this water reached into the quarantine."""
    for a in system.arrivals:
        animal = book.facts.things.get(a.animal)
        if not isinstance(animal, Animal):
            continue
        stays = [s for s in animal.stays if s.entry == a.entry]
        until = stays[-1].until if stays else None
        if until is None or until > running.at or a.at >= running.at:
            yield q.Arrival(a.at, a.entry, animal.name, a.count, a.source, a.mixing_test)


def _look(book: Book, look: LookFact) -> q.Look:
    return q.Look(
        look.at,
        look.entry,
        tuple(_name(book, a) for a in look.animals),
        tuple(_sign(book, sign, grade, look.affected) for sign, grade in look.signs),
        look.appetite,
        look.count,
    )


def _sign(book: Book, sign: str, grade: int, affected: int) -> q.SignSeen:
    known = book.shelf.signs.get(sign)
    if known is None:
        return q.SignSeen(sign, grade, affected=affected)
    return q.SignSeen(
        sign, grade, known.infectious, affected, known.group, known.nervous, known.grave
    )


def _deaths(book: Book, system: System, since: datetime) -> Iterator[q.Death]:
    for d in system.deaths:
        if d.at < since:
            continue
        animal = book.facts.things.get(d.animal)
        seen = [x for x in system.looks if d.animal in x.animals and x.at <= d.at]
        signs = book.shelf.signs
        grave = bool(seen) and any(
            sign in signs and signs[sign].grave and grade for sign, grade in seen[-1].signs
        )
        yield q.Death(
            d.at, d.entry, _name(book, d.animal), d.count, d.count_before,
            stage=animal.stage if isinstance(animal, Animal) else "adult", grave=grave,
        )  # fmt: skip


def _slide(book: Book, system: System, s: SlideFact) -> q.Slide:
    masked = _masks(book, system, s.at)
    return q.Slide(s.at, s.entry, _name(book, s.animal), s.found, s.fish, masked, s.site)


def _masks(book: Book, system: System, at: datetime) -> tuple[str, ...]:
    """Treatments in the water at that time that hide parasites from a slide."""
    from intake.flows.residues import ledger_of, level_of

    masking = []
    for name in dict.fromkeys(d.treatment for d in system.doses if d.at <= at):
        treatment = book.shelf.treatments.get(name)
        if treatment is None or not treatment.masks:
            continue
        unit = ledger_of(book, system, name).unit
        if not allowed(level_of(book, system, name, at).high, None, TRACE.get(unit, Decimal(0))):
            masking.append(name)
    return tuple(masking)


def _doses(book: Book, system: System, since: datetime) -> Iterator[q.DoseGiven]:
    for d in system.doses:
        if d.at < since:
            continue
        treatment = book.shelf.treatments.get(d.treatment)
        course = treatment.course(d.course) if treatment else None
        counts = treatment.counts_as(course) if treatment and course else "treatment"
        ended = ended_at(book, system, d, course)
        waits = wait_after(book, system, d.at)
        yield q.DoseGiven(d.at, d.entry, d.treatment, counts, ended, waits)
    yield from _bathed(book, system, since)


def _bathed(book: Book, system: System, since: datetime) -> Iterator[q.DoseGiven]:
    """The baths of the fish that are in this water now."""
    found = {b.id: b for a in book.facts.occupants(system.vessels) for b in baths_of(book, a)}
    for bath in found.values():
        if bath.since >= since:
            counts = bath_counts(book, bath)
            waits = wait_after(book, system, bath.since)
            yield q.DoseGiven(bath.since, bath.id, bath.treatment, counts, bath.until, waits)


def _mixing(book: Book, system: System, since: datetime) -> Iterator[q.MixingTest]:
    for a in system.arrivals:
        animal = book.facts.things.get(a.animal)
        if a.mixing_test and a.at >= since and isinstance(animal, Animal):
            stays = [s for s in animal.stays if s.entry == a.entry]
            until = stays[-1].until if stays else None
            yield q.MixingTest(a.at, a.entry, animal.name, a.count, until)


def checks_of(book: Book, system: System) -> Checks:
    """The release checks of the system's newest quarantine."""
    return checks(facts_of(book, system), book.now)


def own_tasks(book: Book, system: System) -> list[Task]:
    """What courses, tests and salt steps ask for, in a quarantine or not."""
    return [
        *dose_tasks(book, system),
        *ammonia_tasks(book, system),
        *reading_tasks(book, system),
    ]


def tasks_of(book: Book, system: System, to_date: date | None = None) -> tuple[Task, ...]:
    """The tasks of the system's newest quarantine and of the courses that run in its water."""
    until = to_date or local_date(book.now, book.facts.zone) + timedelta(days=AHEAD_DAYS)
    dosed = [
        t
        for t in own_tasks(book, system)
        if (t.state != "upcoming" or t.day <= until) and t.id not in book.facts.marked
    ]
    planned = tasks(facts_of(book, system), book.now, to_date) if system.quarantines else ()
    return tuple(sorted([*planned, *dosed], key=lambda t: (t.day, t.at)))


def alerts_of(book: Book, system: System) -> tuple[Alert, ...]:
    """What the record of the system's newest quarantine calls for."""
    return alerts(facts_of(book, system), book.now)


def with_tasks(book: Book) -> list[System]:
    """The systems whose quarantine or a course runs."""
    return [s for s in book.facts.waters() if s.quarantine is not None or own_tasks(book, s)]


def in_quarantine(book: Book) -> list[System]:
    """The systems whose quarantine runs."""
    return [s for s in book.facts.waters() if s.quarantine is not None]


def known_task(book: Book, text: str) -> str | Problem:
    """The task of that id, or a problem with the nearest open ones."""
    far = local_date(book.now, book.facts.zone) + timedelta(days=366)
    ids: list[str] = []
    for system in book.facts.waters():
        if not text.startswith(f"{system.name}/"):
            continue
        if text in {t.id for t in tasks_of(book, system, far)}:
            return text
        if system.quarantines and text.startswith(f"{system.name}/{system.quarantines[-1].id}/"):
            step, _, number = text.split("/", 2)[-1].rpartition("/")
            plan = plan_of(book, system.quarantines[-1])
            if plan.step(step) is not None and number.isdecimal():
                return text
    for system in with_tasks(book):
        ids += [t.id for t in tasks_of(book, system) if t.state in ("due", "overdue")]
    return unknown(text, dict.fromkeys(ids), "a task")
