"""What is watched in a water because another one that touches it showed something."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

from intake.flows.desk import Book
from intake.flows.facts.happened import LinkFact
from intake.flows.facts.things import System

LOOKED_BACK = timedelta(days=7)
"""What was seen longer ago than this is no reason to watch (common practice)."""
WATCH_DAYS = 14
"""How long a water without a quarantine is watched after wet contact with one that is not
released [d]. Common practice; koi herpesvirus takes 14 days on average to show (Riggs, Hawaii
Dept of Agriculture)."""
BY = {"air": "the same air", "splash": "splash", "tools": "shared tools"}


@dataclass(frozen=True, slots=True)
class Watched:
    """A water to watch, why, and the entry that says it."""

    system: System
    text: str
    because: str
    entry: int


def watched(book: Book) -> list[Watched]:
    """Every water linked to one in which something catching was seen; no clock is moved."""
    facts = book.facts
    found = []
    for link in facts.links:
        if link.until is not None:
            continue
        first, second = (facts.water_now(s) for s in link.systems)
        if first.id != second.id:
            found += [_watch(book, link, first, second), _watch(book, link, second, first)]
    return [*(w for w in found if w is not None), *_touched(book), *_never_begun(book)]


def _touched(book: Book) -> Iterator[Watched]:
    """Waters without a quarantine that had wet contact with one that was not released."""
    for system in book.facts.waters():
        if system.quarantine is not None or not book.facts.occupants(system.vessels):
            continue
        for c in system.contacts:
            if c.unreleased and book.now - c.at <= timedelta(days=WATCH_DAYS):
                until = book.facts.local(c.at + timedelta(days=WATCH_DAYS))
                text = f"Watch {system.name} until {until}"
                because = f"wet contact by {c.how} with {c.source}, which was not released then"
                yield Watched(system, text, because, c.entry)


def _never_begun(book: Book) -> Iterator[Watched]:
    """Waters in which fish out of a box live that were never in a quarantine."""
    for system in book.facts.waters():
        if system.quarantine is not None:
            continue
        new = [a for a in book.facts.occupants(system.vessels) if a.box and not a.releases]
        if new:
            names = ", ".join(a.name for a in new[:3]) + (" and more" if len(new) > 3 else "")
            text = f"Begin a quarantine in {system.name}: none runs there"
            yield Watched(system, text, f"{names} came out of a box, not released yet", new[0].id)


def _watch(book: Book, link: LinkFact, here: System, other: System) -> Watched | None:
    """The newest reason in `other` to watch `here`."""
    newest = max(_seen(book, other), default=None)
    if newest is None:
        return None
    _, entry, what = newest
    because = f"linked by {BY[link.by]} since {book.facts.local(link.at)}; no clock moves"
    text = f"Watch {here.name}: {what} in {other.name}"
    return Watched(here, text, because, entry)


def _seen(book: Book, system: System) -> Iterator[tuple[float, int, str]]:
    """When, in which entry, and what was seen that may go over."""
    since = book.now - LOOKED_BACK
    for look in system.looks:
        for sign, grade in look.signs:
            known = book.shelf.signs.get(sign)
            if look.at >= since and grade and known is not None and known.infectious:
                yield look.at.timestamp(), look.entry, f"{known.title} was seen"
    for death in system.deaths:
        if death.at >= since and death.how != "killed-humanely":
            yield death.at.timestamp(), death.entry, "a fish died"
    for slide in system.slides:
        for parasite, count in slide.found:
            if slide.at >= since and count:
                yield slide.at.timestamp(), slide.entry, f"{parasite} was found on a slide"
