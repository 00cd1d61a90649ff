"""Correcting: a new entry that replaces another's content, or makes it void, with a reason."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from intake.clock import utc_text
from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.upcast import today
from intake.flows.forms.every import FORMS
from intake.flows.forms.form import Field, Form
from intake.flows.kept import forget
from intake.flows.record import (
    Said,
    content_of,
    fill,
    key_reused,
    moment_of,
    same,
    typed_again,
    unfit,
    written_before,
)
from intake.flows.sizes import unused
from intake.flows.usage import Usage
from intake.science.problem import Problem, Unreadable

if TYPE_CHECKING:
    from intake.store.journal import Entry


def form_of(desk: Desk, number: int) -> Form:
    """The form of the kind of an entry, so that its options can be read.

    Raises
    ------
    Unreadable
        no-such-name where there is no such entry, or its kind is not corrected.
    """
    with at_work(desk) as book:
        return _form(entry_in(book, number))


def entry_in(book: Book, number: int) -> Entry:
    """The entry of that number as it counts now.

    Raises
    ------
    Unreadable
        no-such-name where there is none.
    """
    found = book.entry(number)
    if found is None:
        raise Unreadable(_no_entry(f"there is no entry {number}"))
    return today(found)


def _no_entry(text: str) -> Problem:
    return Problem("no-such-name", text, "intake history SUBJECT shows numbers", "ENTRY")


def _form(entry: Entry) -> Form:
    form = FORMS.get(entry.kind)
    if form is None:
        raise Unreadable(_no_entry(f"an entry of kind {entry.kind} is not corrected"))
    return form


def correct(
    desk: Desk,
    number: int,
    changes: Mapping[str, Any],
    said: Said,
    *,
    void: bool = False,
    clear: tuple[str, ...] = (),
    set_why: str | None = None,
) -> dict[str, Any]:
    """Replaces what an entry says; only what is named changes, and the whole content is stored.

    Parameters
    ----------
    changes
        Text by field as in `record`; the first positional is ``subject``.
    void
        The entry never counted; a later correction may bring it back.
    clear
        Fields whose value is removed.
    set_why
        A new reason for the entry itself; `said.why` is the reason of the correction.

    Raises
    ------
    Usage, Unreadable, RoomTrouble
        And then nothing is written. A correction is not refused by limits: it says what is so.
    """
    _fit(said, alone=not (changes or clear), void=void)
    with at_work(desk, write=True) as book:
        entry = entry_in(book, number)
        affected = _affected(book, entry)
        before = written_before(book, said)
        if before is not None:
            if not _says_again(book, before, entry, changes, void=void):
                raise key_reused(before, said)
            return _answer(book, before.sequence, affected, {})
        if void:
            return _voided(book, entry, said, affected)
        form = _form(entry)
        if not (changes or clear or set_why or said.when or said.note or entry.void):
            raise Usage("nothing to change: name what is different, or --void")
        return _replaced(book, entry, form, changes, said, clear, set_why, affected)


def _fit(said: Said, *, alone: bool, void: bool) -> None:
    if not (said.why or "").strip():
        raise Usage("--why: a correction needs its reason")
    if void and not alone:
        raise Usage("--void stands alone")
    if problems := unfit(said):
        raise Unreadable(*problems)


def _voided(
    book: Book, entry: Entry, said: Said, affected: list[dict[str, Any]]
) -> dict[str, Any]:
    if entry.void:
        text = f"entry {entry.entry} is void already"
        raise Unreadable(Problem("no-such-name", text, "", "ENTRY"))
    sequence = book.append(
        "void", {"of": entry.entry}, at=entry.at, why=said.why, key=said.key,
        corrects=entry.entry,
    )  # fmt: skip
    return _answer(book, sequence, affected, {})


def _says_again(
    book: Book, before: Entry, entry: Entry, changes: Mapping[str, Any], *, void: bool
) -> bool:
    """Whether a row is this same correction, written before with the same key."""
    if before.entry != entry.entry or before.corrects is None or void != (before.kind == "void"):
        return False
    form = _form(entry)
    kept = {} if void else typed_again(form, before.content, book.facts)
    named = {_key(form, name): text for name, text in changes.items()}
    return void or same(book, form, before, kept | named)


def _replaced(
    book: Book,
    entry: Entry,
    form: Form,
    changes: Mapping[str, Any],
    said: Said,
    clear: tuple[str, ...],
    set_why: str | None,
    affected: list[dict[str, Any]],
) -> dict[str, Any]:
    typed = typed_again(form, entry.content, book.facts)
    named = {_key(form, name): text for name, text in changes.items()}
    # A vessel of another shape has no use for the sizes of the old one.
    left = unused(str(named["shape"]), typed) if "shape" in named else []
    typed = {name: text for name, text in typed.items() if name not in left} | named
    note = said.note if said.note is not None else entry.content.get("note")
    for name in clear:
        field = form.field(name)
        if name == "note":
            note = said.note
        elif field is None:
            names = ", ".join(f.name for f in form.fields)
            raise Usage(f"--clear {name}: a {form.kind} has {names}, note")
        else:
            typed.pop(field.key, None)
    moved = said.when or named.get(form.happened)
    when = moment_of(book, form, named, said) if moved else entry.at
    if form.happened:
        typed[form.happened] = utc_text(when)
    own = Said(why=set_why or entry.content.get("why"), note=note)
    filled = fill(book, form, typed, own, when, entry.entry)
    if left:
        filled.notes.assumptions.append(f"no longer a size of it: {', '.join(left)}")
    content = content_of(form, filled, own)
    sequence = book.append(
        form.kind, content, at=when, why=said.why, key=said.key, corrects=entry.entry,
        version=form.version,
    )  # fmt: skip
    return _answer(book, sequence, affected, filled.notes.as_keys())


def _key(form: Form, name: str) -> str:
    field: Field | None = form.positionals[0] if name == "subject" and form.positionals else None
    return field.key if field is not None else name


def _answer(
    book: Book, sequence: int, affected: list[dict[str, Any]], notes: Mapping[str, Any]
) -> dict[str, Any]:
    empty: dict[str, Any] = {"assumptions": [], "warnings": [], "because": []}
    forget(book.desk.room)
    if book.desk.rehearsal:
        return {"entry": None, "dry_run": True, "affected": affected, **empty, **notes}
    return {"entry": sequence, "affected": affected, **empty, **notes}


RESTS_ON = {
    "vessel": ("dose", "given", "change", "level"),
    "level": ("dose", "given", "change"),
    "gauge": ("dose", "given", "salt-step"),
    "bucket": ("filled", "dose", "given", "salt-step"),
    "filled": ("dose", "given", "salt-step"),
    "settle": ("dose", "given", "salt-step"),
    "salt-step": ("dose", "given", "gauge"),
    "top-up": ("dose", "given"),
    "change": ("dose", "given"),
    "dose": ("dose", "given"),
    "given": ("dose", "given"),
    "product": ("dose", "given"),
}
"""Which later entries are worked out with one of a kind, beside those that mention it."""


def _affected(book: Book, entry: Entry) -> list[dict[str, Any]]:
    """Later entries that speak of the same things and were worked out with this one."""
    from intake.store import fold, journal

    things = fold.things_in(entry.content) | {entry.entry}
    numbers = {n for t in things for n in fold.mentioning(book.connection, t)} - {entry.entry}
    kinds = RESTS_ON.get(entry.kind)
    found = []
    for other in journal.effective(book.connection, entries=sorted(numbers)):
        mentions = entry.entry in fold.things_in(other.content)
        later = (other.at, other.entry) > (entry.at, entry.entry)
        if later and (mentions or (kinds is not None and other.kind in kinds)):
            when = book.facts.local(other.at)
            found.append({"entry": other.entry, "text": f"{other.kind} of {when} rests on it"})
    return found
