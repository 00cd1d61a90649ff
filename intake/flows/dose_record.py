"""The whole record of one dose: what its entry keeps, and what later ones say came of it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Any

from intake.flows.desk import Book, Desk, at_work
from intake.flows.dose_outcome import Outcome, outcome_of_bath, outcome_of_dose
from intake.flows.dose_record_words import (
    amount_words,
    dates_words,
    fish_words,
    for_words,
    inside_words,
    made_words,
    planned_words,
    product_words,
    start_words,
    target_words,
    tool_words,
    treated,
    water_words,
)
from intake.flows.facts.baths import Bath
from intake.flows.facts.happened import DoseFact
from intake.flows.facts.things import System
from intake.flows.facts.upcast import today
from intake.flows.notes import Notes
from intake.flows.papers import path_of, write_paper
from intake.flows.record import LATE
from intake.report.dose_record import NAMES, UNKNOWN, DoseRecord, Part
from intake.science.problem import Problem, Unreadable
from intake.science.show import show

if TYPE_CHECKING:
    from intake.store.journal import Entry

KINDS = ("dose", "given", "bath")
BUCKET = "a bucket of its own"


def write(desk: Desk, text: str, out: str) -> dict[str, Any]:
    """Writes the record of a dose and answers with it and where it is.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then no file is made.
    """
    path = path_of(out)
    with at_work(desk) as book:
        record = record_of(book, entry_named(book, text))
    write_paper(path, "dose_record", record)
    return {**_keys(record), "file": str(path), **Notes().as_keys()}


def lines_of(desk: Desk, number: int) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The twenty of a dose, each with its name, for a screen."""
    with at_work(desk) as book:
        record = record_of(book, entry_named(book, str(number)))
    return tuple((f"{part.number}  {part.name}", part.lines) for part in record.parts)


def entry_named(book: Book, text: str) -> Entry:
    """The dose or thing given of that number; a correction's number means its original.

    Raises
    ------
    Unreadable
        no-such-name: there is no such entry, or it is no dose.
    """
    found = book.entry(int(text)) if text.isascii() and text.isdigit() else None
    if found is None or found.kind not in KINDS:
        said = "is no dose" if found is not None else "is no entry"
        hint = "its number stands in: intake history"
        raise Unreadable(Problem("no-such-name", f"'{text[:40]}' {said}", hint, "SUBJECT"))
    return today(found)


def record_of(book: Book, entry: Entry) -> DoseRecord:
    """The twenty of one dose, none of them left out."""
    c = entry.content
    began = entry.at.astimezone(book.facts.zone)
    texts = (
        _numbered(entry),
        (_moment(entry.at, book), f"{entry.at:%Y-%m-%d %H:%M:%S} UTC"),
        _written(book, entry),
        (entry.keeper,),
        _where(c),
        fish_words(c),
        for_words(c),
        product_words(c),
        inside_words(c),
        dates_words(c),
        target_words(c),
        water_words(book, c),
        amount_words(c),
        tool_words(c),
        (f"{c['route']}, course {c['course']} of {c['treatment']}",),
        *_followed(book, entry),
        made_words(c, _links(book, entry)),
    )
    parts = tuple(
        Part(n, name, tuple(lines) or (UNKNOWN,))
        for n, (name, lines) in enumerate(zip(NAMES, texts, strict=True), 1)
    )
    treatment = book.shelf.treatments.get(c["treatment"])
    title = treatment.title if treatment else c["treatment"]
    day = f"{began:%a} {began.day} {began:%b %Y}"
    return DoseRecord(entry.entry, title, c.get("system", BUCKET), day, parts)


def _followed(book: Book, entry: Entry) -> tuple[tuple[str, ...], ...]:
    """How long, the water it began in, not for food, and what came of it."""
    c = entry.content
    event = c["event"]
    planned = planned_words(event["planned"], c["target_unit"])
    if "lasts_min" in c:
        planned = (*planned, f"meant to last: {show(c['lasts_min'], 'min')}")
    food = (event["food"], f"held back before sale: {event['holding']}")
    then = _came_of(book, entry)
    if then is None:
        why = "the entry was taken back" if entry.void else UNKNOWN
        return (*planned, f"ended: {why}"), start_words(event["at_start"]), food, (why,)
    none = f"none seen up to {book.facts.local(then.until)}" if then.seen else UNKNOWN
    came = (
        *(then.seen or ("no look was recorded",)),
        *(f"died: {text}" for text in then.deaths or (none,)),
        f"followed up to {book.facts.local(then.until)}; next: {then.next}",
    )
    return (*planned, f"ended: {then.ended}"), start_words(event["at_start"]), food, came


def _came_of(book: Book, entry: Entry) -> Outcome | None:
    """What came of it; None where the entry counts no more."""
    c = entry.content
    ids = frozenset(f["id"] for f in treated(c) if f["id"] != UNKNOWN)
    planned = c["event"]["planned"]
    bath = book.facts.things.get(entry.entry)
    if isinstance(bath, Bath):
        return outcome_of_bath(book, bath, planned, ids)
    found = _fact(book, entry.entry)
    return None if found is None else outcome_of_dose(book, *found, planned, ids)


def _fact(book: Book, number: int) -> tuple[System, DoseFact] | None:
    for system in book.facts.systems.values():
        for dose in system.doses:
            if dose.entry == number and dose.entry not in system.came_with:
                return system, dose
    return None


def _numbered(entry: Entry) -> tuple[str, ...]:
    said = [f"entry {entry.entry}, {entry.kind}"]
    if entry.sequence != entry.entry:
        said.append(f"corrected by entry {entry.sequence}; the first stays in the journal")
    if entry.void:
        said.append("taken back")
    return tuple(said)


def _written(book: Book, entry: Entry) -> tuple[str, ...]:
    from intake.store import journal

    first = journal.row(book.connection, entry.entry) or entry
    late = [f"late: {first.why or UNKNOWN}"] if first.entered - entry.at > LATE else []
    return _moment(first.entered, book), *late


def _moment(moment: datetime, book: Book) -> str:
    there = moment.astimezone(book.facts.zone)
    return f"{there:%a} {there.day} {there:%b %Y %H:%M:%S %z} {book.facts.time_zone}"


def _where(c: Mapping[str, Any]) -> tuple[str, ...]:
    reaches = c["event"]["reaches"]
    all_ = UNKNOWN if reaches == UNKNOWN else ", ".join(reaches)
    return c.get("system", BUCKET), f"the water reaches: {all_ or 'no vessel'}"


def _links(book: Book, entry: Entry) -> tuple[str, str]:
    from intake.store import journal

    return journal.link(book.connection, entry.sequence)


def _keys(record: DoseRecord) -> dict[str, Any]:
    return {
        "entry": record.entry,
        "fields": [
            {"number": p.number, "name": p.name, "lines": list(p.lines)} for p in record.parts
        ],
    }
