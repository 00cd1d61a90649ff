"""Protocols: every file, whose it is, what is wrong with it, what a change would do."""

from __future__ import annotations

import os
from datetime import UTC, datetime, timedelta
from pathlib import Path

from intake import paths
from intake.clock import local_date
from intake.flows import own_protocols
from intake.flows.desk import Book, Desk, at_work
from intake.flows.jobs.protocol_effects import effects_of, sample_of
from intake.flows.jobs.words import recorded
from intake.flows.own_protocols import file_named
from intake.flows.protocol_files import (
    ProtocolFile,
    in_force,
    parsed_at,
    parsed_text,
    problems_of,
    text_of,
)
from intake.flows.protocol_limits import limit_moved
from intake.flows.views.parts import Recorded
from intake.flows.views.protocols import ProtocolLine, ProtocolsView, ProtocolText
from intake.science.problem import Refused
from intake.science.treatment import Treatment

IN_USE = timedelta(days=30)
"""A treatment dosed in this time is in use."""
KEPT = "Every dose and every quarantine keeps the file it was worked out with."


def view(desk: Desk) -> ProtocolsView:
    """All files in force, treatments first."""
    files = in_force()
    with at_work(desk) as book:
        lines = tuple(_line(book, files, f) for f in files.values())
    wrong = sum(bool(line.problems) for line in lines)
    own = sum(bool(line.own) for line in lines)
    because = f"yours win over the shipped ones with the same id. {KEPT}" if own else KEPT
    if wrong:
        first = next(line for line in lines if line.problems)
        because = f"{first.id} cannot be read: no dose is worked out until it can."
    return ProtocolsView(lines, len(lines), wrong, own, because)


def _line(book: Book, files: dict[str, ProtocolFile], file: ProtocolFile) -> ProtocolLine:
    parsed = parsed_at(file.path, file.kind)
    content = parsed.content
    return ProtocolLine(
        id=file.id,
        status=content.status if isinstance(content, Treatment) else "",
        in_use=_in_use(book, file),
        own=_own(book, file),
        problems=len(problems_of(files, file.id, parsed)),
        path=str(file.path),
    )


def _in_use(book: Book, file: ProtocolFile) -> str:
    """``2 courses``, ``3 systems``, ``always``, ``no``."""
    name = file.id.rpartition("/")[2]
    systems = book.facts.waters()
    if file.kind == "treatment":
        since = book.now - IN_USE
        met = {
            (s.id, d.course)
            for s in systems
            for d in s.doses
            if d.treatment == name and d.at >= since
        }
        return _counted(len(met), "course")
    if file.kind == "plan":
        running = [s for s in systems if s.quarantine is not None and s.quarantine.plan == name]
        return _counted(len(running), "system")
    return "always"


def _counted(number: int, what: str) -> str:
    return f"{number} {what}{'s' if number > 1 else ''}" if number else "no"


def _own(book: Book, file: ProtocolFile) -> str:
    if not file.own:
        return ""
    entry = book.facts.protocols.get(file.id)
    if entry is not None and entry[2] == "saved":
        moment = entry[1]
    else:
        moment = datetime.fromtimestamp(file.path.stat().st_mtime, UTC)
    day = local_date(moment, book.facts.zone)
    year = "" if day.year == local_date(book.now, book.facts.zone).year else f" {day.year}"
    return f"yours since {day.day} {day:%b}{year}"


def one(desk: Desk, id: str) -> ProtocolText:
    """One file as it is."""
    files = in_force()
    file = file_named(files, id)
    return _told(desk, files, file, text_of(file.path) if id in files else "")


def check(desk: Desk, id: str, text: str) -> ProtocolText:
    """A text as if it were saved: its problems, its effect, whether a limit moves."""
    files = in_force()
    return _told(desk, files, file_named(files, id), text)


def _told(
    desk: Desk, files: dict[str, ProtocolFile], file: ProtocolFile, text: str
) -> ProtocolText:
    now = parsed_text(file.id, file.kind, text)
    before = parsed_at(file.path, file.kind).content if file.id in files else None
    shipped = parsed_at(file.shipped, file.kind).content if file.shipped else None
    return ProtocolText(
        id=file.id,
        path=str(file.path),
        text=text,
        shipped_text=text_of(file.shipped) if file.shipped else "",
        problems=tuple(problems_of(files, file.id, now)),
        sample=sample_of(file.id, now.content or shipped),
        effects=effects_of(shipped, now.content) if now.content is not None else (),
        limit_moved=limit_moved(before, now.content),
        writable=_writable(desk),
        because=_because(file, limit_moved(before, now.content)),
    )


def _because(file: ProtocolFile, moved: bool) -> str:
    if moved:
        return f"a limit moves: saving asks why. {KEPT}"
    if file.own and file.shipped:
        return f"yours has the same id in your own folder, and that one wins. {KEPT}"
    if file.own:
        return f"this one is only yours. {KEPT}"
    return f"this is the shipped one; a change is saved in your own folder. {KEPT}"


def _writable(desk: Desk) -> bool:
    """Whether somebody who records is here, and the keeper's own folder can be written."""
    with at_work(desk) as book:
        try:
            book.keeper()
        except Refused:
            return False
    folder: Path = paths.own_protocols()
    while not folder.exists() and folder != folder.parent:
        folder = folder.parent
    return folder.is_dir() and os.access(folder, os.W_OK)


def save(desk: Desk, id: str, text: str, why: str) -> Recorded:
    """The keeper's own text of a protocol, refused while anything is wrong with it."""
    answer = own_protocols.save(desk, id, text, why)
    moved = "; a limit moved" if answer["limit_moved"] else ""
    return recorded(desk, answer, f"{id} saved as your own{moved}")


def restore(desk: Desk, id: str) -> Recorded:
    """The shipped file in force again; the keeper's own is set aside beside it."""
    answer = own_protocols.restore(desk, id)
    left = (
        "the shipped one is in force again" if answer["shipped"] else "nothing stands for it now"
    )
    return recorded(
        desk, answer, f"{id}: {left}", next_text=f"yours is kept as {answer['set_aside']}"
    )
