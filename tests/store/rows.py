"""Rows for journals made straight on the store, without a job around them."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from contextlib import closing
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sqlalchemy import Connection, Engine

from intake.store import fold, journal
from intake.store.engine import make_engine
from intake.store.files import engine_on
from intake.store.journal import Draft

BEGAN = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)


def draft(kind: str = "reading", minutes: int = 0, **rest: Any) -> Draft:
    """A draft that says something; `rest` overrides any of its fields."""
    content: Mapping[str, Any] = {"read": {"ph": {"value": 7.4}}, "refs": {"subject": 1}}
    said: dict[str, Any] = {
        "at": BEGAN + timedelta(minutes=minutes),
        "time_zone": "Europe/Lisbon",
        "entered": BEGAN + timedelta(minutes=minutes),
        "keeper": "Ana",
        "kind": kind,
        "version": 1,
        "content": content,
    }
    return Draft(**{**said, **rest})


def write(connection: Connection, one: Draft) -> int:
    """Adds one row and folds it, as a job does."""
    sequence = journal.append(connection, one)
    fold.fold_row(connection, sequence)
    return sequence


def filled(path: Path, rows: int = 5) -> Engine:
    """A room with so many rows: a vessel, then readings of it, the last one with everything."""
    path.touch(0o600)
    path.write_bytes(_made(rows))
    return engine_on(path, "rw", write=True)


@cache
def _made(rows: int) -> bytes:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "room.db"
        with make_engine(path).begin() as connection:
            write(
                connection, draft("vessel", content={"name": "Tub", "depth": 40.5, "note": "só"})
            )
            for number in range(2, rows):
                write(connection, draft(minutes=number))
            last = draft(minutes=rows, corrects=2, why="misread", key="phone-7", keeper="Zoë")
            write(connection, last)
        return path.read_bytes()


def by_hand(path: Path, *statements: str) -> None:
    """Changes a room the way somebody with a database tool would, guards taken off first."""
    with closing(sqlite3.connect(path)) as raw, raw:
        raw.execute("DROP TRIGGER journal_update")
        raw.execute("DROP TRIGGER journal_delete")
        for statement in statements:
            raw.execute(statement)


def raw_rows(path: Path) -> list[dict[str, Any]]:
    """The journal as any SQLite program reads it."""
    with closing(sqlite3.connect(path)) as raw:
        raw.row_factory = sqlite3.Row
        return [dict(row) for row in raw.execute("SELECT * FROM journal ORDER BY sequence")]
