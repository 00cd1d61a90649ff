"""A room of an older schema, of a newer one, and of today's."""

from __future__ import annotations

import sqlite3
import stat
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

from intake.flows import rooms
from intake.flows.desk import Desk, at_work
from intake.flows.history import history
from intake.flows.record import record
from intake.store import engine as engines
from intake.store import upgrade
from intake.store.files import engine_on
from intake.store.tables import HEAD, Rooms
from intake.store.trouble import RoomTrouble
from tests.conftest import RunPython
from tests.store.rows import raw_rows

DATA = Path(__file__).parent.parent / "data"


def load(path: Path, schema: str = "0001") -> Path:
    """The room kept as SQL text, as a file."""
    with closing(sqlite3.connect(path)) as raw:
        raw.executescript((DATA / f"room_{schema}.sql").read_text(encoding="utf-8"))
    return path


def texts(connection: Connection) -> dict[str, str | None]:
    """Everything the schema consists of, by name, as SQLite keeps its words."""
    found = connection.exec_driver_sql("SELECT type || ' ' || name, sql FROM sqlite_master")
    return {name: said for name, said in found}


def migrated(path: Path) -> None:
    """An empty file brought to today's schema by the migrations alone."""
    path.touch()
    with engine_on(path, "rw", write=True).begin() as connection:
        engines.create_mark(connection)
        upgrade.run_migrations(connection)


def test_the_migrations_and_a_new_room_come_to_the_same(tmp_path: Path) -> None:
    migrated(tmp_path / "migrated.db")
    engines.make_engine(tmp_path / "new.db")
    with (
        engines.open_engine(tmp_path / "migrated.db", write=False).connect() as old,
        engines.open_engine(tmp_path / "new.db", write=False).connect() as new,
    ):
        assert texts(old) == texts(new)
        assert len(texts(new)) > 10
        context = MigrationContext.configure(old, opts={"compare_type": True})
        found = compare_metadata(context, Rooms.metadata)
        assert found == []
    with engines.open_engine(tmp_path / "migrated.db", write=True).begin() as spoiled:
        spoiled.exec_driver_sql("DROP INDEX ix_journal_kind")
        context = MigrationContext.configure(spoiled, opts={"compare_type": True})
        assert [found[0] for found in compare_metadata(context, Rooms.metadata)] == ["add_index"]


def test_the_newest_migration_is_the_schema_the_program_writes() -> None:
    config = Config()
    config.set_main_option("script_location", upgrade.LOCATION)
    script = ScriptDirectory.from_config(config)
    assert script.get_heads() == [HEAD]
    for revision in script.walk_revisions():
        assert Path(revision.path).name.startswith(revision.revision)
        assert (DATA / f"room_{revision.revision}.sql").is_file()


@pytest.mark.parametrize("schema", ["0001"])
def test_a_filled_room_of_every_released_schema_opens_and_verifies(
    schema: str, tmp_path: Path
) -> None:
    path = load(tmp_path / "room.db", schema)
    desk = Desk(path, keeper="Ana")
    with at_work(desk) as book:
        assert book.facts.loose == []
    answer = rooms.verify(desk, replay=True)
    assert (answer["ok"], answer["entries"], answer["projections_match"]) == (True, 17, True)
    shown = rooms.show_room(desk)
    assert {v["name"]: v["volume_l"] for v in shown["vessels"]} == pytest.approx(
        {"Tub": 200.0, "Pool": 883.57}, rel=1e-5
    )
    assert [(g["name"], g["count"]) for g in shown["groups"]] == [("Nov ryukins", 5)]
    told = history(desk, "Tub")["entries"]
    assert [e["why"] for e in told if e["corrects"] == 8] == ["misread"]
    assert record(desk, "reading", {"subject": "Tub", "ph": "7.5"})["entry"] == 18


OPENED = """
import sys
from intake.cli import main
codes = [main(["--room", sys.argv[1], "--keeper", "Ana", *words.split()]) for words in (
    "record reading Tub --ph 7.5", "room show", "history Tub", "verify --replay")]
print(codes, sorted(m for m in sys.modules if m.partition(".")[0] in ("alembic", "mako")))
"""


def test_a_room_of_todays_schema_needs_no_migration_tool(
    run_python: RunPython, tmp_path: Path
) -> None:
    path = load(tmp_path / "room.db")
    done = run_python("-c", OPENED, str(path))
    assert done.stdout.splitlines()[-1] == "[0, 0, 0, 0] []", done.stderr


Step = Callable[[Connection], None]


def next_schema(patch: pytest.MonkeyPatch, *steps: Step) -> None:
    """Lets the program be one schema further on; its migration is the steps."""

    def run(connection: Connection, to: str = "0002") -> None:
        for step in steps:
            step(connection)
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '0002'")

    for module in (engines, upgrade):
        patch.setattr(module, "HEAD", "0002")
    patch.setattr(upgrade, "run_migrations", run)


def widen(connection: Connection) -> None:
    connection.exec_driver_sql("ALTER TABLE mention ADD COLUMN how TEXT NOT NULL DEFAULT ''")


def empty_projections(connection: Connection) -> None:
    connection.exec_driver_sql("DELETE FROM mention")
    connection.exec_driver_sql("DELETE FROM effective")


def loosened(connection: Connection) -> None:
    """A table that others refer to is dropped and comes back, as a migration does it."""
    assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 0
    said = texts(connection)["table journal"]
    assert said is not None
    guards = [s for n, s in texts(connection).items() if s and n.startswith("trigger")]
    connection.exec_driver_sql("CREATE TABLE old AS SELECT * FROM journal")
    connection.exec_driver_sql("DROP TABLE journal")
    connection.exec_driver_sql(said)
    connection.exec_driver_sql("INSERT INTO journal SELECT * FROM old")
    connection.exec_driver_sql("DROP TABLE old")
    for guard in guards:
        connection.exec_driver_sql(guard)


def test_an_older_room_is_copied_then_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = load(tmp_path / "room.db")
    before, rows = path.read_bytes(), raw_rows(path)
    next_schema(monkeypatch, widen, empty_projections, loosened)
    answer = rooms.verify(Desk(path), replay=False)
    assert answer["ok"]
    assert raw_rows(path) == rows
    with closing(sqlite3.connect(path)) as raw:
        assert raw.execute("SELECT version_num FROM alembic_version").fetchall() == [("0002",)]
        assert raw.execute("SELECT count(*), max(how) FROM mention").fetchone() == (20, "")
        assert raw.execute("SELECT count(*) FROM effective").fetchone() == (13,)
    copy = path.with_name("room.db.schema-0001")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["room.db", copy.name]
    assert raw_rows(copy) == rows
    if sys.platform != "win32":
        assert stat.S_IMODE(copy.stat().st_mode) == 0o600
    monkeypatch.undo()
    with closing(sqlite3.connect(path)) as raw, closing(sqlite3.connect(copy)) as kept_copy:
        was = kept_copy.execute("SELECT version_num FROM alembic_version").fetchall()
        assert was == [("0001",)]
        assert list(raw.iterdump()) != list(kept_copy.iterdump())
    assert rooms.verify(Desk(copy), replay=True)["ok"]
    assert before[:16] == path.read_bytes()[:16]


def fail(connection: Connection) -> None:
    raise sqlite3.DatabaseError("disk image is malformed")


def unguarded(connection: Connection, verb: str, statement: str) -> None:
    guard = texts(connection)[f"trigger journal_{verb}"]
    assert guard is not None
    connection.exec_driver_sql(f"DROP TRIGGER journal_{verb}")
    connection.exec_driver_sql(statement)
    connection.exec_driver_sql(guard)


def lose_a_row(connection: Connection) -> None:
    unguarded(connection, "delete", "DELETE FROM journal WHERE sequence = 17")


def rewrite_a_row(connection: Connection) -> None:
    unguarded(connection, "update", "UPDATE journal SET content = '{}' WHERE sequence = 17")


def take_a_guard(connection: Connection) -> None:
    connection.exec_driver_sql("DROP TRIGGER journal_delete")


def leave_an_orphan(connection: Connection) -> None:
    connection.exec_driver_sql("CREATE TABLE extra (a INTEGER REFERENCES journal (sequence))")
    connection.exec_driver_sql("INSERT INTO extra VALUES (999)")


def stay_behind(connection: Connection) -> None:
    """Sets back what the patched migration is about to say of the schema."""
    connection.exec_driver_sql(
        "CREATE TEMP TRIGGER behind AFTER UPDATE ON alembic_version "
        "BEGIN DELETE FROM alembic_version; INSERT INTO alembic_version VALUES ('0000'); END"
    )


@pytest.mark.parametrize(
    "step", [lose_a_row, rewrite_a_row, take_a_guard, leave_an_orphan, stay_behind, fail]
)
def test_a_change_that_goes_wrong_leaves_the_room_as_it_was(
    step: Step, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = load(tmp_path / "room.db")
    with closing(sqlite3.connect(path)) as raw:
        before = list(raw.iterdump())
    with monkeypatch.context() as patch:
        next_schema(patch, widen, step)
        with pytest.raises(sqlite3.DatabaseError if step is fail else RoomTrouble) as told:
            upgrade.upgrade(path, "0001")
        if isinstance(told.value, RoomTrouble):
            assert told.value.code == "room-damaged"
    with closing(sqlite3.connect(path)) as raw:
        assert list(raw.iterdump()) == before
    assert rooms.verify(Desk(path), replay=True)["ok"]
    assert path.with_name("room.db.schema-0001").exists()


def test_a_copy_is_never_written_over_another(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = load(tmp_path / "room.db")
    for name in ("room.db.schema-0001", "room.db.schema-0001-2"):
        path.with_name(name).write_bytes(b"kept")
    next_schema(monkeypatch, widen)
    engines.open_engine(path, write=True)
    assert path.with_name("room.db.schema-0001").read_bytes() == b"kept"
    assert path.with_name("room.db.schema-0001-2").read_bytes() == b"kept"
    assert len(raw_rows(path.with_name("room.db.schema-0001-3"))) == 17


def test_a_program_that_waited_while_another_changed_it_leaves_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = load(tmp_path / "room.db")
    next_schema(monkeypatch, widen)
    engines.open_engine(path, write=True)
    upgrade.upgrade(path, "0001")
    assert not path.with_name("room.db.schema-0001-2").exists()


def test_an_older_room_that_cannot_be_written_is_not_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = load(tmp_path / "room.db")
    before = path.read_bytes()
    next_schema(monkeypatch, widen)
    monkeypatch.setattr("os.access", lambda *_: False)
    with pytest.raises(RoomTrouble) as told:
        engines.open_engine(path, write=False)
    assert told.value.code == "room-read-only"
    assert path.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == ["room.db"]


def test_a_newer_room_is_left(tmp_path: Path) -> None:
    path = load(tmp_path / "room.db")
    with closing(sqlite3.connect(path)) as raw, raw:
        raw.execute("UPDATE alembic_version SET version_num = '0002'")
    before = path.read_bytes()
    for write in (True, False):
        with pytest.raises(RoomTrouble) as told:
            engines.open_engine(path, write=write)
        assert told.value.code == "room-newer"
        assert "0002" in told.value.text
    assert path.read_bytes() == before


def test_the_migrations_are_part_of_the_package() -> None:
    import intake.store

    folder = Path(intake.store.__file__).parent / "migrations"
    names = {p.relative_to(folder).as_posix() for p in folder.rglob("*.py")}
    assert {"env.py", "versions/0001_first.py"} <= names
