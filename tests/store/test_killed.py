"""Killed at any moment, the program has lost nothing that it answered."""

from __future__ import annotations

import multiprocessing
import random
import sys
import time
from collections.abc import Callable
from multiprocessing.connection import Connection
from pathlib import Path

from intake.flows import rooms
from intake.flows.desk import Desk, at_work
from intake.flows.forms.every import FORMS
from intake.flows.record import Said, record, record_in
from intake.flows.rooms import new_room
from tests.store.rows import raw_rows

KILLS = 50
LONGEST_S = 0.2
Answered = list[tuple[int, str]]
Child = Callable[[Path, int, Connection], None]

if sys.platform == "win32":
    _context = multiprocessing.get_context("spawn")
else:
    _context = multiprocessing.get_context("forkserver")
    _context.set_forkserver_preload(
        ["intake.flows.record", "intake.store.engine", "intake.store.fold"]
    )


def answers_when_written(path: Path, start: int, pipe: Connection) -> None:
    """Records without end, telling each entry once it is answered, as the command line does."""
    pipe.send((0, "ready"))
    for n in range(1_000_000):
        name = f"P {start} {n}"
        answer = record(Desk(path, keeper="Ana"), "person", {"name": name, "role": "seller"})
        pipe.send((answer["entry"], name))


def answers_too_early(path: Path, start: int, pipe: Connection) -> None:
    """The same, but telling of an entry while its unit of work is still open."""
    pipe.send((0, "ready"))
    for n in range(1_000_000):
        name = f"P {start} {n}"
        with at_work(Desk(path, keeper="Ana"), write=True) as book:
            typed = {"name": name, "role": "seller"}
            answer = record_in(book, FORMS["person"], typed, Said())
            pipe.send((answer["entry"], name))


def killed(child: Child, path: Path, start: int, wait_s: float) -> Answered:
    """What a child had answered by the time it was killed."""
    ours, theirs = _context.Pipe(duplex=False)
    process = _context.Process(target=child, args=(path, start, theirs))
    process.start()
    theirs.close()
    assert ours.recv() == (0, "ready")
    time.sleep(wait_s)
    process.kill()
    answered = []
    try:
        while True:
            answered.append(ours.recv())
    except EOFError:
        process.join()
    ours.close()
    return answered


def lost(path: Path, answered: Answered) -> Answered:
    """The entries that were answered and are not there with what they said."""
    there = {row["sequence"]: row["content"] for row in raw_rows(path)}
    return [one for one in answered if f'"{one[1]}"' not in there.get(one[0], "")]


def new(path: Path) -> Path:
    new_room(Desk(path, keeper="Ana"), {"time_zone": "UTC"})
    return path


def test_nothing_answered_is_lost_to_a_kill(tmp_path: Path) -> None:
    path, draw = new(tmp_path / "room.db"), random.Random(9)
    answered: Answered = []
    for start in range(KILLS):
        answered += killed(answers_when_written, path, start, draw.uniform(0, LONGEST_S))
        verified = rooms.verify(Desk(path), replay=True)
        assert verified["ok"], (start, verified)
        assert lost(path, answered) == []
    assert len(answered) > KILLS
    # A kill between the commit and the answer leaves an entry nobody was told of.
    assert 2 + len(answered) <= verified["entries"] <= 2 + len(answered) + KILLS


def test_the_harness_notices_an_entry_that_is_not_there(tmp_path: Path) -> None:
    path = new(tmp_path / "room.db")
    entry = record(Desk(path), "person", {"name": "Bo", "role": "seller"})["entry"]
    assert lost(path, [(entry, "Bo")]) == []
    assert lost(path, [(entry, "Bo"), (entry + 1, "Bo")]) == [(entry + 1, "Bo")]
    assert lost(path, [(entry, "Ed")]) == [(entry, "Ed")]


def test_the_harness_notices_a_program_that_answers_too_early(tmp_path: Path) -> None:
    path, draw = new(tmp_path / "room.db"), random.Random(9)
    for start in range(KILLS):
        answered = killed(answers_too_early, path, start, draw.uniform(0, LONGEST_S))
        assert rooms.verify(Desk(path))["ok"]
        if lost(path, answered):
            return
    raise AssertionError("fifty kills of a program that answers too early lost nothing")


def test_two_programs_at_once_lose_nothing(tmp_path: Path) -> None:
    path = new(tmp_path / "room.db")
    pipes = []
    for start in range(2):
        ours, theirs = _context.Pipe(duplex=False)
        process = _context.Process(target=answers_when_written, args=(path, start, theirs))
        process.start()
        theirs.close()
        pipes.append((ours, process))
    answered = [ours.recv() for _ in range(26) for ours, _ in pipes]
    for _, process in pipes:
        process.kill()
        process.join()
    told = [one for one in answered if one[0]]
    assert len(told) == 50
    assert lost(path, told) == []
    assert len({entry for entry, _ in told}) == 50
    assert rooms.verify(Desk(path), replay=True)["ok"]
