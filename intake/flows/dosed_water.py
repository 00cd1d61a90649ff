"""What the room knows of the water a dose goes into, and of the fish that will meet it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from decimal import Decimal

from intake.flows.bottles import NOTHING_NAMED, Wanted, bottle_for, strength_in
from intake.flows.desk import Book
from intake.flows.directions import directed_here, not_in_force, of_drug
from intake.flows.facts.things import Animal, ReadingFact, System
from intake.flows.facts.volumes import at_line
from intake.flows.facts.volumes import water_of as water_in
from intake.flows.kits import reading_doubt
from intake.flows.line_words import asked_again, old_lines
from intake.flows.met import last_met, recently_met
from intake.flows.notes import Notes
from intake.flows.quiet import attended
from intake.flows.residues import SALT, level_met, level_of, substances
from intake.flows.running import run_of, still_runs
from intake.flows.tried import tried
from intake.science.band import Ends, as_nitrite
from intake.science.conditions import Reading
from intake.science.course_settled import by_vet
from intake.science.dose import DoseRequest, WaterVolume
from intake.science.ledger import Changed, Flushed, Joined, Residue
from intake.science.mixing import Present, Recent
from intake.science.problem import Problem
from intake.science.treatment import Course, Treatment
from intake.science.volume.notes import NO_SUMP


def water_of(book: Book, system: System) -> WaterVolume:
    """All water of a system at today's lines."""
    each = water_in(system, [book.facts.vessel(v) for v in system.vessels])
    volume, low, high = (Decimal(repr(round(x, 9))) for x in each)
    return WaterVolume(volume, low, high)


def room_request(
    book: Book,
    system: System,
    base: DoseRequest,
    course: Course,
    notes: Notes,
    wanted: Wanted = NOTHING_NAMED,
) -> DoseRequest:
    """A request with everything the room knows of this water and the fish in it."""
    treatment, now = base.treatment, base.now_utc
    animals = book.facts.occupants(system.vessels)
    direction = directed_here(book, system, treatment, course, now, wanted.drug, notes)
    if direction is not None:
        course = by_vet(course, direction)
        wanted = replace(wanted, drug=direction.drug)
    system = of_drug(system, treatment, wanted.drug)
    bottle = bottle_for(book, treatment, wanted, now, notes)
    _say_of_water(book, system, course, now, notes)
    run = run_of(system, treatment.id, course, now)
    run = run if still_runs(system, run, course, now) else []
    request = replace(
        _met_by(book, system, base, animals),
        treatment=replace(treatment, title=wanted.drug or treatment.title),
        already=_already(book, system, treatment, course, now, notes),
        bottle=None if bottle is None else strength_in(treatment, bottle),
        bottle_entry=0 if bottle is None else bottle.id,
        last_dose_utc=_last_dose(book, system, treatment.id, now, wanted.drug),
        first_dose_utc=run[0].at if run else None,
        doses_given=len(run),
        direction=direction,
        undirected=not_in_force(book, system, treatment, course, now),
    )
    return attended(book, request, course, notes)


def _say_of_water(book: Book, system: System, course: Course, now: datetime, notes: Notes) -> None:
    """What is taken for granted of this water, and what should be looked at again."""
    vessels = [book.facts.vessel(v) for v in system.vessels]
    for v in vessels:
        doubt = at_line(v)
        if not isinstance(doubt, Problem):
            left_out = {*notes.assumptions, *([NO_SUMP] if system.connected else [])}
            notes.assumptions += [a for a in doubt.assumptions if a not in left_out]
    if course.unit.endswith("/L"):
        for line in old_lines(book, vessels, now):
            notes.warn("volume-doubtful", asked_again(line))
    _not_trusted(book, system, course, notes)


def _met_by(book: Book, system: System, base: DoseRequest, animals: list[Animal]) -> DoseRequest:
    """The request with the water and everything alive that the dose meets there."""
    now, name = base.now_utc, base.treatment.id
    others = [s for s in substances(book, system, now) if s.treatment != name]
    masses = [a.mass_g * a.count for a in animals if a.mass_g is not None]
    own = [d for d in system.doses if d.treatment == name and d.at <= now]
    return replace(
        base,
        volume=water_of(book, system),
        fish_mass_g=Decimal(repr(sum(masses))) if masses and len(masses) == len(animals) else None,
        readings=readings_of(book, system),
        stages=stages_of(book, system),
        kinds=tuple(sorted({a.variety for a in animals if a.variety})),
        present=tuple(Present(s.treatment, Decimal(repr(s.level.high)), s.unit) for s in others),
        recent=tuple(recent_of(book, system, animals, name, now)),
        replaces=_replaces(system, own[-1].at if own else None, now),
        reaches=tuple(book.facts.vessel(v).name for v in system.vessels),
        tried=tried(book, animals, name, now) if animals else None,
    )


def _already(
    book: Book, system: System, treatment: Treatment, course: Course, now: datetime, notes: Notes
) -> Residue | None:
    """What is left of it in this water; None where nothing goes into the water."""
    if not course.unit.endswith("/L"):
        return None
    level = level_met(book, system, treatment.id, now, course.unit)
    _salt_read(book, system, treatment, level, notes)
    return level


def _not_trusted(book: Book, system: System, course: Course, notes: Notes) -> None:
    """Says it where the course rests on a reading of a kit past its date or fooled."""
    vessels = [book.facts.vessel(v) for v in system.vessels]
    for condition in course.conditions:
        name = condition.quantity
        for reading in (system.readings.get(name), *(v.readings.get(name) for v in vessels)):
            doubt = reading_doubt(book, system, reading)
            if doubt is not None:
                notes.warn(doubt[0], f"{name}: {doubt[1]}")


STAGE_OF_ZONE = {"eggs": "eggs", "fry": "fry"}
"""What lives in a vessel of such a zone, recorded or not: brood is not counted fish by fish, and
fish that were put in with it do not take it out. A vessel that has none any more changes zone."""


def stages_of(book: Book, system: System) -> tuple[str, ...]:
    """The stages of everything alive in this water."""
    stages = {a.stage for a in book.facts.occupants(system.vessels)}
    zones = (book.facts.vessel(v).zone for v in system.vessels)
    return tuple(sorted(stages | {STAGE_OF_ZONE[z] for z in zones if z in STAGE_OF_ZONE}))


def _salt_read(
    book: Book, system: System, treatment: Treatment, met: Residue, notes: Notes
) -> None:
    """Says it where a meter or the tap tells of more salt than was dosed."""
    dosed = level_of(book, system, treatment.id, book.now)
    if treatment.id == SALT and met.high > dosed.high:
        notes.assume("salt read in this water or in the tap's counts as there already")


def readings_of(book: Book, system: System) -> dict[str, Reading]:
    """The newest readings of a system: dissolved ones shared, the vessels' own the harmful way."""
    found = {n: _reading(r) for n, r in system.readings.items()}
    vessels = [book.facts.vessel(v) for v in system.vessels]
    alive = [v for v in vessels if v.zone in STAGE_OF_ZONE or book.facts.occupants([v.id])]
    lived_in = alive or vessels
    for name in ("temp", "oxygen"):
        own = [v.readings[name] for v in lived_in if name in v.readings]
        if len(own) == len(lived_in):  # a vessel nobody read may be the one that is harmed
            oldest = min(r.at for r in own)
            lows = [r.low for r in own]
            highs = [r.high for r in own]
            low = None if None in lows else min(x for x in lows if x is not None)
            high = None if None in highs else max(x for x in highs if x is not None)
            found[name] = Reading(_decimal(own[0].value), _decimal(low), _decimal(high), oldest)
    return found


def _reading(r: ReadingFact) -> Reading:
    if r.quantity == "no2" and r.value is not None:
        ends = as_nitrite(Ends(r.low, r.value, r.high), r.unit)
        return Reading(_decimal(ends.value), _decimal(ends.low), _decimal(ends.high), r.at)
    return Reading(_decimal(r.value), _decimal(r.low), _decimal(r.high), r.at)


def _decimal(value: float | None) -> Decimal | None:
    return None if value is None else Decimal(repr(value))


def _replaces(system: System, last: datetime | None, now: datetime) -> bool:
    """Whether water was changed since the last dose, so that a dose puts back what went out."""
    return last is not None and any(
        isinstance(w.event, Changed | Flushed | Joined) and last <= w.event.at_utc <= now
        for w in system.water
    )


def recent_of(
    book: Book, system: System, animals: list[Animal], own: str, now: datetime
) -> list[Recent]:
    """Other treatments this water, or the fish now in it, met before now."""
    found = [
        Recent(d.treatment, d.at, system.name)
        for d in system.doses
        if d.treatment != own and d.at <= now
    ]
    return list(dict.fromkeys([*found, *recently_met(book, animals, own, now)]))


def _last_dose(book: Book, system: System, name: str, now: datetime, drug: str) -> datetime | None:
    """The last dose of a treatment that this water or its fish met, of a vet's `drug`."""
    times = [d.at for d in system.doses if d.treatment == name and d.at <= now]
    animals = book.facts.occupants(system.vessels)
    return max([*times, *last_met(book, animals, name, now, drug)], default=None)
