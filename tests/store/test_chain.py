"""The chain of hashes, recomputed here from what lies in the file."""

from __future__ import annotations

import hashlib
import json
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from intake.flows import rooms
from intake.flows.desk import Desk
from intake.store import journal
from tests.store.rows import by_hand, draft, filled, raw_rows, write

COVERED = [
    *("sequence", "at", "time_zone", "entered", "keeper", "kind", "version", "content"),
    *("corrects", "why", "key", "previous"),
]
ZEROS = "0" * 64


def own_hash(row: dict[str, Any]) -> str:
    covered = json.dumps(
        [row[name] for name in COVERED], ensure_ascii=True, separators=(",", ":"), allow_nan=False
    )
    return hashlib.sha256(covered.encode("ascii")).hexdigest()


def test_one_row_hashes_as_its_array_written_out_by_hand(tmp_path: Path) -> None:
    path = tmp_path / "room.db"
    filled(path)
    first = raw_rows(path)[0]
    array = (
        '[1,"2026-11-25T09:00:00Z","Europe/Lisbon","2026-11-25T09:00:00Z","Ana","vessel",1,'
        '"{\\"depth\\":40.5,\\"name\\":\\"Tub\\",\\"note\\":\\"s\\\\u00f3\\"}",null,null,null,'
        f'"{ZEROS}"]'
    )
    assert first["hash"] == hashlib.sha256(array.encode("ascii")).hexdigest()


def test_every_row_hashes_what_is_stored_and_names_the_one_before(tmp_path: Path) -> None:
    path = tmp_path / "room.db"
    filled(path, rows=30)
    previous = ZEROS
    for number, row in enumerate(raw_rows(path), start=1):
        assert row["sequence"] == number
        assert row["previous"] == previous
        assert row["hash"] == own_hash(row)
        previous = row["hash"]
    assert number == 30
    assert rooms.verify(Desk(path), replay=True) == {
        "entries": 30,
        "head": previous,
        "ok": True,
        "first_bad": None,
        "projections_match": True,
        "assumptions": [],
        "warnings": [],
        "because": [],
    }


def test_an_empty_journal_verifies() -> None:
    from sqlalchemy import create_engine

    from intake.store.engine import create_schema

    with create_engine("sqlite://").begin() as connection:
        create_schema(connection)
        assert journal.follow_chain(connection) == journal.ChainState(0, ZEROS, None)


FLIPPED = {
    "at": "'2026-11-25T09:00:01Z'",
    "time_zone": "'Europe/Paris'",
    "entered": "'2026-11-25T09:00:01Z'",
    "keeper": "'Bo'",
    "kind": "'change'",
    "version": "version + 1",
    "content": "replace(content, '7.4', '7.5')",
    "corrects": "CASE WHEN corrects IS NULL THEN 1 END",
    "why": "CASE WHEN why IS NULL THEN '' END",
    "key": "CASE WHEN key IS NULL THEN 'k' END",
    "previous": "replace(previous, substr(previous, 1, 1), 'x')",
    "hash": "replace(hash, substr(hash, 1, 1), 'x')",
    "sequence": "100 + sequence",
}


def test_every_column_is_flipped_below() -> None:
    assert set(FLIPPED) == {*COVERED, "hash"}


@pytest.mark.parametrize("row", [2, 3, 5])
@pytest.mark.parametrize("column", FLIPPED)
def test_one_field_changed_by_hand_names_the_row(column: str, row: int, tmp_path: Path) -> None:
    path = tmp_path / "room.db"
    filled(path)
    by_hand(path, f"UPDATE journal SET {column} = {FLIPPED[column]} WHERE sequence = {row}")
    answer = rooms.verify(Desk(path), replay=True)
    assert answer["ok"] is False
    assert answer["first_bad"] == row
    assert answer["entries"] == 5
    assert answer["head"] == raw_rows(path)[-1]["hash"]


@pytest.mark.parametrize("column", ["content", "why", "keeper", "kind", "at"])
def test_bytes_that_are_no_text_any_more_are_found_too(column: str, tmp_path: Path) -> None:
    path = tmp_path / "room.db"
    filled(path)
    by_hand(path, f"UPDATE journal SET {column} = CAST(x'ff00fe' AS TEXT) WHERE sequence = 5")
    assert rooms.verify(Desk(path))["first_bad"] == 5


@pytest.mark.parametrize("row", [1, 2, 4])
def test_a_row_taken_out_is_missed(row: int, tmp_path: Path) -> None:
    path = tmp_path / "room.db"
    filled(path)
    by_hand(path, f"DELETE FROM journal WHERE sequence = {row}")
    answer = rooms.verify(Desk(path))
    assert (answer["ok"], answer["first_bad"], answer["entries"]) == (False, row, 4)


def test_a_cut_tail_shows_in_length_and_head_only(tmp_path: Path) -> None:
    path = tmp_path / "room.db"
    filled(path)
    before = rooms.verify(Desk(path))
    by_hand(path, "DELETE FROM journal WHERE sequence = 5")
    after = rooms.verify(Desk(path))
    assert after["ok"]
    assert (after["entries"], after["head"]) != (before["entries"], before["head"])


def test_two_rows_that_change_places_are_found(tmp_path: Path) -> None:
    path = tmp_path / "room.db"
    filled(path)
    by_hand(
        path,
        "UPDATE journal SET sequence = 99 WHERE sequence = 3",
        "UPDATE journal SET sequence = 3 WHERE sequence = 4",
        "UPDATE journal SET sequence = 4 WHERE sequence = 99",
    )
    assert rooms.verify(Desk(path))["first_bad"] == 3


def test_a_row_made_up_whole_breaks_the_one_after(tmp_path: Path) -> None:
    """Its own hash is right; what follows still names the old one."""
    path = tmp_path / "room.db"
    filled(path)
    row = raw_rows(path)[2] | {"content": '{"read":{"ph":{"value":9.4}},"refs":{"subject":1}}'}
    by_hand(
        path,
        f"UPDATE journal SET content = '{row['content']}', hash = '{own_hash(row)}' "
        "WHERE sequence = 3",
    )
    assert rooms.verify(Desk(path))["first_bad"] == 4


def test_projections_changed_by_hand_do_not_match(tmp_path: Path) -> None:
    path = tmp_path / "room.db"
    filled(path)
    by_hand(path, "UPDATE effective SET void = 1 WHERE entry = 3")
    assert rooms.verify(Desk(path))["ok"]
    answer = rooms.verify(Desk(path), replay=True)
    assert (answer["ok"], answer["projections_match"], answer["first_bad"]) == (False, False, None)


def test_following_only_the_newest_links_or_those_after_a_row(tmp_path: Path) -> None:
    path = tmp_path / "room.db"
    engine = filled(path, rows=20)
    hashes = {row["sequence"]: row["hash"] for row in raw_rows(path)}
    by_hand(path, "UPDATE journal SET why = 'x' WHERE sequence = 10")
    with closing(engine.connect()) as connection:
        follow = journal.follow_chain
        assert follow(connection, newest=10).first_bad is None
        assert follow(connection, newest=11).first_bad == 10
        assert follow(connection, after=(10, hashes[10])) == journal.ChainState(
            20, hashes[20], None
        )
        assert follow(connection, after=(9, hashes[9])).first_bad == 10
        assert follow(connection, after=(12, hashes[11])).first_bad == 12
        assert follow(connection, after=(30, hashes[11])).first_bad == 30
        assert follow(connection, newest=500).first_bad == 10


def test_what_has_no_place_in_a_hash_is_not_written(tmp_path: Path) -> None:
    engine = filled(tmp_path / "room.db")
    for value in (float("nan"), float("inf")):
        with pytest.raises(ValueError, match="JSON"), engine.begin() as connection:
            write(connection, draft(content={"value": value}))
    naive = draft().at.replace(tzinfo=None)
    with pytest.raises(ValueError, match="time zone"), engine.begin() as connection:
        write(connection, draft(at=naive))
    assert len(raw_rows(tmp_path / "room.db")) == 5
