"""`intake import`: a file of another program looked at first, then written as one entry."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from intake.clock import utc_text
from intake.flows.desk import Book, Desk, at_work
from intake.flows.forms.every import FORMS
from intake.flows.forms.readers import Asked
from intake.flows.imports.logger import HowRead, Logged
from intake.flows.imports.opened import Progress
from intake.flows.imports.read_once import logged_file
from intake.flows.imports.told import say, told
from intake.flows.notes import Notes
from intake.flows.record import Said, record_in
from intake.science.problem import Problem, Refused, Unreadable
from intake.science.text import inert


def import_file(
    desk: Desk, typed: Mapping[str, str], said: Said, progress: Progress | None = None
) -> dict[str, Any]:
    """Reads a logger's file and keeps it as one entry, or at a rehearsal only tells of it.

    The same file for the same water is written once: again it answers with the entry it is.

    Parameters
    ----------
    typed
        `file` and `vessel`; `dates`, `unit`, `column` and `offset` where they are needed.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then nothing is written.
    """
    given = {name: text for name, text in typed.items() if text}
    given["subject"] = given.pop("vessel")
    read = _read(desk, given, progress)
    with at_work(desk, write=True) as book:
        before = _before(book, read, given)
        if before is not None:
            notes = Notes()
            notes.assume(f"entry {before} is this file already; nothing was written")
            say(read, notes)
            return {"entry": before, **told(read, book.facts.zone), **notes.as_keys()}
        why = said.why or f"read from {inert(read.source.name)[:100]}"
        when = utc_text(read.days[-1].last_utc)
        return record_in(book, FORMS["log"], given, replace(said, when=when, why=why))


def _read(desk: Desk, given: Mapping[str, str], progress: Progress | None) -> Logged:
    """The file, read while no other program waits for the room."""
    with at_work(desk) as book:
        asked = Asked(book, book.now)
        form = FORMS["log"]
        found = {f.name: f.read.read(given[f.key], asked) for f in form.fields if f.key in given}
        if problems := [
            p.placed("--vessel" if name == "subject" else f"--{name}")
            for name, p in found.items()
            if isinstance(p, Problem)
        ]:
            raise Unreadable(*problems)
        since, where, now = found["subject"].since, book.facts.zone, book.now
    how = HowRead(*(given.get(name) for name in ("dates", "unit", "column", "offset")))
    return logged_file(given["file"], how, where, since, now, progress)


def _before(book: Book, read: Logged, given: Mapping[str, str]) -> int | None:
    """The entry that is this file already.

    Raises
    ------
    Refused
        key-reused, where it was read otherwise or for another water.
    """
    subject = book.facts.find(given["subject"], ("vessel", "system"), book.now)
    assert not isinstance(subject, Problem)
    mine = (read.source.sha256, read.layout.named[-1])
    for number, log in book.facts.logs.items():
        if log[:2] != mine:
            continue
        kept = book.entry(number)
        assert kept is not None
        days = [dict(d) for d in kept.content["days"]]
        if log[2] == subject.id and days == [d.kept() for d in read.days]:
            return number
        what = f"for {kept.content['subject']}" if log[2] != subject.id else "read otherwise"
        raise Refused(
            "key-reused", f"this file is entry {number} already, {what}",
            way_out=f"intake correct {number} --void --why TEXT, then import it again",
        )  # fmt: skip
    return None
