"""Opens and makes room files: the right file and schema, or a clear word why not."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

from sqlalchemy import Connection, Engine, text

from intake.store.files import engine_on, plain_words
from intake.store.tables import APPLICATION_ID, HEAD, Rooms
from intake.store.trouble import RoomTrouble

_GUARDS = [
    f"CREATE TRIGGER journal_{verb.lower()} BEFORE {verb} ON journal "
    "BEGIN SELECT RAISE(ABORT, 'the journal is never changed'); END"
    for verb in ("UPDATE", "DELETE")
]


def _checked_file(path: Path) -> None:
    try:
        info = path.stat()
    except OSError as error:
        hint = "make one with: intake room new"
        raise RoomTrouble("no-room", f"there is no room at {path}", hint) from error
    if not stat.S_ISREG(info.st_mode):
        raise RoomTrouble("not-a-room", f"{path} is not a file")


def _schema(engine: Engine, path: Path) -> str:
    with engine.connect() as connection:
        mark = connection.exec_driver_sql("PRAGMA application_id").scalar()
        if mark != APPLICATION_ID:
            raise RoomTrouble("not-a-room", f"{path.name} is not a room of this program")
        found = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar()
    if not isinstance(found, str):
        raise RoomTrouble("room-damaged", f"{path.name} does not say which schema it has")
    if found > HEAD:
        raise RoomTrouble(
            "room-newer",
            f"{path.name} was written by a newer program (schema {found}, this one knows {HEAD})",
            "use the newer program; nothing was changed",
        )
    return found


def open_engine(path: Path, *, write: bool) -> Engine:
    """An engine on an existing room, brought to today's schema first where it has an older one.

    Raises
    ------
    RoomTrouble
        no-room, not-a-room, room-newer, room-read-only, room-full, room-locked or room-damaged.
    """
    _checked_file(path)
    writable = os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)
    if write and not writable:
        raise RoomTrouble("room-read-only", f"{path.name} or its folder cannot be written")
    # A read needs write access only to roll back what a crash left behind.
    engine = engine_on(path, "rw" if writable else "ro", write=write)
    with plain_words(path):
        found = _schema(engine, path)
    if found != HEAD:
        if not writable:
            text_ = f"{path.name} has the older schema {found} and cannot be written to change it"
            raise RoomTrouble("room-read-only", text_, "make the file and its folder writable")
        from intake.store.upgrade import upgrade

        upgrade(path, found)
    return engine


def make_engine(path: Path) -> Engine:
    """An engine on a new, empty room made at `path` (0600, in a folder made 0700).

    Raises
    ------
    RoomTrouble
        room-read-only where the folder cannot be written, not-a-room where a file is there,
        room-full. No file is left behind.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        handle = os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    except OSError as error:
        raise _not_made(path, error) from error
    os.close(handle)
    engine = engine_on(path, "rw", write=True)
    try:
        with plain_words(path), engine.begin() as connection:
            create_schema(connection)
    except BaseException:
        path.unlink()
        raise
    return engine


def _not_made(path: Path, error: OSError) -> RoomTrouble:
    if isinstance(error, FileExistsError) and os.path.lexists(path):
        text_ = f"{path} is there already; nothing was changed"
        return RoomTrouble("not-a-room", text_, "name another file with --room")
    if error.errno == errno.ENOSPC:
        return RoomTrouble("room-full", f"the disk is full: {path.name} was not made")
    return RoomTrouble("room-read-only", f"{path.name} cannot be made in {path.parent}")


def create_schema(connection: Connection) -> None:
    """Makes every table, index and guard on an empty database and marks it as ours."""
    Rooms.metadata.create_all(connection)
    for guard in _GUARDS:
        connection.exec_driver_sql(guard)
    create_mark(connection)
    connection.execute(text("INSERT INTO alembic_version VALUES (:head)"), {"head": HEAD})


def create_mark(connection: Connection) -> None:
    """Makes what tells a room from other files: our number, and a place for its schema."""
    connection.exec_driver_sql(
        "CREATE TABLE alembic_version (version_num TEXT NOT NULL PRIMARY KEY) STRICT"
    )
    connection.exec_driver_sql(f"PRAGMA application_id={APPLICATION_ID}")
