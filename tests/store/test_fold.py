"""Folding as entries come gives what folding the whole journal from nothing gives."""

from __future__ import annotations

from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Connection, create_engine, text
from sqlalchemy.pool import StaticPool

from intake.store import fold, journal
from intake.store.engine import create_schema
from tests.store.rows import BEGAN, draft, write

REFS = st.dictionaries(
    st.sampled_from(["subject", "into", "fish"]),
    st.one_of(st.integers(1, 6), st.lists(st.integers(1, 6), max_size=3)),
    max_size=3,
)
ACTIONS = st.lists(
    st.tuples(
        st.sampled_from(["record", "back-dated", "correct", "moved", "void"]),
        st.integers(0, 30),
        REFS,
    ),
    max_size=25,
)


def new_journal() -> Connection:
    connection = create_engine("sqlite://", poolclass=StaticPool).connect()
    create_schema(connection)
    return connection


def told(connection: Connection, actions: list[tuple[str, int, dict[str, object]]]) -> None:
    originals: list[int] = []
    for minute, (what, which, refs) in enumerate(actions):
        content = {"refs": refs, "n": minute}
        if what in ("record", "back-dated") or not originals:
            at = BEGAN + timedelta(minutes=minute if what == "record" else -which)
            originals.append(write(connection, draft(at=at, content=content)))
            continue
        entry = originals[which % len(originals)]
        (now,) = journal.effective(connection, entries=[entry], with_void=True)
        at = BEGAN - timedelta(minutes=which) if what == "moved" else now.at
        kind = "void" if what == "void" else "reading"
        content = {"of": entry} if what == "void" else content
        write(connection, draft(kind, at=at, content=content, corrects=entry, why="misread"))


@settings(max_examples=60)
@given(ACTIONS)
def test_incremental_equals_replay(actions: list[tuple[str, int, dict[str, object]]]) -> None:
    with new_journal() as connection:
        told(connection, actions)
        kept = list(fold.snapshot(connection))
        assert kept == list(fold.replayed(connection))
        assert fold.matches(connection)
        fold.rebuild(connection)
        assert list(fold.snapshot(connection)) == kept


@settings(max_examples=60)
@given(ACTIONS)
def test_what_counts_is_the_newest_word_on_each_entry(
    actions: list[tuple[str, int, dict[str, object]]],
) -> None:
    """The effective entries, worked out here from the raw rows alone."""
    with new_journal() as connection:
        told(connection, actions)
        newest: dict[int, tuple[str, str, bool]] = {}
        query = text("SELECT sequence, corrects, kind, at, content FROM journal ORDER BY sequence")
        for sequence, corrects, kind, at, content in connection.execute(query):
            if kind == "void":
                newest[corrects] = (*newest[corrects][:2], True)
            else:
                newest[corrects or sequence] = (at, content, False)
        wanted = sorted((at, entry) for entry, (at, _, void) in newest.items() if not void)
        found = list(journal.effective(connection))
        assert [(f"{e.at:%Y-%m-%dT%H:%M:%SZ}", e.entry) for e in found] == wanted
        for entry in found:
            assert journal.canonical(entry.content) == newest[entry.entry][1]
            things = fold.things_in(entry.content) | {entry.entry}
            assert all(entry.entry in fold.mentioning(connection, thing) for thing in things)


def test_the_property_notices_a_step_that_forgets(monkeypatch: pytest.MonkeyPatch) -> None:
    """A fold that leaves a void out must not pass."""
    with new_journal() as connection:
        actions: list[tuple[str, int, dict[str, object]]] = [("record", 0, {}), ("void", 0, {})]
        step = fold.fold_row
        monkeypatch.setattr(fold, "fold_row", lambda c, n: None if n == 2 else step(c, n))
        told(connection, actions)
        assert not fold.matches(connection)


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE effective SET at='2020-01-01T00:00:00Z' WHERE entry=2",
        "UPDATE effective SET newest=1 WHERE entry=2",
        "UPDATE effective SET void=1 WHERE entry=2",
        "DELETE FROM effective WHERE entry=2",
        "DELETE FROM effective WHERE entry=3",
        "INSERT INTO effective VALUES (4, 4, '2026-11-25T09:00:00Z', 0)",
        "DELETE FROM mention WHERE entry=3 AND thing=1",
        "INSERT INTO mention VALUES (2, 1)",
        "INSERT INTO mention VALUES (4, 1)",
    ],
)
def test_any_row_of_a_projection_that_differs_is_noticed(change: str) -> None:
    with new_journal() as connection:
        actions: list[tuple[str, int, dict[str, object]]] = [
            ("record", 0, {}),
            ("record", 0, {}),
            ("record", 0, {"subject": 1}),
            ("correct", 2, {"subject": 1}),
        ]
        told(connection, actions)
        assert fold.matches(connection)
        connection.execute(text(change))
        assert not fold.matches(connection)


def test_a_void_entry_is_kept_and_comes_back() -> None:
    with new_journal() as connection:
        told(connection, [("record", 0, {"subject": 1}), ("void", 0, {})])
        assert list(journal.effective(connection)) == []
        (void,) = journal.effective(connection, with_void=True)
        assert void.void
        assert void.content["n"] == 0
        assert fold.mentioning(connection, 1) == [1]
        told_again = draft(content={"refs": {}, "n": 9}, corrects=1, why="it did happen")
        write(connection, told_again)
        (back,) = journal.effective(connection)
        assert (back.entry, back.sequence, back.content["n"]) == (1, 3, 9)
        rows = journal.all_rows(connection, [1])
        assert [(r.sequence, r.void) for r in rows] == [(1, False), (2, True), (3, False)]
