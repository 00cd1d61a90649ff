"""The doses a water or a fish met, the whole record of one, and the papers of both."""

from __future__ import annotations

from datetime import datetime

from intake.flows import dose_record, tub_cards
from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.happened import DoseFact
from intake.flows.facts.things import Animal, System, Vessel
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.words import when_text
from intake.flows.met import baths_of
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
            met = [_dose(book, system, d) for d in system.doses]
        else:
            met = _of_fish(book, book.facts.animal(thing.id))
        newest = sorted(dict.fromkeys(met), reverse=True)
        return tuple((entry, words) for _, entry, words in newest)


Met = tuple[datetime, int, str]
"""When, its entry, and the words of it."""


def _of_fish(book: Book, animal: Animal) -> list[Met]:
    """Those of every water it was in while it was there, and of its baths."""
    met = [
        _dose(book, book.facts.systems[stay.system], dose)
        for stay in animal.stays
        for dose in book.facts.systems[stay.system].doses
        if stay.since <= dose.at and (stay.until is None or dose.at < stay.until)
    ]
    for bath in baths_of(book, animal):
        words = f"{_title(book, bath.treatment)}, a bath of {bath.who}"
        met.append((bath.since, bath.id, f"{when_text(book, bath.since)}  {words}"))
    return met


def _dose(book: Book, system: System, dose: DoseFact) -> Met:
    given = ", given" if dose.kind == "given" else ""
    amount = show(dose.amount, dose.unit)
    words = f"{_title(book, dose.treatment)} {amount} in {system.name}{given}"
    return dose.at, dose.entry, f"{when_text(book, dose.at)}  {words}"


def _title(book: Book, name: str) -> str:
    treatment = book.shelf.treatments.get(name)
    return treatment.title if treatment else name


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
