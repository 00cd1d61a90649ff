"""A room that cannot be written just now: read-only, held, on a full disk, left by a crash."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from intake.store import files
from tests.store.commanded import READING, VESSEL, Run, code_of
from tests.store.rows import raw_rows


@pytest.mark.parametrize("part", ["file", "folder"])
def test_what_cannot_be_written_is_still_read(
    part: str, path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    locked = path if part == "file" else path.parent

    def access(asked: Any, mode: int) -> bool:
        return Path(asked) != locked or mode != os.W_OK

    monkeypatch.setattr(os, "access", access)
    before = path.read_bytes()
    for words in (VESSEL, READING, (*READING, "--dry-run")):
        ended, answer = run(*words)
        assert (ended, code_of(answer)) == (4, "room-read-only")
    assert run("room", "show")[0] == 0
    assert run("verify", "--replay")[0] == 0
    assert path.read_bytes() == before


def test_a_file_that_turns_read_only_under_the_program(
    path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What SQLite says then, whatever the permission bits said before."""
    with closing(files.connect_file(path, "ro")) as raw:
        with pytest.raises(sqlite3.OperationalError) as said:
            raw.execute("INSERT INTO alembic_version VALUES ('x')")
        trouble = files._named(said.value, path)
        assert trouble is not None
        assert trouble.code == "room-read-only"


@pytest.mark.parametrize("begin", ["BEGIN IMMEDIATE", "BEGIN EXCLUSIVE"])
def test_a_room_another_program_holds(
    begin: str, path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(files._PRAGMAS, "busy_timeout", 20)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute(begin)
        ended, answer = run(*READING)
        assert (ended, code_of(answer)) == (4, "room-locked")
        ended, answer = run("room", "show")
        if begin == "BEGIN EXCLUSIVE":
            assert (ended, code_of(answer)) == (4, "room-locked")
        else:
            assert ended == 0
    assert len(raw_rows(path)) == 5
    assert run(*READING)[1]["entry"] == 6


def test_a_reader_in_the_way_of_the_commit(
    path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(files._PRAGMAS, "busy_timeout", 20)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN")
        other.execute("SELECT count(*) FROM journal").fetchone()
        ended, answer = run(*READING)
        assert (ended, code_of(answer)) == (4, "room-locked")
    assert len(raw_rows(path)) == 5
    assert run(*READING)[1]["entry"] == 6
    assert run("verify", "--replay")[0] == 0


def test_a_full_disk_loses_nothing_that_was_answered(
    path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    with closing(sqlite3.connect(path)) as raw:
        pages = raw.execute("PRAGMA page_count").fetchone()[0]
    monkeypatch.setitem(files._PRAGMAS, "max_page_count", pages)
    answered = 5
    note = "the water was cloudy after the change " * 40
    for _ in range(200):
        ended, answer = run(*READING, "--note", note)
        if ended:
            break
        answered = answer["entry"]
    assert (ended, code_of(answer)) == (4, "room-full")
    assert answered > 5
    assert [row["sequence"] for row in raw_rows(path)] == list(range(1, answered + 1))
    assert run("verify", "--replay")[0] == 0
    assert run("room", "show")[0] == 0
    monkeypatch.undo()
    assert run(*READING)[1]["entry"] == answered + 1


def test_a_new_room_on_a_full_disk_leaves_no_file(
    path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(files._PRAGMAS, "max_page_count", 3)
    new = path.with_name("new.db")
    ended, answer = run("room", "new", "--keeper", "Bo", room=new)
    assert (ended, code_of(answer)) == (4, "room-full")
    assert [p.name for p in path.parent.iterdir()] == [path.name]


CRASH = """
import os, sqlite3, sys
raw = sqlite3.connect(sys.argv[1], isolation_level=None)
raw.execute("PRAGMA cache_size=2")
raw.execute("PRAGMA cache_spill=1")
raw.execute("BEGIN IMMEDIATE")
raw.execute("DELETE FROM mention")
raw.execute("DELETE FROM effective")
raw.execute("CREATE TABLE filler (a TEXT)")
for n in range(400):
    raw.execute("INSERT INTO filler VALUES (?)", ("x" * 1000,))
os._exit(1)
"""


def test_what_a_crash_left_half_written_is_rolled_back(path: Path, run: Run) -> None:
    before = path.read_bytes()
    subprocess.run([sys.executable, "-c", CRASH, str(path)], check=False)
    journal = path.with_name(path.name + "-journal")
    assert journal.exists()
    assert path.read_bytes() != before
    assert run("verify", "--replay")[0] == 0
    assert not journal.exists()
    assert path.read_bytes() == before
    assert run(*READING)[1]["entry"] == 6


def test_a_crash_journal_in_a_folder_that_cannot_be_written(
    path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    subprocess.run([sys.executable, "-c", CRASH, str(path)], check=False)
    before = path.read_bytes()
    monkeypatch.setattr(os, "access", lambda _asked, mode: mode != os.W_OK)
    ended, answer = run("room", "show")
    assert (ended, code_of(answer)) == (4, "room-read-only")
    assert path.read_bytes() == before
