"""What the fish of a room met, in the waters they were in and in baths of their own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from decimal import Decimal

from intake.flows.desk import Book
from intake.flows.directions import is_of
from intake.flows.facts.baths import Bath
from intake.flows.facts.things import Animal, System
from intake.flows.residues import ledger_of, level_of
from intake.science.limits import allowed
from intake.science.mixing import TRACE, Recent


def baths_of(book: Book, animal: Animal) -> Iterator[Bath]:
    """The baths a fish was in, with those of the group it was taken out of, up to then."""
    until: datetime | None = None
    here: Animal | None = animal
    while here is not None:
        for bath in book.facts.of_kind(Bath):
            if here.id in bath.animals and (until is None or bath.since < until):
                yield bath
        until = here.since if until is None else min(until, here.since)
        came_of = book.facts.things.get(here.came_of)
        here = came_of if isinstance(came_of, Animal) else None


def bath_counts(book: Book, bath: Bath) -> str:
    """Whether it counts as "treatment" or "support"; what is not known as a treatment."""
    treatment = book.shelf.treatments.get(bath.treatment)
    course = treatment.course(bath.course) if treatment else None
    return treatment.counts_as(course) if treatment and course else "treatment"


def recently_met(book: Book, animals: Iterable[Animal], own: str, now: datetime) -> list[Recent]:
    """Other treatments these fish met before now; a bath counts until they were out of it."""
    found: list[Recent] = []
    for animal in animals:
        for stay in animal.stays:
            other = book.facts.systems[stay.system]
            found += [
                Recent(d.treatment, d.at, other.name)
                for d in other.doses
                if d.treatment != own
                and d.at <= now
                and (stay.until is None or d.at <= stay.until)
            ]
        found += [
            Recent(b.treatment, now if b.until is None else min(now, b.until), "a bath")
            for b in baths_of(book, animal)
            if b.treatment != own and b.since <= now
        ]
    return list(dict.fromkeys(found))


def last_met(
    book: Book, animals: Iterable[Animal], name: str, now: datetime, drug: str = ""
) -> Iterator[datetime]:
    """When each of these fish met a treatment, of a vet's `drug` where that is named.

    Fish let into a water in which some of it was left met that dose as well.
    """
    for animal in animals:
        for stay in animal.stays:
            other = book.facts.systems[stay.system]
            until = now if stay.until is None else min(now, stay.until)
            met = [d.at for d in other.doses if is_of(d, name, drug) and d.at <= until]
            yield from (at for at in met if at >= stay.since)
            before = [at for at in met if at < stay.since]
            if before and _left(book, other, name, stay.since):
                yield max(before)
        for bath in baths_of(book, animal):
            if is_of(bath, name, drug) and bath.since <= now:
                yield bath.since


def _left(book: Book, system: System, name: str, at: datetime) -> bool:
    """Whether more than a trace of a treatment was left in a water at that time."""
    trace = TRACE.get(ledger_of(book, system, name).unit, Decimal(0))
    return not allowed(level_of(book, system, name, at).high, None, trace)
