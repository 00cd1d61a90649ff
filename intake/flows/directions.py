"""What a vet directed, where it holds: for its treatment, its days and its fish alone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from intake.flows.desk import Book
from intake.flows.facts.baths import Bath
from intake.flows.facts.happened import DirectionFact, DoseFact
from intake.flows.facts.things import Animal, System
from intake.flows.notes import Notes
from intake.science.course_settled import by_vet
from intake.science.dose import Direction
from intake.science.drug_names import plain_name
from intake.science.problem import Refused
from intake.science.text import quoted
from intake.science.treatment import Course, Treatment

VET_DIRECTED = "vet-directed"
"""The treatment that doses any drug a vet names, from the vet's own figures."""


def directed_here(
    book: Book,
    system: System,
    treatment: Treatment,
    course: Course,
    now: datetime,
    drug: str,
    notes: Notes,
    fish: Sequence[Animal] = (),
) -> Direction | None:
    """The newest direction in force for that course there, or for `fish` taken out; else None.

    Of several drugs dosed through one treatment, the one named; notes say it where none was.
    """
    held = _held(book, system, treatment, course, now, fish)
    drugs = list(dict.fromkeys(d.drug for d in held))
    if treatment.id == VET_DIRECTED and len(drugs) > 1:
        text = f"several drugs are directed for this water: {', '.join(drugs)}"
        notes.warn("other-drug", f"{text}; ask the vet about them together, --drug picks one")
    meant = [d for d in held if not drug or plain_name(drug) == plain_name(d.drug)]
    return as_direction(book, meant[-1]) if meant else None


def course_directed(
    book: Book, system: System, treatment: Treatment, now: datetime, drug: str
) -> str | None:
    """The course of the newest direction in force there, of those whose targets a vet gives."""
    held = [
        d
        for course in treatment.courses
        if course.by_vet
        for d in _held(book, system, treatment, course, now)
        if not drug or plain_name(drug) == plain_name(d.drug)
    ]
    return max(held, key=lambda d: (d.at, d.entry)).course if held else None


def direction_keys(direction: Direction | None) -> dict[str, Any] | None:
    """A direction as an answer names it."""
    if direction is None:
        return None
    return {
        "entry": direction.entry,
        "vet": direction.vet,
        "said_on": direction.said_on,
        "words": direction.words,
        "drug": direction.drug or None,
        "target": None if direction.target is None else float(direction.target),
    }


def _held(
    book: Book,
    system: System,
    treatment: Treatment,
    course: Course,
    now: datetime,
    fish: Sequence[Animal] = (),
) -> list[DirectionFact]:
    """Every direction in force for that course there, or for `fish` taken out, newest last."""
    animals = fish or book.facts.occupants(system.vessels)
    return [
        d
        for d in book.facts.directions
        if d.treatment == treatment.id
        and d.course == course.name
        and in_force(d, now)
        and _covers(book, d, system, animals)
    ]


def typed_by_drug(typed: Mapping[str, Any], book: Book | None) -> Mapping[str, Any]:
    """What was typed, with a drug's own name in the treatment's place put where it belongs."""
    name = str(typed["treatment"])
    if book is None:
        return typed
    known = book.shelf.treatments.get(name)
    if known is not None and known.courses:
        return typed
    named = [d.drug for d in book.facts.directions if plain_name(d.drug) == plain_name(name)]
    return {**typed, "treatment": VET_DIRECTED, "drug": named[-1]} if named else typed


def undirected_drug(name: str) -> Refused:
    """The refusal of an antibiotic that no vet directed."""
    return Refused(
        "vet-only",
        f"{quoted(name)} is given on a vet's direction only, and no dose of it is kept here",
        source=f"protocol {VET_DIRECTED}",
        way_out="ask a vet, and record the words with: intake record direction --treatment "
        f"{plain_name(name)}; then dose it as {VET_DIRECTED} in that vessel",
    )


def of_drug(system: System, treatment: Treatment, drug: str) -> System:
    """A water as one of a vet's drugs sees it: without the doses of any other of them."""
    if not drug:
        return system
    others = treatment.id
    doses = [d for d in system.doses if d.treatment != others or is_of(d, others, drug)]
    return replace(system, doses=doses)


def is_of(dose: DoseFact | Bath, treatment: str, drug: str) -> bool:
    """Whether a dose was of that treatment, and of that drug where it names one."""
    if dose.treatment != treatment:
        return False
    return not drug or not dose.drug or plain_name(dose.drug) == plain_name(drug)


def not_in_force(
    book: Book,
    system: System,
    treatment: Treatment,
    course: Course,
    now: datetime,
    fish: Sequence[Animal] = (),
) -> str:
    """Why the newest direction for that treatment does not hold in that water; else nothing."""
    if _held(book, system, treatment, course, now, fish):
        return ""
    recorded = [d for d in book.facts.directions if d.treatment == treatment.id and d.at <= now]
    if not recorded:
        return ""
    last = recorded[-1]
    whose = f"{last.vet}'s direction of {book.facts.local(last.at)}"
    if not in_force(last, now):
        return f"{whose} ended {book.facts.local(last.until)}"
    if last.course != course.name:
        return f"{whose} is for the course {last.course}"
    return f"{whose} is for {last.subject_name} alone, and this dose reaches others"


def in_force(direction: DirectionFact, now: datetime) -> bool:
    """Whether a direction holds at that time."""
    return direction.at <= now < direction.until


def _covers(book: Book, d: DirectionFact, system: System, animals: Iterable[Animal]) -> bool:
    """Whether everything the dose reaches is what the vet spoke of."""
    if d.subject_kind in ("fish", "group"):
        living = list(animals)
        return bool(living) and all(_is_of(book, a, d.subject) for a in living)
    if d.subject_kind == "vessel":
        return system.vessels == [d.subject]
    return not d.subject or d.subject == system.id


def _is_of(book: Book, animal: Animal, subject: int) -> bool:
    """Whether an animal is the one meant, or was taken out of the group that is."""
    number = animal.id
    while number and number != subject:
        number = book.facts.animal(number).came_of
    return number == subject


def as_directed(book: Book, dose: DoseFact, course: Course) -> Course:
    """The course of a dose with the figures of the direction it rests on."""
    rests_on = (d for d in book.facts.directions if d.entry == dose.direction)
    found = next(rests_on, None)
    return course if found is None else by_vet(course, as_direction(book, found))


def as_direction(book: Book, d: DirectionFact) -> Direction:
    """A recorded direction in the science's own shape."""
    return Direction(
        vet=d.vet,
        words=d.words,
        treatment=d.treatment,
        target=Decimal(d.target),
        course=d.course,
        drug=d.drug if d.treatment == VET_DIRECTED else "",
        said_on=book.facts.local(d.at),
        every_h=None if d.every_h is None else Decimal(repr(d.every_h)),
        lasts_h=Decimal((d.until - d.at) // timedelta(hours=1)),
        entry=d.entry,
    )
