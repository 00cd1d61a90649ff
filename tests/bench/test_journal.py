"""A long journal: its chain followed, its projections folded again and compared."""

from __future__ import annotations

import sqlite3
import tracemalloc
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import Connection

from intake.store import fold, journal
from intake.store.engine import make_engine
from intake.store.files import engine_on
from tests.bench.figures import Stopwatch, Table
from tests.store.rows import BEGAN

pytestmark = pytest.mark.bench

ROWS, FEWER = 100_000, 10_000
WANTED_ROWS = 1_000_000
"""What the figures speak of; the time grows with the rows and is stretched to them."""


def rows(count: int) -> Iterator[list[object]]:
    """Rows of a sound chain: a tub, then readings of it, a minute apart."""
    previous = journal.FIRST
    content = journal.canonical({"read": {"ph": {"value": 7.4}}, "refs": {"subject": 1}})
    vessel = journal.canonical({"name": "Tub", "depth": 40.5})
    for number in range(1, count + 1):
        at = f"{BEGAN + timedelta(minutes=number):%Y-%m-%dT%H:%M:%SZ}"
        kind, said = ("vessel", vessel) if number == 1 else ("reading", content)
        row = [
            number, at, "Europe/Lisbon", at, "Ana", kind, 1, said, None, None, None, previous,
        ]  # fmt: skip
        previous = journal.chain_hash(row)
        yield [*row, previous]


def long_room(path: Path, count: int) -> None:
    """A room of so many rows with its projections, written straight into the file."""
    make_engine(path).dispose()
    with closing(sqlite3.connect(path)) as raw, raw:
        raw.executemany(f"INSERT INTO journal VALUES ({', '.join('?' * 13)})", rows(count))
        raw.execute("INSERT INTO effective SELECT sequence, sequence, at, 0 FROM journal")
        raw.execute("INSERT INTO mention SELECT sequence, sequence FROM journal")
        raw.execute("INSERT INTO mention SELECT sequence, 1 FROM journal WHERE sequence > 1")


def followed(connection: Connection) -> None:
    assert journal.follow_chain(connection).first_bad is None


def compared(connection: Connection) -> None:
    assert fold.matches(connection)


def spent_s(path: Path, job: Callable[[Connection], None]) -> float:
    with engine_on(path, "ro", write=False).connect() as connection, connection.begin():
        with Stopwatch() as watch:
            job(connection)
        return watch.spent


def peak_mb(path: Path, job: Callable[[Connection], None]) -> float:
    with engine_on(path, "ro", write=False).connect() as connection, connection.begin():
        tracemalloc.start()
        try:
            job(connection)
            return tracemalloc.get_traced_memory()[1] / 1e6
        finally:
            tracemalloc.stop()


def test_a_long_journal(table: Table, tmp_path: Path) -> None:
    path, small = tmp_path / "long.room", tmp_path / "small.room"
    long_room(path, ROWS)
    long_room(small, FEWER)
    chain_s, replay_s = spent_s(path, followed), spent_s(path, compared)
    stretched = WANTED_ROWS / ROWS
    table.most(f"chain of {WANTED_ROWS} rows, from {ROWS}", chain_s * stretched, 10.0, unit="s")
    whole = (chain_s + replay_s) / chain_s
    table.most("chain, replay and compare, against the chain", whole, 4.0)
    for job, said in ((followed, "chain"), (compared, "replay and compare")):
        few, many = peak_mb(small, job), peak_mb(path, job)
        note = f"{many:.1f} MB"
        table.most(f"memory of {said}, {ROWS} rows against {FEWER}", many / few, 1.2, note=note)
