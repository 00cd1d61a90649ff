"""A vessel filled by the bucket: counted over days and restarts, corrected, then read by depth."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.ask import Room

BOX = "box --length 100cm --width 50cm --depth 40cm"
DAY = "2026-03-10 09:00"


@pytest.fixture
def room(tmp_path: Path) -> Room:
    return Room(tmp_path / "room.db")


def fill(room: Room, name: str, litres_at: tuple[tuple[int, float], ...]) -> None:
    for n, (count, depth) in enumerate(litres_at):
        room.at(f"2026-03-10 10:{n:02}", f"record bucket {name} --count {count} --depth {depth}cm")


def test_a_new_vessel_is_its_table(room: Room) -> None:
    room.at(DAY, "record filling Tub --bucket '10 L' --zone quarantine")
    fill(room, "Tub", ((5, 10), (5, 20), (5, 30)))
    # Paused: every command is a program of its own, and the count comes from the journal.
    told = room.at("2026-03-11 09:00", "record bucket Tub")
    assert (told["count"], told["filled_l"]) == (16, 160)
    missing = room.fails("2026-03-11 09:01", "record filled Tub", 1, "reading-missing")
    assert "1 buckets" in missing["text"]
    room.at("2026-03-11 09:02", "record bucket Tub --count 4 --depth 40cm")
    full = room.at("2026-03-11 09:03", "record filled Tub")
    # 2 % of the bucket is one error at every mark: it does not shrink with their number.
    assert full["volume_l"] == pytest.approx(200)
    assert full["volume_l_high"] - full["volume_l"] >= 4
    assert [m["volume_l"] for m in full["table"]] == [50, 100, 150, 200]
    shown = room.at("2026-03-11 09:04", "room show")["vessels"][0]
    assert (shown["name"], shown["zone"]) == ("Tub", "quarantine")
    at_25 = room.at("2026-03-11 09:05", "record level Tub --depth 25cm")
    assert at_25["volume_l"] == pytest.approx(125)
    # 2 % of 125 L; the tape today, 0.5 cm of 5 L each; and half of that at the marks around it.
    half = (2.5**2 + 2.5**2 + 2 * 1.25**2) ** 0.5
    assert at_25["volume_l"] - at_25["volume_l_low"] == pytest.approx(half, rel=0.05)
    room.fails("2026-03-11 09:06", "record level Tub --depth 41cm", 3, "not-in-range")
    room.fails("2026-03-11 09:06", "record bucket Tub", 1, "no-such-name")


def test_a_miscounted_bucket_is_corrected(room: Room) -> None:
    room.at(DAY, "record filling Tub --bucket '10 L +/- 0.1 L'")
    fill(room, "Tub", ((5, 10), (5, 20)))
    wrong = room.at("2026-03-10 11:00", "record bucket Tub --count 7 --depth 30cm")["entry"]
    room.at("2026-03-10 11:05", "record filled Tub")
    room.at("2026-03-10 11:10", f"correct {wrong} --count 5 --why 'counted two twice'")
    told = room.at("2026-03-10 11:11", "room show")["vessels"][0]
    assert told["volume_l"] == pytest.approx(150)
    room.at("2026-03-10 11:12", f"correct {wrong} --void --why 'never poured'")
    assert room.at("2026-03-10 11:13", "room show")["vessels"][0]["volume_l"] == pytest.approx(100)
    assert room.at("2026-03-10 11:14", "verify --replay")["ok"]


def test_a_vessel_known_by_tape_keeps_it_as_another_way(room: Room) -> None:
    room.at(DAY, f"record vessel Tub {BOX} --gravel '20 L'")
    room.at(DAY, "record filling Tub --bucket '10 L'")
    fill(room, "Tub", ((4, 10), (4, 20), (4, 30), (4, 40)))
    full = room.at("2026-03-10 11:00", "record filled Tub")
    assert full["volume_l"] == pytest.approx(160)
    assert full["gap_l"] == pytest.approx(187.6 - 160)
    assert not full["agree"]
    dose = room.at("2026-03-10 11:01", "dose salt --vessel Tub --target '2 g/L'")
    assert dose["volume_l"] == pytest.approx(160)
    room.at("2026-03-10 11:02", "record settle Tub --way tape --why 'a bucket leaked'")
    tape = room.at("2026-03-10 11:03", "dose salt --vessel Tub --target '2 g/L'")
    assert tape["volume_l"] == pytest.approx(187.6)
    room.at("2026-03-10 11:04", "record level Tub --depth 30cm")
    lower = room.at("2026-03-10 11:05", "dose salt --vessel Tub --target '2 g/L'")
    assert lower["volume_l"] == pytest.approx(187.6 - 40)


def test_what_cannot_be_filled(room: Room) -> None:
    room.at(DAY, f"record vessel Tub {BOX}")
    room.at(DAY, "record group Orandas --count 3 --variety oranda --into Tub")
    room.fails(DAY, "record filling Tub --bucket '10 L'", 1, "wrong-kind")
    room.at(DAY, "record filling New --bucket '10 L'")
    assert (
        "filled already"
        in room.fails(DAY, "record filling New --bucket 9L", 1, "name-taken")["text"]
    )
    room.fails(DAY, "record filled New", 1, "out-of-range")
    room.at("2026-03-10 10:00", "record bucket New --count 3 --depth 12cm")
    room.fails("2026-03-10 10:01", "record filled New", 1, "out-of-range")
    room.fails("2026-03-10 10:01", "record bucket New --depth 11cm", 1, "out-of-range")
    room.fails("2026-03-10 10:01", "record bucket New --count 0", 1, "out-of-range")
