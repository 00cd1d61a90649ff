"""Content written before a kind changed its shape."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from intake.flows import kept, rooms
from intake.flows.desk import Desk, at_work
from intake.flows.facts.upcast import UPCASTERS, today
from intake.flows.history import history
from intake.flows.record import record
from intake.store import journal
from tests.flows.furnished import desk_at, rows

UP: Mapping[tuple[str, int], Callable[[Mapping[str, Any]], Mapping[str, Any]]] = {
    ("reading", 1): lambda c: {"subject": c["subject"], "read": {"ph": c["acid"]}},
    ("reading", 2): lambda c: {**c, "refs": {"subject": 3}},
    ("change", 1): lambda _: {},
}


def written(book: Any, **content: Any) -> journal.Entry:
    number = book.append("reading", content)
    found = journal.row(book.connection, number)
    assert found is not None
    return found


def test_an_older_content_is_brought_to_todays_shape_step_by_step(path: Path) -> None:
    with at_work(desk_at(path), write=True) as book:
        old = written(book, subject="Tub", acid=7.4)
    new = today(old, UP)
    assert new.version == 3
    assert new.content == {"subject": "Tub", "read": {"ph": 7.4}, "refs": {"subject": 3}}
    assert (new.entry, new.at, new.keeper) == (old.entry, old.at, old.keeper)
    assert today(new, UP) == new
    assert old.content == {"subject": "Tub", "acid": 7.4}


def test_an_older_entry_stays_in_the_journal_as_it_was(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record(desk_at(path, 1), "reading", {"subject": "Tub", "ph": "7.4"})
    before = rows(path)
    calls = []

    def seen(content: Mapping[str, Any]) -> Mapping[str, Any]:
        calls.append(content)
        read = {**content["read"], "ph": {**content["read"]["ph"], "value": 7.5}}
        return {**content, "read": read}

    monkeypatch.setitem(UPCASTERS, ("reading", 1), seen)
    kept.forget(path)
    with at_work(desk_at(path, 2)) as book:
        (tub,) = (s for s in book.facts.systems.values() if s.name == "Tub")
        assert tub.readings["ph"].value == 7.5
    assert history(desk_at(path, 2), "Tub")["entries"][-1]["content"]["read"]["ph"]["value"] == 7.5
    assert calls
    assert rows(path) == before
    assert rooms.verify(Desk(path), replay=True)["ok"]
    monkeypatch.undo()
    kept.forget(path)
    assert rows(path) == before
