"""The doses a water or a fish met, the whole record of one, and the papers of both."""

from __future__ import annotations

from datetime import datetime

from intake.flows import dose_record, tub_cards
from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.happened import DoseFact
from intake.flows.facts.things import Animal, System, Vessel
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.words import when_text
from intake.flows.papers import free_name
from intake.science.problem import Problem, Unreadable
from intake.science.show import show


def doses_met(desk: Desk, subject: str) -> tuple[tuple[int, str], ...]:
    """Number and words of every dose a vessel's water or a fish met, the newest first.

    Raises
    ------
    Unreadable
        no-such-name.
    """
    with at_work(desk) as book:
        thing = book.facts.find(subject, ("vessel", "fish", "group"), book.now)
        if isinstance(thing, Problem):
            raise Unreadable(thing)
        if isinstance(thing, Vessel):
            system = book.facts.system_of(thing)
            met = {d.entry: (system, d) for d in system.doses}
        else:
            met = _of_fish(book, book.facts.animal(thing.id))
        newest = sorted(met.values(), key=lambda x: (x[1].at, x[1].entry), reverse=True)
        return tuple((d.entry, _words(book, system, d)) for system, d in newest)


def _of_fish(book: Book, animal: Animal) -> dict[int, tuple[System, DoseFact]]:
    """Those of every water it was in, while it was there."""
    met = {}
    for stay in animal.stays:
        system = book.facts.systems[stay.system]
        for dose in system.doses:
            if stay.since <= dose.at < (stay.until or datetime.max.replace(tzinfo=dose.at.tzinfo)):
                met[dose.entry] = (system, dose)
    return met


def _words(book: Book, system: System, dose: DoseFact) -> str:
    treatment = book.shelf.treatments.get(dose.treatment)
    title = treatment.title if treatment else dose.treatment
    given = ", given" if dose.kind == "given" else ""
    amount = show(dose.amount, dose.unit)
    return f"{when_text(book, dose.at)}  {title} {amount} in {system.name}{given}"


def whole(desk: Desk, entry: int) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The twenty of a dose: each with its name and what is known of it."""
    return dose_record.lines_of(desk, entry)


def record_paper(desk: Desk, entry: int, end: str) -> str:
    """The record of a dose made as a file, and where it is."""
    with as_unreadable():
        answer = dose_record.write(desk, str(entry), free_name(f"dose-{entry}", end))
    return f"the record of entry {entry} is in {answer['file']}"


def card(desk: Desk, vessel: str, end: str) -> str:
    """The card of a vessel made as a file, and where it is."""
    with as_unreadable():
        answer = tub_cards.write(desk, vessel, tub_cards.file_name(desk, vessel, end))
    return f"the card of {vessel} is in {answer['file']}"
