"""What the database itself refuses, and the settings that keep what was written."""

from __future__ import annotations

import os
import re
import sqlite3
import stat
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy.dialects import postgresql
from sqlalchemy.exc import IntegrityError
from sqlalchemy.schema import CreateIndex, CreateTable

from intake.flows.desk import Desk, at_work
from intake.flows.rooms import new_room
from intake.store import files
from intake.store.files import connect_file
from intake.store.tables import APPLICATION_ID, HEAD, Rooms
from intake.store.trouble import RoomTrouble
from tests.store.rows import draft, filled, raw_rows, write

COLUMNS = (
    "sequence, at, time_zone, entered, keeper, kind, version, content, corrects, why, key, "
    "previous, hash"
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    filled(tmp_path / "room.db")
    return tmp_path / "room.db"


@pytest.fixture
def raw(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection as the program opens them."""
    with closing(connect_file(path, "rw")) as raw:
        yield raw


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE journal SET why = 'x' WHERE sequence = 2",
        "UPDATE journal SET why = why",
        "UPDATE OR REPLACE journal SET sequence = 1 WHERE sequence = 2",
        "DELETE FROM journal WHERE sequence = 5",
        "DELETE FROM journal",
        f"INSERT OR REPLACE INTO journal ({COLUMNS}) SELECT {COLUMNS} FROM journal "
        "WHERE sequence = 2",
        f"REPLACE INTO journal SELECT {COLUMNS} FROM journal WHERE sequence = 5",
        f"INSERT INTO journal SELECT {COLUMNS} FROM journal WHERE sequence = 3 "
        "ON CONFLICT (sequence) DO UPDATE SET why = 'x'",
    ],
)
def test_nothing_in_the_journal_is_changed(
    statement: str, raw: sqlite3.Connection, path: Path
) -> None:
    before = raw_rows(path)
    with pytest.raises(sqlite3.IntegrityError, match="the journal is never changed"):
        raw.execute(statement)
    assert raw_rows(path) == before


def test_replacing_by_hand_is_what_the_recursive_triggers_stop(path: Path) -> None:
    """Without that setting the same statement goes through: the test above can fail."""
    with closing(sqlite3.connect(path)) as loose:
        loose.execute(f"REPLACE INTO journal SELECT {COLUMNS} FROM journal WHERE sequence = 5")
        loose.rollback()


@pytest.mark.parametrize(
    ("table", "values"),
    [
        ("journal", "(6, 'x', 'x', 'x', 'x', 'x', 'one', 'x', NULL, NULL, NULL, 'p', 'h')"),
        ("journal", "(0, 'x', 'x', 'x', 'x', 'x', 1, 'x', NULL, NULL, NULL, P, H)"),
        ("journal", "(6, 'x', 'x', 'x', 'x', 'x', 0, 'x', NULL, NULL, NULL, P, H)"),
        ("journal", "(6, 'x', 'x', 'x', 'x', 'x', 1, 'x', NULL, NULL, NULL, 'short', H)"),
        ("journal", "(6, 'x', 'x', 'x', 'x', 'x', 1, 'x', NULL, NULL, NULL, P, 'short')"),
        ("journal", "(6, 'x', 'x', 'x', 'x', 'x', 1, 'x', 77, NULL, NULL, P, H)"),
        ("journal", "(6, 'x', 'x', 'x', 'x', 'x', 1, 'x', NULL, NULL, 'phone-7', P, H)"),
        ("journal", "(6, NULL, 'x', 'x', 'x', 'x', 1, 'x', NULL, NULL, NULL, P, H)"),
        ("journal", "(6, 'x', 'x', 'x', 'x', 'x', 1, NULL, NULL, NULL, NULL, P, H)"),
        ("journal", "(6, 'x', 'x', 'x', 'x', 'x', 1, x'00', NULL, NULL, NULL, P, H)"),
        ("effective", "(4, 99, 'x', 0)"),
        ("effective", "(99, 4, 'x', 0)"),
        ("effective", "(5, 5, 'x', 2)"),
        ("mention", "(99, 1)"),
        ("mention", "(4, 1)"),
    ],
)
def test_the_second_lock_behind_the_program(
    table: str, values: str, raw: sqlite3.Connection
) -> None:
    values = values.replace("P", "'" + "1" * 64 + "'").replace("H", "'" + "2" * 64 + "'")
    with pytest.raises(sqlite3.IntegrityError):
        raw.execute(f"INSERT INTO {table} VALUES {values}")


def test_a_row_that_fits_every_lock_goes_in(raw: sqlite3.Connection) -> None:
    values = "(6, 'x', 'x', 'x', 'x', 'x', 1, 'x', 5, NULL, 'k', '{}', '{}')"
    raw.execute("INSERT INTO journal VALUES " + values.format("1" * 64, "2" * 64))


@pytest.mark.parametrize("write", [True, False])
def test_settings_read_back_on_the_connections_jobs_are_given(write: bool, tmp_path: Path) -> None:
    desk = Desk(tmp_path / "room.db", keeper="Ana")
    new_room(desk, {"time_zone": "UTC"})
    wanted = {
        "journal_mode": "delete",
        "synchronous": 3,
        "foreign_keys": 1,
        "recursive_triggers": 1,
        "trusted_schema": 0,
        "cell_size_check": 1,
        "busy_timeout": 5000,
        "application_id": APPLICATION_ID,
    }
    with at_work(desk, write=write) as book:
        read = {
            name: book.connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in wanted
        }
        assert read == wanted
        version = book.connection.exec_driver_sql("SELECT version_num FROM alembic_version")
        assert version.scalar() == HEAD


def test_a_setting_that_does_not_hold_is_told(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(files._PRAGMAS, "synchronous", 7)
    with pytest.raises(RoomTrouble, match="synchronous") as told:
        connect_file(path, "rw")
    assert told.value.code == "room-damaged"


def test_every_table_is_strict(raw: sqlite3.Connection) -> None:
    tables = {name: strict for _, name, _, _, _, strict in raw.execute("PRAGMA main.table_list")}
    ours = {name: strict for name, strict in tables.items() if not name.startswith("sqlite_")}
    assert set(ours) == {"journal", "effective", "mention", "alembic_version"}
    assert set(ours.values()) == {1}


def test_the_tables_are_said_for_postgresql_too() -> None:
    dialect = postgresql.dialect()  # type: ignore[no-untyped-call]
    assert len(Rooms.metadata.sorted_tables) == 3
    for table in Rooms.metadata.sorted_tables:
        said = str(CreateTable(table).compile(dialect=dialect))
        assert not re.search(r"\b(STRICT|SERIAL|VARCHAR|DATETIME|TIMESTAMP|BOOLEAN)\b", said), said
        assert set(re.findall(r"\b(?:TEXT|INTEGER|DOUBLE PRECISION)\b", said)) <= {
            "TEXT",
            "INTEGER",
        }
        for index in table.indexes:
            assert str(CreateIndex(index).compile(dialect=dialect)).startswith("CREATE INDEX ix_")


@pytest.mark.skipif(sys.platform == "win32", reason="permission bits are of POSIX")
def test_a_new_room_is_its_keepers_alone(tmp_path: Path) -> None:
    mask = os.umask(0)
    try:
        new_room(Desk(tmp_path / "fish" / "room.db", keeper="Ana"), {})
    finally:
        os.umask(mask)
    assert stat.S_IMODE((tmp_path / "fish" / "room.db").stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "fish").stat().st_mode) == 0o700
    assert [p.name for p in (tmp_path / "fish").iterdir()] == ["room.db"]


def test_a_failed_write_is_a_bug_not_a_damaged_room(tmp_path: Path) -> None:
    engine = filled(tmp_path / "room.db")
    with (
        pytest.raises(IntegrityError),
        files.plain_words(tmp_path / "room.db"),
        engine.begin() as connection,
    ):
        write(connection, draft(key="phone-7"))
