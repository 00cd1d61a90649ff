"""The keeper's own protocols: saved whole or not at all, set aside, each time with an entry."""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Callable
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import Any

from intake import paths
from intake.clock import local_date
from intake.flows.desk import Book, Desk, at_work
from intake.flows.names import unknown
from intake.flows.notes import Notes
from intake.flows.protocol_files import (
    PLURAL,
    ProtocolFile,
    in_force,
    parsed_at,
    parsed_text,
    problems_of,
    sha256_of,
)
from intake.flows.protocol_limits import limit_moved
from intake.science.plan import Plan
from intake.science.problem import Problem, Unreadable
from intake.science.targets import WaterTargets
from intake.science.text import read_note
from intake.science.treatment import Treatment
from intake.store.trouble import RoomTrouble

_ID = re.compile(r"(treatments|plans|rescues)/[a-z0-9][a-z0-9-]{0,60}")
SINGLE = ("water", "signs", "never-mix", "parasites")
_KINDS = {folder: kind for kind, folder in PLURAL.items()}


def file_named(files: dict[str, ProtocolFile], id_: str) -> ProtocolFile:
    """The file of that id; one that is not there yet may be written where its id is sound.

    Raises
    ------
    Unreadable
        no-such-name.
    """
    if id_ in files:
        return files[id_]
    if not (_ID.fullmatch(id_) or id_ in SINGLE):
        raise Unreadable(unknown(id_, files, "a protocol").placed("ID"))
    kind = _KINDS.get(id_.partition("/")[0], id_)
    return ProtocolFile(id_, kind, own_path(id_), own=False, shipped=None)


def own_path(id_: str) -> Path:
    """Where the keeper's own file of that id goes."""
    return paths.own_protocols() / f"{id_}.yaml"


def save(desk: Desk, id_: str, text: str, why: str) -> dict[str, Any]:
    """Puts a text in the keeper's own folder, where it wins over the shipped one.

    Raises
    ------
    Unreadable
        Every problem of the text; reason-missing where a limit moves and nobody says why.
    Refused, RoomTrouble
        Nobody is named as recording; the folder or the room cannot be written.
    """
    files = in_force()
    file = file_named(files, id_)
    after = parsed_text(id_, file.kind, text)
    problems = problems_of(files, id_, after)
    if problems:
        raise Unreadable(*problems)
    before = parsed_at(file.path, file.kind) if id_ in files else None
    moved = limit_moved(before.content if before else None, after.content)
    reason = _reason(why, moved=moved)
    path = file.path if file.own else own_path(id_)
    content = text.encode("utf-8")
    version = _version(after.content)
    old = _bytes(file.path) if id_ in files else None
    entry = {
        "id": id_,
        "action": "saved",
        "old_sha256": sha256_of(old) if old is not None else None,
        "sha256": sha256_of(content),
        "version": version,
        "limit_moved": moved,
    }
    kept = _bytes(path)
    return _journaled(desk, entry, reason, lambda: _put(path, content), lambda: _undo(path, kept))


def restore(desk: Desk, id_: str) -> dict[str, Any]:
    """Sets the keeper's own file aside, beside itself, so that the shipped one is in force again.

    Raises
    ------
    Unreadable
        no-such-name, where there is no file of the keeper's own with that id.
    Refused, RoomTrouble
        Nobody is named as recording; the folder or the room cannot be written.
    """
    files = in_force()
    file = files.get(id_)
    if file is None or not file.own:
        own = [f.id for f in files.values() if f.own]
        raise Unreadable(unknown(id_, own, "a protocol of your own").placed("ID"))
    old = _bytes(file.path) or b""
    shipped = _bytes(file.shipped) if file.shipped else None
    version = ""
    if file.shipped is not None:
        version = _version(parsed_at(file.shipped, file.kind).content)
    entry = {
        "id": id_,
        "action": "restored",
        "old_sha256": sha256_of(old),
        "sha256": sha256_of(shipped) if shipped is not None else None,
        "version": version,
    }
    with at_work(desk) as book:
        aside = _aside(file.path, local_date(book.now, book.facts.zone))
    answer = _journaled(
        desk, entry, None, lambda: _rename(file.path, aside), lambda: _rename(aside, file.path)
    )
    return {**answer, "set_aside": aside.name, "shipped": shipped is not None}


def _reason(why: str, *, moved: bool) -> str | None:
    if moved and not why.strip():
        text = "a limit moves: say why, the reason stays with the change"
        raise Unreadable(Problem("reason-missing", text, "--why TEXT", "--why"))
    if not why.strip():
        return None
    note = read_note(why)
    if isinstance(note, Problem):
        raise Unreadable(note.placed("--why"))
    return note


def _version(content: object) -> str:
    return content.version if isinstance(content, Treatment | Plan | WaterTargets) else ""


def _bytes(path: Path) -> bytes | None:
    from intake.rules.protocol_file import read_file

    if not path.exists():
        return None
    read = read_file(path)
    if isinstance(read, Problem):
        raise Unreadable(read)
    return read.content


def _journaled(
    desk: Desk,
    entry: dict[str, Any],
    why: str | None,
    do: Callable[[], None],
    undo: Callable[[], None],
) -> dict[str, Any]:
    """The entry and the file together, or neither: the file moves last, and back on trouble."""
    done = False
    try:
        with at_work(desk, write=True) as book:
            number = _append(book, entry, why)
            if not desk.rehearsal:
                done = True
                do()
    except OSError as error:
        if done:
            with suppress(OSError):
                undo()
        text = f"the protocols folder cannot be written: {error.strerror or error}"
        raise RoomTrouble("room-read-only", text, "nothing was changed") from error
    except BaseException:
        if done:
            undo()
        raise
    return {"entry": None if desk.rehearsal else number, **entry, **Notes().as_keys()}


def _append(book: Book, entry: dict[str, Any], why: str | None) -> int:
    content = {k: v for k, v in entry.items() if v is not None}
    return book.append("protocol", content | ({"why": why} if why else {}), why=why)


def _put(path: Path, content: bytes) -> None:
    """Writes beside, to the disk, then in place of what was there: never half a file."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    handle, name = tempfile.mkstemp(prefix=".", suffix=".part", dir=path.parent)
    beside = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        beside.chmod(0o600)
        beside.replace(path)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    _sync_folder(path.parent)


def _undo(path: Path, kept: bytes | None) -> None:
    if kept is None:
        path.unlink(missing_ok=True)
        _sync_folder(path.parent)
    else:
        _put(path, kept)


def _rename(path: Path, to: Path) -> None:
    path.rename(to)
    _sync_folder(to.parent)


def _sync_folder(folder: Path) -> None:
    """A rename is kept once its folder is on the disk; not every system lets one be opened."""
    flags = os.O_RDONLY | getattr(os, "O_DIRECTORY", 0)
    try:
        handle = os.open(folder, flags)
    except PermissionError:  # Windows does not open folders
        return
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _aside(path: Path, day: date) -> Path:
    """``salt.yaml.old-2026-11-25``, numbered where there is one of that day already."""
    first = path.with_name(f"{path.name}.old-{day.isoformat()}")
    number, found = 1, first
    while found.exists():
        number += 1
        found = first.with_name(f"{first.name}-{number}")
    return found
