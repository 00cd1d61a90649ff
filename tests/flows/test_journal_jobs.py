"""Recording and correcting as jobs: what is kept, what is refused, what a process remembers."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from intake.cli import main
from intake.flows import asking, kept, residue_ahead, rooms
from intake.flows.correct import correct
from intake.flows.desk import Desk, at_work, rehearsed
from intake.flows.history import history
from intake.flows.record import Said, record
from intake.flows.usage import RoomTrouble, Usage
from intake.science.problem import Refused, Unreadable
from intake.store import journal
from tests.flows.furnished import BOX, LATE, desk_at, furnish

ENTRIES: list[tuple[str, dict[str, Any]]] = [
    ("reading", {"subject": "Tub", "ph": "7.4", "temp": "20 C"}),
    ("reading", {"subject": "Yard", "tan": "0.5 mg/L as N"}),
    ("change", {"subject": "Tub", "percent": "30"}),
    ("change", {"subject": "Pool", "out": "40 L", "in": "60 L"}),
    ("top-up", {"vessel": "Pool", "volume": "5 L"}),
    ("level", {"vessel": "Tub", "depth": "35 cm"}),
    ("level", {"vessel": "Tub", "at_mark": True}),
    ("given", {"system": "Tub", "treatment": "salt", "amount": "200 g"}),
    ("group", {"name": "Shubunkins", "count": "3", "variety": "shubunkin", "into": "Pool"}),
    ("move", {"subject": "Ryukins", "count": "2", "to": "Pool", "new_name": "Two"}),
    ("move", {"subject": "Ryukins", "to": "Pool"}),
    ("death", {"subject": "Ryukins", "count": "1"}),
    ("look", {"subject": "Ryukins", "appetite": "some"}),
    ("look", {"subject": "Pool", "appetite": "all"}),
    ("leave", {"subject": "Ryukins", "count": "1", "as": "sold"}),
]
CHANGES: list[dict[str, str]] = [
    {"ph": "7.9"}, {"percent": "50"}, {"volume": "9 L"}, {"depth": "30 cm"}, {"count": "1"},
    {"appetite": "none"}, {"amount": "100 g"}, {"subject": "Pool"}, {"length": "90 cm"},
]  # fmt: skip
WHENS = st.sampled_from([None, None, "2026-11-25 08:30", "2026-11-22 10:00", "2026-11-20 08:00"])
ACTIONS = st.one_of(
    st.tuples(st.just("record"), st.sampled_from(range(len(ENTRIES))), WHENS),
    st.tuples(st.just("correct"), st.integers(0, 40), st.sampled_from(range(len(CHANGES)))),
    st.tuples(st.just("moved"), st.integers(0, 40), WHENS),
    st.tuples(st.sampled_from(["void", "back"]), st.integers(0, 40), st.none()),
)


def act(path: Path, minute: int, what: str, which: int, how: Any) -> bool:
    """Does one thing and answers whether it was accepted."""
    desk = desk_at(path, minute)
    try:
        if what == "record":
            kind, typed = ENTRIES[which]
            record(desk, kind, typed, Said(when=how, why="in the book"))
            return True
        with at_work(desk) as book:
            originals = [r[0] for r in journal.rows_after(book.connection, 0) if r[1] is None]
        number = originals[which % len(originals)]
        said = Said(why="looked again", when=how if what == "moved" else None)
        changes = CHANGES[how] if what == "correct" else {}
        correct(desk, number, changes, said, void=what == "void")
    except (Unreadable, Refused, Usage):
        return False
    return True


def answers(path: Path, minute: int) -> dict[str, Any]:
    """All that the room answers, as plain data."""
    desk = desk_at(path, minute)
    with at_work(desk) as book:
        facts = asdict(book.facts)
    return {
        "facts": facts,
        "show": rooms.show_room(desk),
        "today": asking.today(desk),
        **{f"history {name}": told(desk, name) for name in ("Tub", "Pool", "Ryukins")},
        **{f"residue {name}": asked(desk, name) for name in ("Tub", "Yard")},
    }


def told(desk: Desk, name: str) -> Any:
    try:
        return history(desk, name)
    except Unreadable as unknown:
        return str(unknown)


def asked(desk: Desk, name: str) -> Any:
    try:
        return residue_ahead.residue(desk, name, {})
    except Unreadable as unknown:
        return str(unknown)


@pytest.mark.usefixtures("quick_files")
@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(ACTIONS, min_size=1, max_size=14))
def test_facts_kept_while_writing_are_the_facts_folded_from_nothing(
    actions: list[tuple[str, int, Any]],
) -> None:
    with TemporaryDirectory() as folder:
        path = furnish(Path(folder) / "room.db")
        for minute, action in enumerate(actions, start=1):
            before = rooms.verify(Desk(path))
            if not act(path, minute, *action):
                assert rooms.verify(Desk(path)) == before
            if minute % 4 == 0:
                answers(path, minute)
        incremental = answers(path, 60)
        kept.forget(path)
        assert answers(path, 60) == incremental
        assert rooms.verify(Desk(path), replay=True)["ok"]


def test_what_the_property_compares_differs_when_a_fold_is_missed(path: Path) -> None:
    before = answers(path, 5)
    record(desk_at(path, 1), "change", {"subject": "Tub", "percent": "30"})
    with at_work(Desk(path)) as book:
        newest = journal.head(book.connection)
    facts, _ = kept._kept[path]
    after = answers(path, 5)
    assert after != before
    facts.settings["quiet"] = "00-01"
    kept._kept[path] = (facts, newest)
    spoiled = answers(path, 5)
    kept.forget(path)
    assert answers(path, 5) == after != spoiled


def test_every_action_of_the_property_can_be_accepted(quick_files: None, tmp_path: Path) -> None:
    for number, (kind, typed) in enumerate(ENTRIES):
        room = furnish(tmp_path / f"{number}.db")
        assert record(desk_at(room, 1), kind, typed, Said(why="x"))["entry"] == 6
        assert act(room, 2, "void", 5, None)
        assert act(room, 3, "back", 5, None)
        assert act(room, 4, "void", 5, None)
        assert not act(room, 5, "void", 5, None)


def test_another_programs_entries_are_folded_too(path: Path) -> None:
    """This process keeps facts; another adds an entry, a correction, a back-dated one."""
    record(desk_at(path, 1), "reading", {"subject": "Tub", "ph": "7.4"})
    kept_facts = kept._kept.pop(path)
    answers(path, 10)
    record(desk_at(path, 2), "reading", {"subject": "Tub", "ph": "7.5"})
    correct(desk_at(path, 3), 6, {"ph": "7.0"}, Said(why="misread"))
    record(desk_at(path, 4), "level", {"vessel": "Tub", "depth": "30 cm"}, LATE)
    kept._kept[path] = kept_facts
    seen = answers(path, 10)
    kept.forget(path)
    assert answers(path, 10) == seen


def test_a_room_put_in_the_place_of_another_is_read_anew(path: Path, tmp_path: Path) -> None:
    answers(path, 1)
    other = furnish(tmp_path / "other.db")
    record(desk_at(other, 1), "vessel", {"name": "Barrel", **BOX})
    path.write_bytes(other.read_bytes())
    assert "Barrel" in {v["name"] for v in rooms.show_room(desk_at(path, 2))["vessels"]}


def counted_links(patch: pytest.MonkeyPatch) -> list[dict[str, Any]]:
    calls: list[dict[str, Any]] = []
    follow = journal.follow_chain

    def counting(connection: Any, **how: Any) -> journal.ChainState:
        calls.append(how)
        return follow(connection, **how)

    patch.setattr(journal, "follow_chain", counting)
    return calls


def test_a_process_follows_a_thousand_links_once_and_then_the_new_ones(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept._followed.clear()
    kept.forget(path)
    calls = counted_links(monkeypatch)
    for minute in range(1, 4):
        record(desk_at(path, minute), "reading", {"subject": "Tub", "ph": "7.4"})
    correct(desk_at(path, 4), 6, {"ph": "7.0"}, Said(why="misread"))
    rooms.show_room(desk_at(path, 5))
    assert calls[0] == {"newest": kept.LINKS_AT_OPEN}
    assert kept.LINKS_AT_OPEN == 1000
    assert [call["after"][0] for call in calls[1:]] == [5, 6, 7, 8]
    assert not any("newest" in call for call in calls[1:])


def test_an_entry_changed_while_the_program_runs_is_noticed(path: Path) -> None:
    """The newest one at once, older ones when they are followed again."""
    desk = desk_at(path, 1)
    record(desk, "reading", {"subject": "Tub", "ph": "7.4"})
    with at_work(desk, write=True) as book:
        book.connection.exec_driver_sql("DROP TRIGGER journal_update")
        book.connection.exec_driver_sql(
            "UPDATE journal SET hash = replace(hash, substr(hash, 1, 1), 'x') WHERE sequence = 6"
        )
    with pytest.raises(RoomTrouble) as refused:
        record(desk, "reading", {"subject": "Tub", "ph": "7.4"})
    assert refused.value.code == "room-damaged"


REHEARSED: list[tuple[str, dict[str, Any], type[Exception] | None]] = [
    ("reading", {"subject": "Tub", "ph": "7.4"}, None),
    ("vessel", {"name": "Barrel", **BOX}, None),
    ("shipment", {"name": "November", "from": "Bo", "delivered": "2026-11-25 08:00"}, None),
    ("given", {"system": "Tub", "treatment": "salt", "amount": "200 g"}, None),
    ("reading", {"subject": "Tub", "ph": "15"}, Unreadable),
    ("reading", {"subject": "Tib", "ph": "7"}, Unreadable),
    ("vessel", {"name": "Tub", **BOX}, Unreadable),
    ("reading", {}, Usage),
]


@pytest.mark.parametrize(("kind", "typed", "ends"), REHEARSED)
def test_a_rehearsal_leaves_every_byte(
    kind: str, typed: dict[str, Any], ends: type[Exception] | None, path: Path
) -> None:
    said, before, facts = Said(why="x"), path.read_bytes(), answers(path, 5)
    desk = desk_at(path, 1)
    for _ in range(2):
        if ends is None:
            answer = record(rehearsed(desk), kind, typed, said)
            assert (answer["entry"], answer["dry_run"]) == (None, True)
        else:
            with pytest.raises(ends):
                record(rehearsed(desk), kind, typed, said)
    assert path.read_bytes() == before
    assert [p.name for p in path.parent.iterdir()] == ["room.db"]
    assert answers(path, 5) == facts
    if ends is None:
        real = record(desk, kind, typed, said)
        assert "dry_run" not in real
        for name in ("entry", "dry_run"):
            answer.pop(name)
        real.pop("entry")
        assert real == answer
        assert path.read_bytes() != before


def test_a_correction_can_be_rehearsed(path: Path) -> None:
    record(desk_at(path, 1), "reading", {"subject": "Tub", "ph": "7.4"})
    before = path.read_bytes()
    desk = rehearsed(desk_at(path, 2))
    for changes, void in (({"ph": "7.0"}, False), ({}, True)):
        answer = correct(desk, 6, changes, Said(why="misread"), void=void)
        assert (answer["entry"], answer["dry_run"]) == (None, True)
    assert path.read_bytes() == before


RUNS = [
    (("record", "reading", "Tub", "--ph", "7.4"), 0),
    (("record", "reading", "Tub", "--ph", "15"), 1),
    (("record", "reading"), 2),
    (("record", "reading", "Tub", "--ph", "7.4", "--key", "k"), 3),
    (("room", "show"), 2),
]


@pytest.mark.parametrize(("words", "code"), RUNS)
def test_a_dry_run_ends_with_the_real_code(
    words: tuple[str, ...], code: int, path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record(desk_at(path, 1), "change", {"subject": "Tub", "percent": "5"}, Said(key="k"))
    before = path.read_bytes()
    at = ("--at", "2026-11-25 10:00", "--room", str(path), "--json")
    assert main([*words, *at, "--dry-run"]) == code
    answer = json.loads(capsys.readouterr().out)
    assert path.read_bytes() == before
    if code == 0:
        assert (answer["entry"], answer["dry_run"]) == (None, True)
    if words[0] == "record":
        assert main([*words, *at]) == code
