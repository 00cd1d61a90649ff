"""Whether a treatment was tried on one of these fish before all of them meet it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta

from intake.flows.desk import Book
from intake.flows.facts.things import Animal
from intake.flows.met import baths_of
from intake.science.amount import FEED_UNIT

LIVED_THROUGH = timedelta(hours=24)
"""A fish alive so long after it met a treatment has tried it. Common practice."""


def tried(book: Book, animals: Iterable[Animal], treatment: str, now: datetime) -> bool:
    """Whether one of these fish met the treatment and nothing of its group died in the next day.

    A group in which some died tells nothing, since nobody knows which of them had met it.
    """
    return any(
        end + LIVED_THROUGH <= now and not _died(book, animal, start, end)
        for animal in animals
        for start, end in _met(book, animal, treatment)
    )


def _met(book: Book, animal: Animal, treatment: str) -> Iterator[tuple[datetime, datetime]]:
    """When a fish met that treatment, from and until; feed tells nothing of a bath."""
    for stay in animal.stays:
        for dose in book.facts.systems[stay.system].doses:
            there = stay.since <= dose.at and (stay.until is None or dose.at < stay.until)
            if dose.treatment == treatment and there and dose.target_unit != FEED_UNIT:
                yield dose.at, dose.at
    for bath in baths_of(book, animal):
        if bath.treatment == treatment and bath.until is not None:
            yield bath.since, bath.until


def _died(book: Book, animal: Animal, start: datetime, end: datetime) -> bool:
    of_it = {animal.id, animal.came_of}
    return any(
        death.animal in of_it and start <= death.at <= end + LIVED_THROUGH
        for system in book.facts.systems.values()
        for death in system.deaths
    )
