"""Whose days a water counts: those that came in with its fish, and when the last fish left it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol, TypeVar

from intake.flows.desk import Book
from intake.flows.facts.happened import ArrivalFact
from intake.flows.facts.quarantining import Quarantine
from intake.flows.facts.things import Animal, System

Moment = tuple[datetime, int]
"""When something happened, and the number of its entry."""


class Happened(Protocol):
    """Anything that happened at a time, told by an entry."""

    @property
    def at(self) -> datetime: ...

    @property
    def entry(self) -> int: ...


H = TypeVar("H", bound=Happened)


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a water's history that counts: from `since` to before `until` (None: now)."""

    system: System
    running: Quarantine
    since: datetime
    until: Moment | None = None

    def over(self, at: datetime, entry: int) -> bool:
        """Whether something of that time counts."""
        return at >= self.since and (self.until is None or (at, entry) < self.until)

    def of(self, events: list[H]) -> Iterator[H]:
        """What of these happened in it."""
        return (x for x in events if self.over(x.at, x.entry))

    def end(self, at: datetime | None) -> datetime | None:
        """The end of something begun in it: the fish left its water at the end of the span."""
        if self.until is None:
            return at
        return self.until[0] if at is None else min(at, self.until[0])


def spans(
    book: Book, system: System, running: Quarantine, until: Moment | None = None
) -> list[Span]:
    """The histories a quarantine counts, oldest first.

    Fish that were moved, not released, into an empty water brought the days of their old one: its
    history up to the move is theirs.
    """
    before: list[Span] = []
    since = running.at
    if running.carried:
        home = book.facts.systems[running.carried]
        theirs = quarantine_at(home, running.at, running.id)
        if theirs is not None:
            before = spans(book, home, theirs, (running.at, running.id))
    elif not running.dragged:
        arrived = [a.at for a in arrivals_in(book, Span(system, running, running.at, until))]
        since = min([since, *arrived])
    return [*before, Span(system, running, since, until)]


def quarantine_at(system: System, at: datetime, entry: int) -> Quarantine | None:
    """The quarantine that ran in a water before that entry of that time."""
    for running in reversed(system.quarantines):
        if (running.at, running.id) < (at, entry):
            return running if running.released is None or running.released > at else None
    return None


def arrivals_in(book: Book, span: Span) -> Iterator[ArrivalFact]:
    """Fish whose stay in the water reached into the quarantine, and not past the span."""
    for a in span.system.arrivals:
        animal = book.facts.things.get(a.animal)
        if not isinstance(animal, Animal):
            continue
        if span.until is not None and (a.at, a.entry) >= span.until:
            continue
        stays = [s for s in animal.stays if s.entry == a.entry]
        left = stays[-1].until if stays else None
        if left is None or left > span.running.at or a.at >= span.running.at:
            yield a


def emptied_at(book: Book, system: System, running: Quarantine) -> datetime | None:
    """When the last fish left a water in quarantine; None while some are in or still expected.

    Raises
    ------
    KeyError
        A water that is not in the room.
    """
    if book.facts.occupants(system.vessels):
        return None
    ends = [
        s.until
        for a in book.facts.of_kind(Animal)
        for s in a.stays
        if s.system == system.id and s.until is not None and s.until >= running.at
    ]
    return max(ends, default=None)
