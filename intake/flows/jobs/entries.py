"""Correcting: which entries there are of a subject, what each says, and saying it better."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from intake.flows.correct import correct as correct_entry
from intake.flows.correct import entry_in
from intake.flows.desk import Desk, at_work
from intake.flows.facts.upcast import today
from intake.flows.forms.every import FORMS
from intake.flows.forms.form import Field, Form
from intake.flows.history import things_named
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.words import recorded, when_text
from intake.flows.record import Said, typed_again
from intake.flows.views.entries import EntryField, EntryLine, EntryView
from intake.flows.views.parts import Recorded
from intake.science.problem import Problem, Unreadable

NEWEST = 20
"""How many entries are offered: older ones have their own command."""
CALLED = {
    "tan": "TAN", "ph": "pH", "kh": "KH", "gh": "GH", "no2": "NO2", "no3": "NO3",
    "temp": "temperature",
}  # fmt: skip


def entries(desk: Desk, subject: str) -> tuple[EntryLine, ...]:
    """The entries of a subject as they count now, the newest first."""
    with at_work(desk) as book:
        from intake.store import fold, journal

        numbers: set[int] = set()
        for thing in things_named(book, subject):
            numbers |= set(fold.mentioning(book.connection, thing))
        found = [
            today(e)
            for e in journal.effective(book.connection, entries=sorted(numbers), with_void=True)
        ]
        known = [e for e in found if e.kind in FORMS]
        known.sort(key=lambda e: (e.at, e.entry), reverse=True)
        return tuple(
            EntryLine(e.entry, when_text(book, e.at), _told(FORMS[e.kind], e.content), e.void)
            for e in known[:NEWEST]
        )


def _told(form: Form, content: Mapping[str, Any]) -> str:
    """``reading: temperature 20.4 C, pH 8.7``."""
    typed = typed_again(form, content)
    first = form.positionals[0].key if form.positionals else ""
    said = [
        f"{_called(f)} {_text(typed[f.key])}".strip()
        for f in form.fields
        if f.key in typed and f.key != first
    ]
    return f"{form.kind}: {', '.join(said)}" if said else form.kind


def _called(field: Field) -> str:
    return CALLED.get(field.name, "" if field.positional else field.name.replace("-", " "))


def _text(typed: object) -> str:
    if typed is True:
        return "yes"
    if isinstance(typed, list | tuple):
        return ", ".join(str(one) for one in typed)
    name, _, number = str(typed).rpartition("#")
    return name if name and number.isdigit() else str(typed)


def entry(desk: Desk, number: int) -> EntryView:
    """One entry, field by field, as it would be typed again.

    Raises
    ------
    Unreadable
        Where there is no such entry, or its kind is not corrected.
    """
    with at_work(desk) as book:
        found = entry_in(book, number)
        form = FORMS.get(found.kind)
        if form is None:
            text = f"an entry of kind {found.kind} is not corrected"
            raise Unreadable(Problem("no-such-name", text, "", "ENTRY"))
        typed = typed_again(form, found.content, book.facts)
        fields = tuple(
            EntryField(form.correcting_name(f), _called(f) or f.name, _text(typed[f.key]))
            for f in form.fields
            if f.key in typed and not f.flag
        )
        return EntryView(number, f"{form.kind} of {when_text(book, found.at)}", fields)


def correct(desk: Desk, number: int, typed: Mapping[str, str], why: str) -> Recorded:
    """What the entry says instead; only a field whose text changed is named, an empty one goes.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then nothing is written.
    """
    before = {f.name: f.text for f in entry(desk, number).fields}
    changed = {k: v.strip() for k, v in typed.items() if v.strip() != before.get(k, "")}
    if not changed:
        text = "nothing is different yet"
        raise Unreadable(Problem("needed", text, "change a field, or take it back"))
    with at_work(desk) as book:
        form = FORMS[entry_in(book, number).kind]
    many = {form.correcting_name(f) for f in form.fields if f.many}
    changes: dict[str, Any] = {
        k.replace("-", "_"): [one.strip() for one in v.split(",")] if k in many else v
        for k, v in changed.items()
        if v
    }
    cleared = tuple(k for k, v in changed.items() if not v)
    with as_unreadable():
        answer = correct_entry(desk, number, changes, Said(why=why), clear=cleared)
    said = ", ".join(f"{k} {v}" if v else f"no {k}" for k, v in changed.items())
    rests = "; ".join(a["text"] for a in answer["affected"])
    return recorded(desk, answer, f"entry {number}: {said}", next_text=rests)
