"""Files that are no room, or a room that is damaged, held, full or not to be written."""

from __future__ import annotations

import json
import os
import random
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from intake.cli import main
from intake.flows import kept
from intake.flows.desk import Desk
from intake.flows.record import record
from intake.flows.rooms import new_room
from intake.store import files
from intake.store.tables import APPLICATION_ID
from tests.store.rows import by_hand, raw_rows

Run = Callable[..., tuple[int, dict[str, Any]]]
VESSEL = (
    "record",
    "vessel",
    "Tub",
    "box",
    "--length",
    "1 m",
    "--width",
    "50 cm",
    "--depth",
    "40 cm",
)
READING = ("record", "reading", "Tub", "--ph", "7.4")


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """A room with a vessel (entry 3) and two readings of it."""
    path = tmp_path_factory.mktemp("whole") / "room.db"
    desk = Desk(path, keeper="Ana")
    new_room(desk, {"time_zone": "Europe/Lisbon"})
    typed = {"name": "Tub", "shape": "box", "length": "1 m", "width": "50 cm", "depth": "40 cm"}
    record(desk, "vessel", typed)
    for ph in ("7.4", "7.6"):
        record(desk, "reading", {"subject": "Tub", "ph": ph})
    return path.read_bytes()


@pytest.fixture
def path(whole: bytes, tmp_path: Path) -> Path:
    """That room as a file of its own, under a name that a URI has to quote."""
    path = tmp_path / "fish room" / "räume #1?.db"
    path.parent.mkdir()
    path.write_bytes(whole)
    return path


@pytest.fixture
def run(path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs a command on the room and answers its code and JSON."""

    def run(*words: str, room: Path = path) -> tuple[int, dict[str, Any]]:
        code = main([*words, "--json", "--room", str(room)])
        out = capsys.readouterr()
        assert out.err == ""
        return code, json.loads(out.out)

    return run


def code_of(answer: dict[str, Any]) -> str:
    (problem,) = answer["problems"]
    assert problem["text"]
    return str(problem["code"])


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
COMMANDS = [
    READING,
    ("room", "show"),
    ("residue", "Tub"),
    ("history", "Tub"),
    ("dose", "salt", "--vessel", "Tub"),
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


def _flipped(path: Path, was: bytes, now: bytes) -> None:
    whole = path.read_bytes()
    assert len(was) == len(now)
    at = whole.rindex(was)
    path.write_bytes(whole[:at] + now + whole[at + len(was) :])


@pytest.mark.parametrize(
    ("was", "now"),
    [
        (b'"text":"7.4"', b'"text":"9.4"'),
        (b'"value":7.4', b'"value":9.4'),
        (b'"value":7.4', b'"value":\xff.4'),
    ],
)
def test_one_flipped_byte_stops_writes_and_doses_but_not_reading(
    was: bytes, now: bytes, path: Path, run: Run
) -> None:
    _flipped(path, was, now)
    before = path.read_bytes()
    for words in (READING, (*READING, "--dry-run"), ("correct", "4", "--void", "--why", "x")):
        ended, answer = run(*words)
        assert (ended, code_of(answer)) == (4, "room-damaged")
    ended, answer = run("dose", "salt", "--vessel", "Tub")
    assert (ended, code_of(answer)) == (4, "room-damaged")
    ended, answer = run("verify")
    assert (ended, answer["ok"], answer["first_bad"]) == (1, False, 4)
    ended, answer = run("verify", "--replay")
    assert (ended, answer["ok"], answer["projections_match"]) == (1, False, None)
    if b"\xff" not in now:
        assert [run(*words)[0] for words in (*COMMANDS[1:4], ("today",))] == [0, 0, 0, 0]
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    "change",
    [
        "content = replace(content, '\"read\"', '\"raed\"')",
        "content = replace(content, '{', '[')",
        "content = 'x'",
        "content = '[]'",
        "content = replace(content, '\"value\"', '\"valu3\"')",
        "at = 'yesterday'",
    ],
)
def test_an_entry_changed_past_reading_is_told_everywhere(
    change: str, path: Path, run: Run
) -> None:
    by_hand(path, f"UPDATE journal SET {change} WHERE sequence = 4")
    commands: list[tuple[str, ...]] = [*COMMANDS, ("correct", "4", "--void", "--why", "x")]
    for words in commands:
        ended, answer = run(*words)
        assert (ended, code_of(answer)) == (4, "room-damaged"), words
    ended, answer = run("verify", "--replay")
    assert (ended, answer["first_bad"]) == (1, 4)


def test_files_spoiled_at_random_never_end_in_a_traceback(
    whole: bytes, path: Path, run: Run
) -> None:
    draw = random.Random(20261125)
    copy = path.with_name("copy.db")
    seen = set()
    for _ in range(60):
        spoiled = bytearray(whole)
        if draw.random() < 0.2:
            del spoiled[draw.randrange(len(spoiled)) :]
        for _ in range(draw.choice([1, 1, 4, 200])):
            if spoiled:
                spoiled[draw.randrange(len(spoiled))] = draw.randrange(256)
        copy.write_bytes(bytes(spoiled))
        kept.forget(copy)
        kept._followed.pop(copy, None)
        for words in (("verify",), ("room", "show"), ("history", "Tub"), READING):
            ended, answer = run(*words, room=copy)
            assert ended in (0, 1, 4), (words, answer)
            if words[0] == "verify":
                verified = ended
            elif words == READING and ended == 0:
                assert verified == 0
            seen.add(ended)
        path.with_name("copy.db-journal").unlink(missing_ok=True)
    assert seen == {0, 1, 4}
