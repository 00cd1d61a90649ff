"""Quarantines: the facts of a system handed to the calendar, the checks and the alerts."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.facts.things import Animal, LookFact, Quarantine, ReadingFact, System, Vessel
from intake.flows.names import unknown
from intake.flows.notes import Notes
from intake.science import quarantine as q
from intake.science.ammonia import nh3_n_mg_l
from intake.science.calendar import Task, tasks
from intake.science.checks import Checks, checks
from intake.science.counters import counters
from intake.science.escalation import Alert, alerts
from intake.science.limits import allowed
from intake.science.plan import Plan
from intake.science.problem import Problem, Unreadable


def plan_of(running: Quarantine) -> Plan:
    """The plan as it was written when this quarantine began."""
    from intake.rules.shelf import parse_plan

    found = parse_plan(running.plan_text, f"plans/{running.plan}.yaml")
    if isinstance(found, Plan):
        return found
    raise Unreadable(*found)


def facts_of(book: Book, system: System) -> q.QuarantineFacts:
    """Everything known of the newest quarantine of a system."""
    running = system.quarantines[-1]
    facts = book.facts
    plan = plan_of(running)
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
        quiet=_quiet(facts.settings.get("quiet", "")),
        arrivals=arrivals,
        contacts=tuple(
            q.Contact(c.at, c.entry, c.how, c.source) for c in system.contacts if c.at >= since
        ),
        looks=looks,
        deaths=tuple(_deaths(book, system, since)),
        slides=tuple(
            q.Slide(
                s.at, s.entry, _name(book, s.animal), s.found, masked_by=_masks(book, system, s.at)
            )
            for s in system.slides
            if s.at >= since
        ),
        doses=tuple(_doses(book, system, since)),
        temperatures=tuple(_temperatures(system, since)),
        waters=tuple(_waters(book, system, since)),
        mixing_tests=tuple(_mixing(book, system, since)),
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


def _quiet(text: str) -> tuple[time, time] | None:
    if not text:
        return None
    first, _, last = text.partition("-")
    return time(int(first) % 24), time(int(last) % 24)


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
        until = stays[0].until if stays else None
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
            explained=d.how == "killed-humanely",
            stage=animal.stage if isinstance(animal, Animal) else "adult", grave=grave,
        )  # fmt: skip


def _masks(book: Book, system: System, at: datetime) -> tuple[str, ...]:
    """Treatments in the water at that time that hide parasites from a slide."""
    from intake.flows.residues import level_of

    masking = []
    for name in dict.fromkeys(d.treatment for d in system.doses if d.at <= at):
        treatment = book.shelf.treatments.get(name)
        if treatment is None or not treatment.masks:
            continue
        if not allowed(Decimal(level_of(book, system, name, at).high), None, Decimal(0)):
            masking.append(name)
    return tuple(masking)


def _doses(book: Book, system: System, since: datetime) -> Iterator[q.DoseGiven]:
    for d in system.doses:
        if d.at < since:
            continue
        treatment = book.shelf.treatments.get(d.treatment)
        course = treatment.course(d.course) if treatment else None
        stopped = [
            s.at for s in system.stops if s.at >= d.at and s.treatment in (None, d.treatment)
        ]
        ended = min(stopped, default=None)
        if course is not None and course.duration_max_h is not None:
            longest = d.at + timedelta(hours=float(course.duration_max_h))
            ended = min(ended, longest) if ended else longest
        counts = treatment.counts_as(course) if treatment and course else "treatment"
        yield q.DoseGiven(d.at, d.entry, d.treatment, counts, ended)


def _temperatures(system: System, since: datetime) -> Iterator[q.Temperature]:
    by_entry: dict[int, list[ReadingFact]] = {}
    for r in system.history:
        if r.quantity in ("temp", "temp_min", "temp_max") and r.at >= since:
            by_entry.setdefault(r.entry, []).append(r)
    for entry, read in by_entry.items():
        values = [v for r in read for v in (r.value,) if v is not None]
        if values:
            yield q.Temperature(read[0].at, entry, min(values), max(values))


def _waters(book: Book, system: System, since: datetime) -> Iterator[q.WaterJudged]:
    """Every test of ammonia or nitrite against the targets of the youngest stage present."""
    by_entry: dict[int, dict[str, ReadingFact]] = {}
    known: dict[str, ReadingFact] = {}
    for r in system.history:
        known[r.quantity] = r
        if r.at >= since and r.quantity in ("tan", "no2", "ph"):
            by_entry.setdefault(r.entry, {}).update(known)
            by_entry[r.entry][r.quantity] = r
    stages = {a.stage for a in book.facts.occupants(system.vessels)} or {"adult"}
    for entry, read in by_entry.items():
        at = max(r.at for r in read.values() if r.entry == entry)
        judged, said = judge_water(book, read, stages)
        yield q.WaterJudged(at, entry, judged, said)


def nh3_high(read: dict[str, ReadingFact]) -> float | None:
    """NH3 [mg/L as N] at the harmful ends of TAN, pH and temperature, None if one is missing."""
    tan, ph, temp = read.get("tan"), read.get("ph"), read.get("temp")
    if tan is None or ph is None or temp is None:
        return None
    ends = [r.high if r.high is not None else r.value for r in (tan, ph, temp)]
    if None in ends:
        return None
    return nh3_n_mg_l(*(float(e) for e in ends if e is not None))


def judge_water(book: Book, read: dict[str, ReadingFact], stages: set[str]) -> tuple[str, str]:
    """ok, not or unknown, and what was off, against the strictest targets of these stages."""
    off, unsure = [], False
    nh3 = nh3_high(read)
    for quantity, value in (("nh3_n", nh3), ("no2", _top(read.get("no2")))):
        limits = [book.shelf.water.limit(s, quantity) for s in sorted(stages)]
        highs = [x.high for x in limits if x is not None and x.high is not None]
        if value is None or not highs:
            unsure = unsure or quantity == "nh3_n"
        elif not allowed(Decimal(repr(value)), None, min(highs)):
            off.append(f"{quantity} {value:.3g} over {min(highs)}")
    if off:
        return "not", "; ".join(off)
    return ("unknown", "TAN, pH or temperature not read") if unsure else ("ok", "")


def _top(reading: ReadingFact | None) -> float | None:
    if reading is None:
        return None
    return reading.high if reading.high is not None else reading.value


def _mixing(book: Book, system: System, since: datetime) -> Iterator[q.MixingTest]:
    for a in system.arrivals:
        animal = book.facts.things.get(a.animal)
        if a.mixing_test and a.at >= since and isinstance(animal, Animal):
            stays = [s for s in animal.stays if s.entry == a.entry]
            until = stays[0].until if stays else None
            yield q.MixingTest(a.at, a.entry, animal.name, a.count, until)


def checks_of(book: Book, system: System) -> Checks:
    """The release checks of the system's newest quarantine."""
    return checks(facts_of(book, system), book.now)


def tasks_of(book: Book, system: System, to_date: date | None = None) -> tuple[Task, ...]:
    """The tasks of the system's newest quarantine."""
    return tasks(facts_of(book, system), book.now, to_date)


def alerts_of(book: Book, system: System) -> tuple[Alert, ...]:
    """What the record of the system's newest quarantine calls for."""
    return alerts(facts_of(book, system), book.now)


def in_quarantine(book: Book) -> list[System]:
    """The systems whose quarantine runs."""
    return [s for s in book.facts.systems.values() if s.quarantine is not None]


def known_task(book: Book, text: str) -> str | Problem:
    """The task of that id, or a problem with the nearest open ones."""
    ids: list[str] = []
    for system in book.facts.systems.values():
        if system.quarantines and text.startswith(f"{system.name}/{system.quarantines[-1].id}/"):
            far = local_date(book.now, book.facts.zone) + timedelta(days=366)
            ids += [t.id for t in tasks_of(book, system, far)]
            step, _, number = text.split("/", 2)[-1].rpartition("/")
            plan = plan_of(system.quarantines[-1])
            if text in ids or (plan.step(step) is not None and number.isdecimal()):
                return text
    for system in in_quarantine(book):
        ids += [t.id for t in tasks_of(book, system) if t.state in ("due", "overdue")]
    return unknown(text, dict.fromkeys(ids), "a task")


NOT_SEEN_YET = "new fish may carry what is not seen yet"


def drags_in(
    book: Book,
    vessel: Vessel,
    source: str,
    notes: Notes,
    *,
    moving: Animal | None = None,
    box: int = 0,
) -> list[dict[str, Any]]:
    """Which clocks, dates and fish it drags in when fish go into this vessel now.

    Fish of the same shipment met each other before they came: they drag nothing in.
    """
    facts = book.facts
    system = facts.system_of(vessel)
    found = []
    here = [
        a
        for a in facts.occupants(system.vessels)
        if (moving is None or a.id != moving.id) and not _together(book, a, box)
    ]
    if system.quarantine is not None and here:
        found.append(_restarted(book, system, source, notes))
    came_from = facts.system_of(facts.vessel(moving.vessel)) if moving and moving.vessel else None
    unreleased = came_from is not None and came_from.quarantine is not None
    if came_from is not None and came_from.id == system.id:
        return []
    if system.quarantine is None and here and (unreleased or moving is None):
        fish = sum(a.count for a in here)
        what = f"{fish} fish in {vessel.name} share water with {source or 'new fish'}"
        because = (
            f"{source} is not released yet"
            if unreleased
            else "new fish carry what is not seen yet"
        )
        found.append({"system": system.name, "what": what, "because": because})
        notes.because.append(f"{what}: {because}; start a quarantine on {system.name}")
    return found


def _together(book: Book, animal: Animal, box: int) -> bool:
    facts = book.facts
    if not box or not animal.box or len(animal.stays) > 1:
        return False
    return facts.box(animal.box).shipment == facts.box(box).shipment


def _restarted(book: Book, system: System, source: str, notes: Notes) -> dict[str, Any]:
    known = facts_of(book, system)
    before = checks(known, book.now)
    today = local_date(book.now, book.facts.zone)
    day_0 = counters(known, book.now).day_0
    served = today + timedelta(known.plan.days)
    was = before.earliest_release
    fish = sum(o.count for o in known.present)
    release = max(served, was) if was else served
    what = (
        f"day 0 moves from {day_0} to {today}, earliest release from {was} to {release}, "
        f"for the {fish} fish already there"
    )
    because = f"fish from {source or 'elsewhere'} go into the same water"
    notes.because.append(f"{system.name}: {what}: {because}")
    return {
        "system": system.name,
        "what": what,
        "because": because,
        "day_0_was": str(day_0),
        "day_0": str(today),
        "earliest_release_was": str(was),
        "earliest_release": str(release),
    }
