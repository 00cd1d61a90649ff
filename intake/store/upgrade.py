"""Brings a room of an older schema to today's. Imported only when a room's schema differs."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, text

from intake.store import files, fold, journal
from intake.store.tables import HEAD
from intake.store.trouble import RoomTrouble

LOCATION = "intake.store:migrations"
GUARDS = "SELECT sql FROM sqlite_master WHERE type='trigger' AND tbl_name='journal'"


def run_migrations(connection: Connection, to: str = HEAD) -> None:
    """Runs the migrations up to a schema inside the caller's transaction."""
    config = Config()
    config.set_main_option("script_location", LOCATION)
    config.attributes["connection"] = connection
    command.upgrade(config, to)


def upgrade(path: Path, found: str) -> None:
    """Copies the room beside itself, then changes its schema in one transaction.

    The journal is not rewritten: the same rows verify afterwards, and the projections are
    folded from them again.

    Raises
    ------
    RoomTrouble
        And then the room is as it was.
    """
    engine = files.engine_for_upgrade(path)
    with files.plain_words(path), engine.connect() as connection, connection.begin():
        # Another program may have done it while this one waited for the lock.
        if _schema(connection) == found:
            _copy(path, found)
            _change(connection, path)


def _change(connection: Connection, path: Path) -> None:
    before = _proof(connection)
    run_migrations(connection)
    fold.rebuild(connection)
    broken = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    if broken or _proof(connection) != before or _schema(connection) != HEAD:
        raise RoomTrouble(
            "room-damaged",
            f"{path.name} could not be brought to schema {HEAD}; it was left as it is",
            "keep the file and run: intake verify",
        )


def _schema(connection: Connection) -> Any:
    return connection.execute(text("SELECT version_num FROM alembic_version")).scalar()


def _proof(connection: Connection) -> tuple[Any, ...]:
    """What a change of schema must leave the same: rows, chain and the guards on them."""
    guards = {said for (said,) in connection.exec_driver_sql(GUARDS)}
    return journal.count(connection), journal.follow_chain(connection), guards


def _copy(path: Path, found: str) -> None:
    """Writes a copy beside the room, by SQLite itself and never over an earlier one."""
    copy = _free_name(path, found)
    os.close(os.open(copy, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    try:
        source = files.connect_file(path, "ro")
        target = files.connect_file(copy, "rw")
        source.backup(target)
        target.close()
        source.close()
    except BaseException:
        copy.unlink()
        raise


def _free_name(path: Path, found: str) -> Path:
    copy = path.with_name(f"{path.name}.schema-{found}")
    number = 2
    while copy.exists():
        copy = path.with_name(f"{path.name}.schema-{found}-{number}")
        number += 1
    return copy
