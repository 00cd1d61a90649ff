"""Files that are no room, or not a whole one."""

from __future__ import annotations

import random
import sqlite3
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from intake.store.tables import APPLICATION_ID
from tests.store.commanded import COMMANDS, READING, Run, code_of


def test_the_room_itself_answers(run: Run) -> None:
    assert run("verify", "--replay")[0] == 0
    assert run(*READING)[0] == 0
    assert run("room", "show")[0] == 0


def _nothing(path: Path) -> None:
    path.unlink()


def _folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


def _empty(path: Path) -> None:
    path.write_bytes(b"")


def _junk(path: Path) -> None:
    path.write_bytes(random.Random(1).randbytes(40_000))


def _notes(path: Path) -> None:
    path.write_text("Tub: 200 L\n" * 100, encoding="utf-8")


def _cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:9000])


def _cut_short(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:50])


def _somebody_elses(path: Path) -> None:
    path.unlink()
    with closing(sqlite3.connect(path)) as raw, raw:
        raw.execute("CREATE TABLE journal (sequence INTEGER PRIMARY KEY, song TEXT)")


def _marked_but_empty(path: Path) -> None:
    path.unlink()
    with closing(sqlite3.connect(path)) as raw, raw:
        raw.execute(f"PRAGMA application_id={APPLICATION_ID}")
        raw.execute("CREATE TABLE t (a)")


def _newer(path: Path) -> None:
    with closing(sqlite3.connect(path)) as raw, raw:
        raw.execute("UPDATE alembic_version SET version_num = '0999'")


def _no_schema(path: Path) -> None:
    with closing(sqlite3.connect(path)) as raw, raw:
        raw.execute("DELETE FROM alembic_version")


def _no_table(path: Path) -> None:
    with closing(sqlite3.connect(path)) as raw, raw:
        raw.execute("DROP TABLE effective")


def _no_journal(path: Path) -> None:
    with closing(sqlite3.connect(path)) as raw, raw:
        raw.execute("DROP TABLE mention")
        raw.execute("DROP TABLE effective")
        raw.execute("DROP TABLE journal")


BAD = [
    (_nothing, "no-room"),
    (_folder, "not-a-room"),
    (_empty, "not-a-room"),
    (_junk, "not-a-room"),
    (_notes, "not-a-room"),
    (_cut, "room-damaged"),
    (_cut_short, "room-damaged"),
    (_somebody_elses, "not-a-room"),
    (_marked_but_empty, "room-damaged"),
    (_newer, "room-newer"),
    (_no_schema, "room-damaged"),
    (_no_table, "room-damaged"),
    (_no_journal, "room-damaged"),
]


@pytest.mark.parametrize("words", COMMANDS, ids=lambda words: words[0])
@pytest.mark.parametrize(("spoil", "code"), BAD, ids=[f.__name__ for f, _ in BAD])
def test_a_file_that_is_no_whole_room_is_told_and_left(
    spoil: Callable[[Path], None], code: str, words: tuple[str, ...], path: Path, run: Run
) -> None:
    spoil(path)
    before = path.read_bytes() if path.is_file() else path.exists()
    ended, answer = run(*words)
    assert (ended, code_of(answer)) == (4, code)
    assert (path.read_bytes() if path.is_file() else path.exists()) == before
    assert [p.name for p in path.parent.iterdir()] == ([path.name] if path.exists() else [])


UNREADABLE = [bad for bad in BAD if bad[0] is not _no_table]
"""The journal itself can be read without its projections."""


@pytest.mark.parametrize(("spoil", "code"), UNREADABLE, ids=[f.__name__ for f, _ in UNREADABLE])
def test_verify_of_a_file_that_cannot_be_read(
    spoil: Callable[[Path], None], code: str, path: Path, run: Run
) -> None:
    spoil(path)
    ended, answer = run("verify")
    assert (ended, code_of(answer)) == (4, code)


@pytest.mark.parametrize("spoil", [f for f, _ in BAD if f is not _nothing])
def test_a_new_room_never_takes_the_place_of_a_file(
    spoil: Callable[[Path], None], path: Path, run: Run
) -> None:
    spoil(path)
    before = path.read_bytes() if path.is_file() else None
    ended, answer = run("room", "new", "--keeper", "Bo")
    assert (ended, code_of(answer)) == (4, "not-a-room")
    assert (path.read_bytes() if path.is_file() else None) == before


@pytest.mark.parametrize(
    "room", ["missing/room.db", "x" * 300 + ".db", "/".join(["y" * 200] * 25) + "/room.db"]
)
def test_a_mistyped_path_makes_nothing(room: str, tmp_path: Path, run: Run) -> None:
    before = sorted(tmp_path.rglob("*"))
    for words in (READING, ("room", "show"), ("verify",)):
        ended, answer = run(*words, room=tmp_path / room)
        assert (ended, code_of(answer)) == (4, "no-room")
    assert sorted(tmp_path.rglob("*")) == before


def test_a_new_room_where_a_folder_cannot_be_made(path: Path, run: Run) -> None:
    ended, answer = run("room", "new", "--keeper", "Bo", room=path / "inside" / "room.db")
    assert (ended, code_of(answer)) == (4, "room-read-only")
    ended, answer = run("room", "new", "--keeper", "Bo", room=path.parent / ("x" * 300))
    assert (ended, code_of(answer)) == (4, "room-read-only")


@pytest.mark.skipif(sys.platform == "win32", reason="links need a right there")
def test_a_link_to_the_room_and_a_path_with_two_slashes_work(path: Path, run: Run) -> None:
    link = path.parent / "link.db"
    link.symlink_to(path)
    assert run(*READING, room=link)[1]["entry"] == 6
    assert run(*READING, room=Path("/" + str(path)))[1]["entry"] == 7
    link.unlink()
    link.symlink_to(path.parent / "gone.db")
    assert code_of(run("room", "show", room=link)[1]) == "no-room"
    assert code_of(run("room", "new", "--keeper", "Bo", room=link)[1]) == "not-a-room"
