"""Whether a treatment was tried on one of these fish before all of them meet it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta

from intake.flows.desk import Book
from intake.flows.facts.things import Animal
from intake.science.amount import FEED_UNIT

LIVED_THROUGH = timedelta(hours=24)
"""A fish alive so long after it met a treatment has tried it. Common practice."""


def tried(book: Book, animals: Iterable[Animal], treatment: str, now: datetime) -> bool:
    """Whether one of these fish met the treatment and nothing of its group died in the next day.

    A group in which some died tells nothing, since nobody knows which of them had met it.
    """
    return any(
        at + LIVED_THROUGH <= now and not _died_after(book, animal, at)
        for animal in animals
        for at in _met(book, animal, treatment)
    )


def _met(book: Book, animal: Animal, treatment: str) -> Iterator[datetime]:
    """When a fish was in water as that treatment went in; feed tells nothing of a bath."""
    for stay in animal.stays:
        for dose in book.facts.systems[stay.system].doses:
            there = stay.since <= dose.at and (stay.until is None or dose.at < stay.until)
            if dose.treatment == treatment and there and dose.target_unit != FEED_UNIT:
                yield dose.at


def _died_after(book: Book, animal: Animal, at: datetime) -> bool:
    of_it = {animal.id, animal.came_of}
    return any(
        death.animal in of_it and at <= death.at <= at + LIVED_THROUGH
        for system in book.facts.systems.values()
        for death in system.deaths
    )
