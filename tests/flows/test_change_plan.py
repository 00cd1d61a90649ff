"""The plan of changes by the command line: worked out, carried out, and refused by name.

The tub is a box of 100 x 75 x 40 cm without doubt: 300 L.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.cli.ask import Room, run

DAY = "2026-03-02"
NOW = f"{DAY} 12:00"
EXACT = '--length "100 cm +/- 0 cm" --width "75 cm +/- 0 cm" --depth "40 cm +/- 0 cm"'
READ = 'record reading Tub --ph 7.6 --kh "5 dKH" --temp "20 C" --tan "0.3 mg/L as N"'
TAP = 'record reading tap --ph 7.8 --kh "5 dKH" --temp "19 C" --tan "0 mg/L as N"'


@pytest.fixture
def room(quick_files: None, tmp_path: Path) -> Room:
    """A tub of 300 L that was read, with a tap that was."""
    room = Room(tmp_path / "room.db")
    room.at(f"{DAY} 08:00", f'record vessel Tub box {EXACT} --height "44 cm +/- 0 cm"')
    room.at(NOW, READ)
    room.at(NOW, TAP)
    return room


def fed(room: Room, grams: float) -> None:
    """So much a day with half of it protein: 0.046 g of N to the gram (0.5 x 0.092)."""
    room.at(NOW, f'record feed Tub --amount "{grams} g" --protein "50 %"')


def salted(room: Room, grams: float = 600.0) -> None:
    room.at(f"{DAY} 08:05", f'record dose Tub salt --amount "{grams} g"')


def plan(room: Room, more: str = "", when: str = NOW) -> dict[str, Any]:
    found: dict[str, Any] = room.at(when, f"residue Tub --plan {more}")["plan"]
    return found


def test_what_is_left_ahead_is_told_with_or_without_a_plan(room: Room) -> None:
    salted(room)
    answer = room.at(NOW, "residue Tub --days 2")
    assert "plan" not in answer
    assert [a["hours"] for a in answer["ahead"]] == [6, 12, 24, 48]
    assert {a["substances"][0]["now"] for a in answer["ahead"]} == {2.0}
    assert answer["ahead"][2]["at"] == "2026-03-03T12:00:00+00:00"
    assert room.at(NOW, "residue Tub --treatment formalin")["ahead"] == []
    assert room.at(NOW, "residue Tub --treatment salt")["substances"] == answer["substances"]


def test_a_plan_says_litres_grams_and_levels_of_every_change(room: Room) -> None:
    """2 g/L in a change of 60 to 150 L of new water: two grams to the litre."""
    salted(room)
    fed(room, 3.5)
    found = plan(room)
    assert found["possible"] is True
    assert found["failure"] is None
    assert found["made_mg_d"] == pytest.approx(3.5 * 0.046 * 1000)
    assert found["changes"]
    for change in found["changes"]:
        assert change["change_l"] == pytest.approx(3.0 * change["percent"])
        assert change["nh3_n_mg_l_after"] < change["nh3_n_mg_l_before"] <= 0.02
        (salt,) = change["medicines"]
        assert salt["amount"] == pytest.approx(2.0 * change["change_l"])
        assert salt["amount_unit"] == "g"
        assert salt["before"] == pytest.approx(2.0)
        assert salt["after"] == pytest.approx(2.0)
    assert found["medicines"][0]["hard_limit"] == 5.0


def test_a_plan_that_is_carried_out_comes_to_what_it_said(room: Room) -> None:
    salted(room)
    fed(room, 3.5)
    change = plan(room)["changes"][0]
    when = change["at"].replace("T", " ")[:16]
    done = room.at(when, f'record change Tub --percent {change["percent"]} --salt "2 g/L"')
    (left,) = done["residue"]
    assert left["after"] == pytest.approx(change["medicines"][0]["after"])


def test_salt_of_the_tap_is_taken_off_the_amount(room: Room) -> None:
    """600 g on top of the tap's 0.5 g/L make 2.5 g/L, of which a litre of tap brings 0.5."""
    room.at(NOW, f'{TAP} --salt "0.5 g/L"')
    salted(room)
    fed(room, 3.5)
    change = plan(room)["changes"][0]
    (salt,) = change["medicines"]
    assert salt["new_water"] == pytest.approx(2.5)
    assert salt["amount"] == pytest.approx(2.0 * change["change_l"], rel=1e-6)


@pytest.mark.parametrize(
    ("line", "grams", "failure"),
    [
        ('record reading tap --ph 7.8 --kh "5 dKH" --tan "4 mg/L as N"', 3.5, "tap-too-high"),
        ("", 30.0, "cap-too-small"),
        (
            'record given Tub formalin --amount "4.5 mL" --strength "37 % w/w" --why vet; '
            'record reading Tub --tan "1.1 mg/L as N"',
            3.5,
            "medicine-too-thin",
        ),
        ('record given Tub salt --amount "1600 g" --why spilt', 3.5, "over-limit"),
    ],
)
def test_each_failure_by_its_name(room: Room, line: str, grams: float, failure: str) -> None:
    for one in line.split("; ") if line else ():
        room.at(NOW, one)
    fed(room, grams)
    found = plan(room)
    assert found["possible"] is False
    assert found["failure"] == failure
    assert found["text"].startswith("not possible, because ")
    assert found["way_out"]
    _, text, _ = run("residue", "Tub", "--plan", "--room", str(room.path), "--at", NOW)
    assert failure in text
    if failure == "over-limit":
        assert {m["amount"] for c in found["changes"] for m in c["medicines"]} == {0.0}


def test_a_stopped_medicine_is_not_kept_up(room: Room) -> None:
    salted(room)
    room.at(f"{DAY} 11:00", "record stop Tub salt --wash-out")
    fed(room, 3.5)
    found = plan(room)
    assert found["medicines"] == []
    assert all(c["medicines"] == [] for c in found["changes"])


def test_a_conditioner_does_not_stand_against_a_change(room: Room) -> None:
    room.at(NOW, 'record given Tub thiosulfate --amount "3 g" --why "tap water"')
    fed(room, 3.5)
    found = plan(room)
    assert found["possible"] is True
    assert found["changes"]
    assert found["medicines"] == []


def test_no_change_is_put_into_the_quiet_hours(room: Room) -> None:
    room.at(NOW, "room set --quiet 22-07")
    fed(room, 9.0)
    found = plan(room, "--changes-per-day 3")
    assert all("07" <= c["at"][11:13] < "22" for c in found["changes"]), found["changes"]
    assert len(found["changes"]) > 7


def test_without_feed_the_fish_make_the_ammonia_and_without_fish_nothing(room: Room) -> None:
    """8 mg of N to the kg and hour."""
    assert plan(room)["made_mg_d"] == 0.0
    room.at(NOW, 'record group Ten --count 10 --variety ryukin --mass "50 g" --into Tub')
    assert plan(room)["made_mg_d"] == pytest.approx(10 * 0.05 * 8 * 24)


def test_ammonia_is_counted_up_from_its_reading(room: Room) -> None:
    fed(room, 3.5)
    early = plan(room)["changes"][0]["at"]
    assert plan(room, when="2026-03-03 00:00")["changes"][0]["at"] != early
    assert any(
        "counted up" in a for a in room.at("2026-03-03 00:00", "residue Tub --plan")["assumptions"]
    )


def test_what_was_not_read_and_a_ph_crash_are_said_instead(room: Room) -> None:
    room.at(f"{DAY} 08:00", f"record vessel Other box {EXACT}")
    other = room.at(NOW, "residue Other --plan")["plan"]
    assert other["possible"] is None
    assert "ph" in other["text"]
    room.at(NOW, 'record reading Tub --ph 5.9 --kh "0.4 dKH" --temp "20 C" --tan "6 mg/L as N"')
    found = plan(room)
    assert found["possible"] is None
    assert "ph-crash" in found["text"]
    assert found["do"]


@pytest.mark.parametrize("typed", ["0", "15", "1.5", "many", "-3", "1..3"])
def test_days_are_whole_and_few(room: Room, typed: str) -> None:
    code, answer = room.ask(NOW, f"residue Tub --days={typed}")
    assert code == 1
    assert answer["problems"][0]["path"] == "--days"


def test_how_often_belongs_to_a_plan(room: Room) -> None:
    assert room.ask(NOW, "residue Tub --changes-per-day 2")[0] == 2
    assert room.ask(NOW, "residue Tub --treatment gold")[0] == 1
