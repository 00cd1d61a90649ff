"""A salt step from the first reading to the volume, as a dose, a task and a gauging; settling."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.cli.ask import Room

BOX = "box --length 100cm --width 50cm --depth 40cm"
DAY, NEXT = "2026-03-10 09:00", "2026-03-11 10:00"
STEP = "record salt-step Tub --salt 100g --before '335 uS/cm'"
AFTER = "record gauge Tub by-salt --after '1321 uS/cm'"


@pytest.fixture
def room(tmp_path: Path) -> Room:
    it = Room(tmp_path / "room.db")
    it.at(DAY, f"record vessel Tub {BOX}")
    it.at(DAY, "record group Orandas --count 3 --variety oranda --into Tub")
    return it


def salt(room: Room, when: str, subject: str = "Tub") -> Any:
    told = room.at(when, f"residue '{subject}'")["substances"]
    return told[0]["now"] if told else 0.0


def tasks(room: Room, when: str) -> list[Any]:
    return list(room.at(when, "tasks")["tasks"])


def test_the_salt_is_a_dose_and_the_reading_a_task(room: Room) -> None:
    step = room.at(DAY, STEP)
    assert step["now"] == pytest.approx(0.5)
    assert salt(room, DAY) == pytest.approx(0.5)
    (task,) = tasks(room, DAY)
    assert task["id"] == f"Tub/{step['entry']}/read-again/1"
    assert (task["date"], task["at"], task["state"]) == ("2026-03-11", "09:00", "upcoming")
    assert [t["id"] for t in room.at(NEXT, "today")["tasks"]] == [task["id"]]

    told = room.fails(NEXT, f"record done {task['id']}", 1, "wrong-kind")
    assert "reading itself" in told["text"]
    read = room.at(NEXT, AFTER)
    assert read["volume_l"] == pytest.approx(202.7, abs=0.1)
    assert tasks(room, NEXT) == []
    assert salt(room, NEXT) == pytest.approx(0.5)

    # Taken back, the salt is still there and the reading is asked for again.
    room.at(NEXT, f"correct {read['entry']} --void --why 'wrong tub'")
    assert [t["id"] for t in tasks(room, NEXT)] == [task["id"]]
    assert salt(room, NEXT) == pytest.approx(0.5)
    room.at(NEXT, f"correct {step['entry']} --void --why 'not put in'")
    assert tasks(room, NEXT) == []
    assert salt(room, NEXT) == 0.0


def test_a_reading_corrected_uses_the_same_step(room: Room) -> None:
    room.at(DAY, STEP)
    read = room.at(NEXT, AFTER)["entry"]
    room.at(NEXT, f"correct {read} --after '1300 uS/cm' --why misread")
    told = room.at(NEXT, "history Tub")["entries"]
    newest = next(e for e in told if e["entry"] == read)
    assert tasks(room, NEXT) == []
    assert newest["content"]["step"]


def test_the_limits_of_a_dose_hold(room: Room) -> None:
    room.fails(DAY, "record salt-step Tub --salt 2kg --before '335 uS/cm'", 3, "over-hard-limit")
    # 990 g is under 5 g/L in 200 L and over it in the smallest likely water, 196.6 L.
    room.fails(DAY, "record salt-step Tub --salt 990g --before '335 uS/cm'", 3, "over-hard-limit")
    room.at(DAY, f"record vessel Nursery {BOX} --zone fry")
    line = "record salt-step Nursery --salt 100g --before '335 uS/cm'"
    room.fails(DAY, line, 3, "life-stage")
    assert tasks(room, DAY) == []


def test_what_comes_between_the_readings_is_told(room: Room) -> None:
    room.at(DAY, STEP)
    told = room.fails(DAY, STEP, 1, "name-taken")
    assert "waits for the reading" in told["text"]
    early = room.at("2026-03-10 12:00", f"{AFTER} --dry-run")
    assert any("takes a day to mix" in w["text"] for w in early["warnings"])
    room.at("2026-03-10 20:00", "record level Tub --depth 39.5cm")
    moved = room.at(NEXT, f"{AFTER} --dry-run")
    assert any("waterline moved" in w["text"] for w in moved["warnings"])
    room.at("2026-03-10 21:00", "record change Tub --volume 20L")
    refused = room.fails(NEXT, AFTER, 3, "volume-unknown")
    assert "water was changed" in refused["text"]


def test_meters_of_each_sort(room: Room) -> None:
    told = room.fails(DAY, STEP.replace("uS/cm", "ppm"), 1, "unit-missing")
    assert told["path"] == "--factor"
    room.fails(DAY, f"{STEP} --factor 0.5", 1, "wrong-kind")
    room.at(DAY, "record kit Pen --tests salt --error '1 % + 5 uS/cm'")
    room.at(DAY, f"{STEP} --kit Pen --temp '18 C'")
    room.fails(NEXT, AFTER, 1, "wrong-kind")
    read = room.at(NEXT, f"{AFTER} --after-temp '18 C'")
    assert any("what the meter is good for" in text for text in read["assumptions"])


def test_salt_told_only_by_a_gauging_counts_once(room: Room) -> None:
    whole = "record gauge Tub by-salt --salt 100g --before '335 uS/cm' --after '1321 uS/cm'"
    given = room.at(DAY, "record given Tub salt --amount 100g --why poured")["entry"]
    read = room.at(NEXT, whole)
    assert any(f"entry {given}" in text for text in read["assumptions"])
    assert salt(room, NEXT) == pytest.approx(0.5)
    # A second gauging of as much salt is salt of its own.
    room.at("2026-03-11 11:00", whole)
    assert salt(room, "2026-03-11 11:00") == pytest.approx(1.0)
    # Without the entry it was taken to be, the first one is not lost.
    room.at("2026-03-11 12:00", f"correct {given} --void --why 'no such thing'")
    assert salt(room, "2026-03-11 12:00") == pytest.approx(1.0)


def test_too_much_salt_in_a_gauging_raises_an_alert(room: Room) -> None:
    line = "record gauge Tub by-salt --salt 1.1kg --before '335 uS/cm' --after '9000 uS/cm'"
    told = room.at(DAY, line)
    assert "over-hard-limit" in [w["code"] for w in told["warnings"]]
    assert any("Overdose" in a["text"] for a in room.at(DAY, "today")["alerts"])


def test_a_vessel_known_by_salt_holds_that_salt(room: Room) -> None:
    line = "record vessel Pond by-salt --salt 150g --before '334.9 uS/cm' --after '1321 uS/cm'"
    made = room.at(DAY, line)
    assert salt(room, DAY, "Pond") == pytest.approx(150 / made["volume_l"])


def test_shared_water_is_not_told_by_salt(room: Room) -> None:
    room.at(DAY, f"record vessel A {BOX} --system Rack")
    room.at(DAY, f"record vessel B {BOX} --system Rack")
    line = "record salt-step A --salt 100g --before '335 uS/cm'"
    assert "shares its water" in room.fails(DAY, line, 1, "wrong-kind")["text"]


def test_limits_use_the_smaller_until_it_is_settled(room: Room) -> None:
    """A tape says 200 L, a bucket 140 L: 5 g/L of salt is 1 kg by the one, 700 g by the other."""
    wide = room.at(DAY, "dose salt --vessel Tub --target '5 g/L'")
    assert wide["amount"] == pytest.approx(983, abs=1)
    told = room.at(DAY, "record gauge Tub metered --bucket '10 L' --count 14")
    assert not told["agree"]
    assert "volume-doubtful" in [w["code"] for w in told["warnings"]]
    cut = room.at(DAY, "dose salt --vessel Tub --target '5 g/L'")
    assert (cut["volume_l"], cut["volume_l_low"]) == pytest.approx((200, 137.2))
    assert cut["amount"] == pytest.approx(5 * 137.2)
    room.fails(DAY, "record dose Tub salt --amount 700g --dry-run", 3, "over-hard-limit")

    settled = room.at(DAY, "record settle Tub --way fill --why 'the tape was read in inches'")
    fill = room.at(DAY, "dose salt --vessel Tub --target '5 g/L'")
    ends = (fill["volume_l"], fill["volume_l_low"], fill["volume_l_high"])
    assert ends == pytest.approx((140, 137.2, 142.8))
    # At another line the walls tell the difference: 1 cm is 5 L.
    room.at("2026-03-10 09:10", "record level Tub --depth 39cm")
    moved = room.at("2026-03-10 09:11", "dose salt --vessel Tub --target '2 g/L'")
    assert moved["volume_l"] == pytest.approx(135)
    room.at("2026-03-10 09:12", "record change Tub --out 20L --in 10L")
    less = room.at("2026-03-10 09:13", "dose salt --vessel Tub --target '2 g/L'")
    assert less["volume_l"] == pytest.approx(125)

    room.at("2026-03-10 09:14", f"correct {settled['entry']} --way tape --why 'filled to 14 cm'")
    tape = room.at("2026-03-10 09:15", "dose salt --vessel Tub --target '2 g/L'")
    assert tape["volume_l_low"] > 180
    room.at("2026-03-10 09:16", f"correct {settled['entry']} --void --why undone")
    again = room.at("2026-03-10 09:17", "dose salt --vessel Tub --target '2 g/L'")
    assert again["volume_l_low"] == pytest.approx(122.2, abs=0.1)


def test_sizes_or_a_gauging_open_it_again(room: Room) -> None:
    room.at(DAY, "record gauge Tub metered --bucket '10 L' --count 14")
    line = "record settle Tub --way fill --why 'counted twice'"
    room.at(DAY, line)
    room.at("2026-03-10 09:05", "record gauge Tub flow --rate '10 L/min' --time '15 min'")
    told = room.at("2026-03-10 09:06", "dose salt --vessel Tub --target '5 g/L'")
    assert told["volume_l"] == pytest.approx(200)
    room.at("2026-03-10 09:07", line)
    assert room.at("2026-03-10 09:08", "dose salt --vessel Tub")["volume_l"] == pytest.approx(140)
    tub = room.at("2026-03-10 09:08", "history Tub")["entries"][0]["entry"]
    room.at("2026-03-10 09:09", f"correct {tub} --length 90cm --why 'measured again'")
    assert room.at("2026-03-10 09:10", "dose salt --vessel Tub")["volume_l"] == pytest.approx(180)


def test_settling_needs_a_way_there_is_and_a_reason(room: Room) -> None:
    assert room.ask(DAY, "record settle Tub --way tape")[0] == 2
    told = room.fails(DAY, "record settle Tub --way salt --why x", 1, "no-such-name")
    assert "tape" in told["hint"]
    room.at(DAY, "record vessel Bag metered --bucket '10 L' --count 5")
    room.at(DAY, "record gauge Bag flow --rate '10 L/min' --time '4 min'")
    room.at(DAY, "record settle Bag --way flow --why 'a bucket leaked'")
    assert room.at(DAY, "dose salt --vessel Bag")["volume_l"] == pytest.approx(40)


def test_how_much_salt_a_vessel_of_the_room_takes(room: Room) -> None:
    line = "volume salt-needed --vessel Tub --before '335 uS/cm' --meter '2 %'"
    told = room.at(DAY, line)
    assert told["enough"]
    assert told["salt_g"] == int(told["salt_g"])
    assert told["reaches_percent"] <= 5
    assert told["limit_g_l"] == 5.0
    room.at(DAY, f"record salt-step Tub --salt {told['salt_g']:.0f}g --before '335 uS/cm'")
    room.at(DAY, "record given Tub salt --amount 860g --why 'the bag tore'")
    # 4.6 g/L may be there in the smallest water: what may still go in is less than it takes.
    tight = room.at("2026-03-10 09:30", line.replace("335", "8500"))
    assert not tight["enough"]
    assert tight["salt_g"] <= tight["most_g"]
    assert "volume-doubtful" in [w["code"] for w in tight["warnings"]]
    room.at("2026-03-10 09:31", f"record vessel Nursery {BOX} --zone fry")
    room.fails("2026-03-10 09:31", line.replace("Tub", "Nursery"), 3, "life-stage")


def test_how_much_salt_a_guess_takes(room: Room) -> None:
    line = "volume salt-needed --about '300 L +/- 30 L' --before '335 uS/cm'"
    told = room.at(DAY, f"{line} --limit '3 g/L' --tool '5 g'")
    assert told["salt_g"] % 5 == 0
    assert told["most_g"] < 270 * 3
    room.fails(DAY, line.replace("uS/cm", "ppm"), 1, "unit-missing")
    assert room.ask(DAY, "volume salt-needed --about 300L")[0] == 2
