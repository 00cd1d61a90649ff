"""A key writes an entry once; what is kept of a key and a reason."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from intake.flows import rooms
from intake.flows.correct import correct
from intake.flows.desk import rehearsed
from intake.flows.record import Said, record
from intake.science.problem import Refused, Unreadable
from tests.flows.furnished import BOX, desk_at, rows

SAME: list[tuple[str, dict[str, Any], dict[str, Any]]] = [
    ("reading", {"subject": "Tub", "ph": "7.4"}, {"subject": "Tub", "ph": "7.4"}),
    ("reading", {"subject": "Tub", "temp": "20 C"}, {"subject": "Tub", "temp": "20C"}),
    ("reading", {"subject": "Tub", "ph": "7.4"}, {"subject": "Tub#3", "ph": "7.4"}),
    ("level", {"vessel": "Tub", "at_mark": True}, {"vessel": "Tub", "at_mark": True}),
    ("vessel", {"name": "Barrel", **BOX}, {"name": "Barrel", **BOX}),
    ("quarantine", {"system": "Tub"}, {"system": "Tub", "plan": "standard"}),
    (
        "shipment",
        {"name": "November", "from": "Bo", "delivered": "2026-11-25 08:00"},
        {"name": "November", "from": "Bo", "delivered": "2026-11-25 08:00"},
    ),
    (
        "look",
        {"subject": "Ryukins", "sign": ["clamped-fins:2", "gasping:1"]},
        {"subject": "Ryukins", "sign": ["clamped-fins:2", "gasping:1"]},
    ),
    ("death", {"subject": "Ryukins", "count": "6"}, {"subject": "Ryukins", "count": "6"}),
    ("move", {"subject": "Ryukins", "to": "Pool"}, {"subject": "Ryukins", "to": "Pool"}),
]


@pytest.mark.parametrize(("kind", "first", "again"), SAME)
def test_the_same_again_answers_the_entry_that_is_there(
    kind: str, first: dict[str, Any], again: dict[str, Any], path: Path
) -> None:
    said = Said(key="k", why="x", note="by the door")
    entry = record(desk_at(path, 1), kind, first, said)["entry"]
    before = rows(path)
    for minute in (1, 500):
        assert record(desk_at(path, minute), kind, again, said)["entry"] == entry
    dry = record(rehearsed(desk_at(path, 2)), kind, again, said)
    assert (dry["entry"], dry["dry_run"]) == (None, True)
    assert rows(path) == before


OTHER: list[tuple[str, dict[str, Any], Said]] = [
    ("reading", {"subject": "Tub", "ph": "7.5"}, Said(key="k", why="x")),
    ("reading", {"subject": "Tub", "ph": "7.40001"}, Said(key="k", why="x")),
    ("reading", {"subject": "Tub", "ph": "7.4", "temp": "20 C"}, Said(key="k", why="x")),
    ("reading", {"subject": "Tub", "temp": "20 C"}, Said(key="k", why="x")),
    ("reading", {"subject": "Pool", "ph": "7.4"}, Said(key="k", why="x")),
    ("reading", {"subject": "Tub", "ph": "7.4"}, Said(key="k", why="x", note="n")),
    ("reading", {"subject": "Tub", "ph": "7.4"}, Said(key="k")),
    ("change", {"subject": "Tub", "percent": "5"}, Said(key="k", why="x")),
    ("tool", {"step": "0.1 g", "name": "Scale"}, Said(key="k", why="x")),
]


@pytest.mark.parametrize(("kind", "typed", "said"), OTHER)
def test_a_key_is_refused_for_anything_else(
    kind: str, typed: dict[str, Any], said: Said, path: Path
) -> None:
    record(desk_at(path, 1), "reading", {"subject": "Tub", "ph": "7.4"}, Said(key="k", why="x"))
    before = rows(path)
    with pytest.raises(Refused) as refused:
        record(desk_at(path, 2), kind, typed, said)
    assert refused.value.code == "key-reused"
    assert "entry 6" in refused.value.text
    assert rows(path) == before


def test_the_key_of_an_entry_that_was_corrected_since_still_answers_it(path: Path) -> None:
    typed, said = {"subject": "Tub", "ph": "7.4"}, Said(key="k")
    record(desk_at(path, 1), "reading", typed, said)
    correct(desk_at(path, 2), 6, {"ph": "7.6"}, Said(why="misread"))
    assert record(desk_at(path, 3), "reading", typed, said)["entry"] == 6


def test_the_key_of_a_correction(path: Path) -> None:
    record(desk_at(path, 1), "reading", {"subject": "Tub", "ph": "7.4"})
    record(desk_at(path, 1), "reading", {"subject": "Tub", "ph": "7.4"})
    said = Said(key="k", why="misread")
    for minute in (2, 3):
        assert correct(desk_at(path, minute), 6, {"ph": "7.6"}, said)["entry"] == 8
    before = rows(path)
    others: list[tuple[int, dict[str, str], bool]] = [
        (6, {"ph": "7.7"}, False), (7, {"ph": "7.6"}, False), (6, {}, True),
    ]  # fmt: skip
    for number, changes, void in others:
        with pytest.raises(Refused, match="belongs to entry 8"):
            correct(desk_at(path, 4), number, changes, said, void=void)
    with pytest.raises(Refused, match="belongs to entry 8"):
        record(desk_at(path, 5), "reading", {"subject": "Tub", "ph": "7.6"}, said)
    assert rows(path) == before
    voided = Said(key="v", why="never was")
    for minute in (6, 7):
        assert correct(desk_at(path, minute), 6, {}, voided, void=True)["entry"] == 9


@pytest.mark.parametrize("key", ["", "  ", "a\x1b[31mb", "\udcff", "a\x00b", "k" * 2001])
def test_a_key_that_cannot_be_kept_is_a_problem(key: str, path: Path) -> None:
    before = rows(path)
    with pytest.raises(Unreadable) as told:
        record(desk_at(path, 1), "reading", {"subject": "Tub", "ph": "7"}, Said(key=key))
    assert [p.path for p in told.value.problems] == ["--key"]
    assert rows(path) == before


@pytest.mark.parametrize("why", ["a\x1b[31mb", "\udcff", "a\x00b", "x" * 2001, "\u202eabc"])
def test_a_reason_that_cannot_be_kept_is_a_problem_everywhere(why: str, path: Path) -> None:
    record(desk_at(path, 1), "reading", {"subject": "Tub", "ph": "7"})
    before, desk = rows(path), desk_at(path, 2)
    tries: list[Callable[[], Any]] = [
        lambda: record(desk, "reading", {"subject": "Tub", "ph": "7"}, Said(why=why)),
        lambda: correct(desk, 6, {"ph": "8"}, Said(why=why)),
        lambda: correct(desk, 6, {}, Said(why=why), void=True),
        lambda: correct(desk, 6, {}, Said(why="x"), set_why=why),
        lambda: rooms.set_room(desk, {"units": "us"}, Said(why=why)),
    ]
    for attempt in tries:
        with pytest.raises(Unreadable) as told:
            attempt()
        assert {p.path for p in told.value.problems} == {"--why"}
    assert rows(path) == before
