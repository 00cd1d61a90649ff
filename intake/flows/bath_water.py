"""A bath as a dose: the bucket's water, and everything the room knows of the fish in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from decimal import Decimal

from intake.flows.bottles import Wanted, bottle_for, strength_in
from intake.flows.desk import Book
from intake.flows.directions import directed_here, not_in_force
from intake.flows.facts.things import Animal
from intake.flows.met import baths_of, last_met, recently_met
from intake.flows.names import unknown
from intake.flows.notes import Notes
from intake.flows.quiet import attended
from intake.flows.residues import substances
from intake.flows.running import BREAK_TIMES
from intake.flows.tried import tried
from intake.science.conditions import Reading
from intake.science.course_settled import by_vet
from intake.science.dose import DoseRequest, WaterVolume
from intake.science.mixing import Present, Recent
from intake.science.problem import Refused, Unreadable
from intake.science.treatment import Course, Treatment

ROUTES = ("bath", "dip")
BUCKET = "bucket"
"""What the water of a bath is called where a dose names what it reaches."""

Bathed = Sequence[tuple[Animal, int]]
"""The fish of a bath: each with how many of it are in."""


def routes_for(fish: Bathed) -> tuple[str, ...]:
    """The routes a bath of these may be of; only a course for eggs bathes eggs."""
    return ("eggs",) if all(a.stage == "eggs" for a, _ in fish) else ROUTES


def bath_course(treatment: Treatment, name: str | None, fish: Bathed) -> Course:
    """The course of that name, or the first that is a bath.

    Raises
    ------
    Unreadable
        There is no course of that name.
    Refused
        ``wrong-route``: it is no bath.
    """
    routes = routes_for(fish)
    named = treatment.course(name) if name else None
    if name and named is None:
        names = [c.name for c in treatment.courses]
        raise Unreadable(unknown(name, names, "a course of it").placed("--course"))
    course = named or next((c for c in treatment.courses if c.route in routes), None)
    if course is not None and course.route in routes:
        return course
    what = f"the course {course.name} of" if course else "no course of"
    baths = [c.name for c in treatment.courses if c.route in routes]
    raise Refused(
        "wrong-route",
        f"{what} {treatment.title} is {'no' if course else 'a'} bath for these fish",
        source=f"protocol {treatment.id} {treatment.version}",
        way_out=f"--course {' or '.join(baths)}" if baths else "intake dose works out the others",
    )


def bath_request(
    book: Book,
    base: DoseRequest,
    course: Course,
    fish: Bathed,
    volume: WaterVolume,
    readings: Mapping[str, Reading],
    notes: Notes,
    wanted: Wanted,
) -> DoseRequest:
    """The request of a bath: its own water, and what these fish are and met before."""
    now, treatment = base.now_utc, base.treatment
    animals = [a for a, _ in fish]
    masses = [Decimal(repr(a.mass_g)) * n for a, n in fish if a.mass_g is not None]
    systems = {
        s.id: s for a in animals for s in [book.facts.system_of(book.facts.vessel(a.vessel))]
    }
    one = next(iter(systems.values())) if len(systems) == 1 else None
    alone = sum(n for _, n in fish) == 1  # this one is the trial
    direction = None
    if one is not None:
        direction = directed_here(book, one, treatment, course, now, wanted.drug, notes, animals)
    if direction is not None:
        wanted = replace(wanted, drug=direction.drug)
        course = by_vet(course, direction)
    bottle = bottle_for(book, treatment, wanted, now, notes)
    run = _run(book, animals, treatment, course, now)
    last = max(last_met(book, animals, treatment.id, now, wanted.drug), default=None)
    request = replace(
        base,
        treatment=replace(treatment, title=wanted.drug or treatment.title),
        volume=volume,
        fish_mass_g=sum(masses, Decimal(0)) if len(masses) == len(animals) else None,
        bottle=None if bottle is None else strength_in(treatment, bottle),
        bottle_entry=0 if bottle is None else bottle.id,
        readings=readings,
        stages=tuple(sorted({a.stage for a in animals})),
        kinds=tuple(sorted({a.variety for a in animals if a.variety})),
        present=_carried(book, animals, treatment.id, now),
        recent=tuple(recently_met(book, animals, treatment.id, now)),
        last_dose_utc=last,
        first_dose_utc=run[0] if run else None,
        doses_given=len(run),
        reaches=(BUCKET,),
        tried=None if alone else tried(book, animals, treatment.id, now),
        direction=direction,
        undirected=not_in_force(book, one, treatment, course, now, animals) if one else "",
    )
    return attended(book, request, course, notes)


def beside_later_met(book: Book, fish: Bathed, request: DoseRequest) -> DoseRequest:
    """The request with what these fish met after it: as far from it as it is from them."""
    now, own = request.now_utc, request.treatment.id
    animals = [a for a, _ in fish]
    later = [r for r in recently_met(book, animals, own, book.now) if r.at_utc > now]
    times = [at for at in last_met(book, animals, own, book.now) if at > now]
    mirrored = [Recent(r.treatment, now - (r.at_utc - now), r.where) for r in later]
    lasts = [now - (at - now) for at in times]
    if request.last_dose_utc is not None:
        lasts.append(request.last_dose_utc)
    last = max(lasts, default=None)
    return replace(request, last_dose_utc=last, recent=(*request.recent, *mirrored))


def _carried(
    book: Book, animals: Sequence[Animal], own: str, now: datetime
) -> tuple[Present, ...]:
    """What is in the water the fish come out of: it may be the bath's own, and clings to them."""
    systems = {book.facts.vessel(a.vessel).system for a in animals if a.vessel}
    found = [s for n in systems for s in substances(book, book.facts.systems[n], now)]
    return tuple(
        Present(s.treatment, Decimal(repr(s.level.high)), s.unit)
        for s in found
        if s.treatment != own
    )


def _run(
    book: Book, animals: Sequence[Animal], treatment: Treatment, course: Course, now: datetime
) -> list[datetime]:
    """When the baths of the course that runs began, of the fish that had most of them."""
    longest: list[datetime] = []
    if course.repeat is None:
        return longest
    break_h = float(course.repeat.every_h) * BREAK_TIMES
    for animal in animals:
        run: list[datetime] = []
        for bath in sorted(baths_of(book, animal), key=lambda b: b.since):
            if (bath.treatment, bath.course) != (treatment.id, course.name) or bath.since > now:
                continue
            if run and (bath.since - run[-1]).total_seconds() > break_h * 3600:
                run = []
            run.append(bath.since)
        if run and (now - run[-1]).total_seconds() > break_h * 3600:
            run = []
        longest = max(longest, run, key=len)
    return longest
