"""What was written of a subject, corrections and voids included."""

from __future__ import annotations

from typing import Any

from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.upcast import today
from intake.flows.forms.readers import TAP
from intake.flows.notes import Notes
from intake.science.problem import Problem, Unreadable


def history(desk: Desk, subject: str) -> dict[str, Any]:
    """Every entry about a subject, corrections and voids included, oldest first.

    Raises
    ------
    Unreadable
        no-such-name, with the nearest names.
    """
    with at_work(desk) as book:
        from intake.store import fold, journal

        numbers: set[int] = set()
        if subject == TAP:
            numbers = {
                e.entry
                for e in journal.effective(book.connection, with_void=True)
                if e.kind == "reading" and e.content.get("subject") == TAP
            }
        else:
            for thing in things_named(book, subject):
                numbers |= set(fold.mentioning(book.connection, thing))
        rows = journal.all_rows(book.connection, numbers)
        now = journal.effective(book.connection, entries=numbers, with_void=True)
        placed = {e.entry: e.at for e in now}
        rows.sort(key=lambda e: (placed.get(e.entry, e.at), e.entry, e.sequence))
        return {"entries": [_told(book, e) for e in rows], **Notes().as_keys()}


def _told(book: Book, entry: Any) -> dict[str, Any]:
    old = today(entry)
    return {
        "entry": entry.sequence,
        "at": entry.at.astimezone(book.facts.zone).isoformat(),
        "entered": entry.entered.astimezone(book.facts.zone).isoformat(),
        "time_zone": entry.time_zone,
        "kind": entry.kind,
        "keeper": entry.keeper,
        "content": dict(old.content),
        "corrects": entry.corrects,
        "why": entry.why,
    }


def things_named(book: Book, subject: str) -> list[int]:
    """The numbers of what a subject names: a vessel that is a system of its own is both."""
    kinds = (
        "vessel", "system", "fish", "group", "shipment", "box", "tool", "kit", "product", "person",
    )  # fmt: skip
    found = book.facts.find(subject, kinds, book.now)
    if isinstance(found, Problem):
        gone = [t for t in book.facts.things.values() if t.name == subject]
        if not gone:
            raise Unreadable(found.placed("SUBJECT"))
        found = gone[-1]
    if found.kind == "system":
        return [*book.facts.systems[found.id].vessels, found.id]
    if found.kind == "vessel":
        system = book.facts.system_of(book.facts.vessel(found.id))
        return [found.id, system.id] if system.vessels == [found.id] else [found.id]
    return [found.id]
