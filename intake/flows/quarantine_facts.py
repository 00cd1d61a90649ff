"""What the journal says of one quarantine, as the calendar, the checks and the alerts take it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache
from typing import TypeVar

from intake.flows.desk import Book
from intake.flows.dose_ends import ended_at, wait_after
from intake.flows.facts.happened import LookFact
from intake.flows.facts.quarantining import Quarantine
from intake.flows.facts.things import Animal, System
from intake.flows.judged_water import waters
from intake.flows.met import bath_counts, baths_of
from intake.flows.own_clock import (
    Moment,
    Span,
    arrivals_in,
    emptied_at,
    quarantine_at,
    spans,
)
from intake.flows.preventives import chosen
from intake.flows.quiet import quiet_hours
from intake.flows.readiness import conditions, expected_of, readiness
from intake.flows.temperatures import placed, temperatures
from intake.science import quarantine as q
from intake.science.counters import counters
from intake.science.limits import allowed
from intake.science.mixing import TRACE
from intake.science.plan import Plan
from intake.science.problem import Unreadable

T = TypeVar("T")


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


def facts_of(book: Book, system: System, running: Quarantine | None = None) -> q.QuarantineFacts:
    """Everything known of the newest quarantine of a system, or of the one named."""
    return _facts(book, system, running or system.quarantines[-1], None)


def fish_facts(book: Book, animal: Animal) -> q.QuarantineFacts:
    """What is known of one fish or group in the newest quarantine of the water it is in.

    The days, the slides and the water are those of all that live there; what it ate and the baths
    it was in are its own.
    """
    system = book.facts.system_of(book.facts.vessel(animal.vessel))
    known = facts_of(book, system)
    looks = [x if animal.name in x.subjects else replace(x, appetite="") for x in known.looks]
    others = [a for a in book.facts.occupants(system.vessels) if a.id != animal.id]
    theirs = {b.id for a in others for b in baths_of(book, a)}
    theirs -= {b.id for b in baths_of(book, animal)}
    return replace(
        known,
        present=(q.Occupant(animal.name, animal.count, animal.stage),),
        looks=tuple(looks),
        doses=tuple(d for d in known.doses if d.entry not in theirs),
    )


def _facts(
    book: Book, system: System, running: Quarantine, until: Moment | None
) -> q.QuarantineFacts:
    """What is known of one quarantine, of what happened before `until` only (None: all of it)."""
    facts = book.facts
    parts = spans(book, system, running, until)
    here = parts[-1]

    def each(of: Callable[[Book, Span], Iterable[T]]) -> tuple[T, ...]:
        return tuple(x for part in parts for x in of(book, part))

    head = f"{system.name}/{running.id}/"
    plan, doses = plan_of(book, running), each(_doses)
    crossing = book.shelf.water.acclimation()
    return q.QuarantineFacts(
        system=system.name,
        start_entry=running.id,
        started_utc=running.at,
        plan=plan,
        time_zone=facts.time_zone,
        expected=date.fromisoformat(running.expected) if running.expected else None,
        quiet=quiet_hours(facts.settings.get("quiet", "")),
        arrivals=each(_arrivals),
        carried=tuple(_carried(book, here)),
        contacts=each(_contacts),
        looks=each(_looks),
        deaths=each(_deaths),
        slides=each(_slides),
        doses=doses,
        night_drop_c=facts.night_drop_c,
        temperatures=each(_temperatures),
        placed=each(_placed),
        step_c=crossing.temp_step_c,
        drop_c=crossing.temp_drop_c,
        waters=each(_waters),
        mixing_tests=each(_mixing),
        recorded=tuple(
            q.Recorded(at, entry, kind)
            for entry, at, kind in system.recorded
            if here.over(at, entry) or at < here.since
        ),
        settled=each(_settled),
        marked=tuple(
            q.Marked(at, entry, task, kind, why)
            for task, (entry, at, kind, why) in facts.marked.items()
            if task.startswith(head)
        ),
        passed=tuple(
            q.Passed(at, entry, check, reason) for entry, at, check, reason in running.passed
        ),
        present=tuple(
            q.Occupant(a.name, a.count, a.stage) for a in facts.occupants(system.vessels)
        ),
        released_utc=running.released or _left_at(book, here),
        ready=() if until else readiness(book, system, plan, expected_of(running)),
        met=() if until else conditions(book, system, plan, doses),
        preventive=chosen(book, system, running, plan),
    )


def _left_at(book: Book, span: Span) -> datetime | None:
    """When the last fish left the water; what runs on is closed from then on."""
    return emptied_at(book, span.system, span.running) if span.until is None else None


def _name(book: Book, animal: int) -> str:
    thing = book.facts.things.get(animal)
    return thing.name if thing is not None else ""


def _arrivals(book: Book, span: Span) -> Iterator[q.Arrival]:
    """Fish whose stay in this water reached into the quarantine."""
    began = span.running.id if span.running.carried else 0
    for a in arrivals_in(book, span):
        along = a.along or a.entry == began
        name = _name(book, a.animal)
        yield q.Arrival(a.at, a.entry, name, a.count, a.source, a.mixing_test, along)


def _carried(book: Book, span: Span) -> Iterator[q.Carried]:
    """The days that fish brought which came out of other waters in quarantine, not released."""
    for a in span.of(span.system.arrivals):
        home = book.facts.systems.get(a.unreleased)
        theirs = quarantine_at(home, a.at, a.entry) if home else None
        if home is None or theirs is None or a.along or a.entry == span.running.id:
            continue
        known = _facts(book, home, theirs, (a.at, a.entry))
        served = counters(known, a.at).would_serve_from
        if served is not None:
            plan = known.plan
            name = _name(book, a.animal)
            yield q.Carried(a.at, a.entry, name, served, plan.days, plan.id)


def _contacts(book: Book, span: Span) -> Iterator[q.Contact]:  # noqa: ARG001
    return (q.Contact(c.at, c.entry, c.how, c.source) for c in span.of(span.system.contacts))


def _looks(book: Book, span: Span) -> Iterator[q.Look]:
    return (_look(book, x) for x in span.of(span.system.looks))


def _slides(book: Book, span: Span) -> Iterator[q.Slide]:
    for s in span.of(span.system.slides):
        masked = _masks(book, span.system, s.at)
        yield q.Slide(s.at, s.entry, _name(book, s.animal), s.found, s.fish, masked, s.site)


def _waters(book: Book, span: Span) -> Iterator[q.WaterJudged]:
    return (w for w in waters(book, span.system, span.since) if span.over(w.at_utc, w.entry))


def _settled(book: Book, span: Span) -> Iterator[q.Settled]:  # noqa: ARG001
    for entry, at, about, choice, why in span.system.settled:
        if span.over(at, entry):
            yield q.Settled(at, entry, about, choice, why)


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


def _deaths(book: Book, span: Span) -> Iterator[q.Death]:
    signs = book.shelf.signs
    for d in span.of(span.system.deaths):
        seen = [x for x in span.system.looks if d.animal in x.animals and x.at <= d.at]
        grave = bool(seen) and any(
            sign in signs and signs[sign].grave and grade for sign, grade in seen[-1].signs
        )
        yield q.Death(
            d.at, d.entry, _name(book, d.animal), d.count, d.count_before,
            stage=d.stage, grave=grave,
        )  # fmt: skip


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


def _doses(book: Book, span: Span) -> Iterator[q.DoseGiven]:
    system = span.system
    for d in span.of(system.doses):
        treatment = book.shelf.treatments.get(d.treatment)
        course = treatment.course(d.course) if treatment else None
        counts = treatment.counts_as(course) if treatment and course else "treatment"
        ended = span.end(ended_at(book, system, d, course))
        waits = wait_after(book, system, d.at, ended)
        yield q.DoseGiven(d.at, d.entry, d.treatment, counts, ended, waits)
    if span.until is None:
        yield from _bathed(book, system, span.since)


def _bathed(book: Book, system: System, since: datetime) -> Iterator[q.DoseGiven]:
    """The baths of the fish that are in this water now."""
    found = {b.id: b for a in book.facts.occupants(system.vessels) for b in baths_of(book, a)}
    for bath in found.values():
        if bath.since >= since:
            counts = bath_counts(book, bath)
            waits = wait_after(book, system, bath.since, bath.until)
            yield q.DoseGiven(bath.since, bath.id, bath.treatment, counts, bath.until, waits)


def _temperatures(book: Book, span: Span) -> Iterator[q.Temperature]:  # noqa: ARG001
    found = temperatures(span.system, span.since)
    return (t for t in found if span.over(t.at_utc, t.entry))


def _placed(book: Book, span: Span) -> Iterator[q.Placed]:
    return placed(book, span.system, span.of(span.system.arrivals))


def _mixing(book: Book, span: Span) -> Iterator[q.MixingTest]:
    for a in span.of(span.system.arrivals):
        animal = book.facts.things.get(a.animal)
        if a.mixing_test and isinstance(animal, Animal):
            stays = [s for s in animal.stays if s.entry == a.entry]
            until = span.end(stays[-1].until if stays else None)
            yield q.MixingTest(a.at, a.entry, animal.name, a.count, until)
