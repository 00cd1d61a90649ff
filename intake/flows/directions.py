"""What a vet directed, where it holds: for its treatment, its days and its fish alone."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from decimal import Decimal

from intake.flows.desk import Book
from intake.flows.facts.happened import DirectionFact
from intake.flows.facts.things import Animal, System
from intake.science.dose import Direction
from intake.science.treatment import Course, Treatment

VET_DIRECTED = "vet-directed"
"""The treatment that doses any drug a vet names, from the vet's own figures."""


def direction_for(
    book: Book, system: System, treatment: Treatment, course: Course, now: datetime
) -> Direction | None:
    """The newest direction in force for that course in that water; None where none holds."""
    animals = book.facts.occupants(system.vessels)
    held = [
        d
        for d in book.facts.directions
        if d.treatment == treatment.id
        and d.course == course.name
        and in_force(d, now)
        and _covers(book, d, system, animals)
    ]
    return as_direction(book, held[-1]) if held else None


def not_in_force(
    book: Book, system: System, treatment: Treatment, course: Course, now: datetime
) -> str:
    """Why the newest direction for that treatment does not hold in that water; else nothing."""
    if direction_for(book, system, treatment, course, now) is not None:
        return ""
    recorded = [d for d in book.facts.directions if d.treatment == treatment.id and d.at <= now]
    if not recorded:
        return ""
    last = recorded[-1]
    whose = f"{last.vet}'s direction of {book.facts.local(last.at)}"
    if last.course != course.name:
        return f"{whose} is for the course {last.course}"
    if not in_force(last, now):
        return f"{whose} ended {book.facts.local(last.until)}"
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


def as_direction(book: Book, d: DirectionFact) -> Direction:
    """A recorded direction in the science's own shape."""
    return Direction(
        vet=d.vet,
        words=d.words,
        treatment=d.treatment,
        target=Decimal(d.target),
        course=d.course,
        drug=d.drug,
        said_on=book.facts.local(d.at),
        every_h=None if d.every_h is None else Decimal(repr(d.every_h)),
        entry=d.entry,
    )
