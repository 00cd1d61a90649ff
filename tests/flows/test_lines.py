"""Today's waterline by the command line: what evaporation, rain, leaks and top-ups leave.

The tub is a box of 100 x 75 cm recorded at 40 cm: 7.5 L to the centimetre, 300 L, rim at 44 cm.
Every figure is worked out by hand beside its test.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.cli.ask import Room

DAY = "2026-03-02"
LOW = "37.333333333 cm +/- 0 cm"  # 280 L
EXACT = '--length "100 cm +/- 0 cm" --width "75 cm +/- 0 cm" --depth "40 cm +/- 0 cm"'


@pytest.fixture
def room(quick_files: None, tmp_path: Path) -> Room:
    """A tub of 300 L with 900 g of salt: 3 g/L."""
    room = Room(tmp_path / "room.db")
    room.at(f"{DAY} 08:00", f'record vessel Tub box {EXACT} --height "44 cm +/- 0 cm"')
    room.at(f"{DAY} 08:05", 'record dose Tub salt --amount "900 g"')
    return room


def salt(room: Room, when: str = f"{DAY} 12:00") -> dict[str, Any]:
    found: dict[str, Any] = room.at(when, "residue Tub")["substances"][0]
    return found


def offered(room: Room, target: str = "4 g/L", when: str = f"{DAY} 12:00") -> dict[str, Any]:
    return room.at(when, f'dose salt --vessel Tub --target "{target}"')


def told(answer: dict[str, Any]) -> tuple[Any, Any]:
    (one,) = answer["residue"]
    return one["before"], one["after"]


def test_evaporation_leaves_what_is_dissolved(room: Room) -> None:
    """900 g in 280 L is 3.214 g/L; 4 g/L needs 1120 - 900 = 220 g more."""
    answer = room.at(f"{DAY} 09:00", f'record level Tub --depth "{LOW}" --by evaporation')
    assert told(answer) == (pytest.approx(3.0), pytest.approx(3.2142857, rel=1e-6))
    assert "salt goes from 3 to 3.214 g/L" in answer["because"]
    assert answer["volume_l"] == pytest.approx(280.0, rel=1e-6)
    left = salt(room)
    assert left["low"] == left["now"] == left["high"] == pytest.approx(900 / 280, rel=1e-6)
    dose = offered(room)
    assert dose["volume_l"] == pytest.approx(280.0, rel=1e-6)
    assert dose["amount"] == pytest.approx(220.0, rel=1e-4)


def test_topped_up_again_it_is_as_it_was(room: Room) -> None:
    room.at(f"{DAY} 09:00", f'record level Tub --depth "{LOW}" --by evaporation')
    answer = room.at(f"{DAY} 09:10", 'record top-up Tub --volume "20 L"')
    assert told(answer) == (pytest.approx(3.2142857, rel=1e-6), pytest.approx(3.0, rel=1e-6))
    assert answer["depth_cm"] == pytest.approx(40.0, abs=1e-3)
    assert answer["volume_l"] == pytest.approx(300.0, rel=1e-6)
    assert offered(room)["amount"] == pytest.approx(300.0, rel=1e-4)


def test_the_line_after_a_top_up_is_the_one_the_walls_give(room: Room) -> None:
    """15 L on 75 dm2 are 2 cm: from 30 to 32 cm, 225 to 240 L, 4 to 3.75 g/L."""
    room.at(f"{DAY} 09:00", 'record level Tub --depth "30 cm +/- 0 cm" --by evaporation')
    answer = room.at(f"{DAY} 09:10", 'record top-up Tub --volume "15 L"')
    assert answer["depth_cm"] == pytest.approx(32.0, abs=1e-6)
    assert told(answer) == (pytest.approx(4.0), pytest.approx(3.75))
    assert room.at(f"{DAY} 09:20", "room show")["vessels"][0]["depth_cm"] == pytest.approx(32.0)
    assert offered(room)["amount"] == pytest.approx(4 * 240 - 900)


def test_a_leak_takes_the_salt_with_it(room: Room) -> None:
    """20 of 300 L gone with 60 g: 840 g in 280 L is 3 g/L still; filled up, 840/300 = 2.8."""
    answer = room.at(f"{DAY} 09:00", f'record level Tub --depth "{LOW}" --by leak')
    assert told(answer) == (pytest.approx(3.0), pytest.approx(3.0))
    assert "salt stays at 3 g/L" in answer["because"]
    assert offered(room)["amount"] == pytest.approx(280.0, rel=1e-4)
    filled = room.at(f"{DAY} 12:10", "record level Tub --at-mark --by top-up")
    assert told(filled) == (pytest.approx(3.0), pytest.approx(2.8, rel=1e-6))
    assert offered(room, when=f"{DAY} 12:20")["amount"] == pytest.approx(1200 - 840, rel=1e-4)


def test_a_fall_nobody_explains_counts_as_evaporation_and_says_so(room: Room) -> None:
    """The limit is held at 3.214 g/L; at the low end it was a leak and stays 3."""
    answer = room.at(f"{DAY} 09:00", f'record level Tub --depth "{LOW}"')
    assert told(answer)[1] == pytest.approx(3.2142857, rel=1e-6)
    assert any("taken as evaporation" in text and "--by leak" in text
               for text in answer["assumptions"])  # fmt: skip
    left = salt(room)
    assert left["now"] == left["high"] == pytest.approx(900 / 280, rel=1e-6)
    assert left["low"] == pytest.approx(3.0)
    assert offered(room)["amount"] == pytest.approx(220.0, rel=1e-4)
    too_much = f"{1.01 * (5 * 280 - 900):.1f} g"
    room.fails(f"{DAY} 12:10", f'record dose Tub salt --amount "{too_much}"', 3, "over-hard-limit")


@pytest.mark.parametrize("by", ["", "--by rain", "--by top-up"])
def test_a_rise_thins_whatever_it_was(room: Room, by: str) -> None:
    """315 L at 42 cm: 900 / 315 = 2.857 g/L."""
    answer = room.at(f"{DAY} 09:00", f'record level Tub --depth "42 cm +/- 0 cm" {by}')
    assert told(answer) == (pytest.approx(3.0), pytest.approx(900 / 315))
    left = salt(room)
    assert left["low"] == left["high"] == pytest.approx(900 / 315)
    assert any("rain or a top-up" in a for a in answer["assumptions"]) == (by == "")


@pytest.mark.parametrize(
    ("by", "there_g"), [("", 907.5), ("--by top-up", 907.5), ("--by rain", 900)]
)
def test_the_tap_s_own_salt_comes_with_a_top_up_but_not_with_rain(
    room: Room, by: str, there_g: float
) -> None:
    """0.5 g/L in the tap: 15 L of it bring 7.5 g, and 315 L at 4 g/L hold 1,260.

    The fill was the tap's too: 300 L x 0.5 g/L = 150 g were there before any dose.
    """
    room.at(f"{DAY} 08:30", 'record reading tap --salt "0.5 g/L"')
    room.at(f"{DAY} 09:00", f'record level Tub --depth "42 cm +/- 0 cm" {by}')
    assert offered(room)["amount"] == pytest.approx(4 * 315 - 150 - there_g)


def test_rain_raises_the_line_of_a_full_tub_and_thins_it(room: Room) -> None:
    answer = room.at(f"{DAY} 09:00", 'record top-up Tub --volume "15 L" --rain')
    assert answer["depth_cm"] == pytest.approx(42.0, abs=1e-6)
    assert told(answer) == (pytest.approx(3.0), pytest.approx(900 / 315))
    assert offered(room)["volume_l"] == pytest.approx(315.0)


def test_rain_over_the_rim_runs_through(room: Room) -> None:
    """30 L fill it to 330 L at 44 cm: 2.727 g/L; 33 L more run through: x exp(-0.1) = 2.468."""
    answer = room.at(f"{DAY} 09:00", 'record top-up Tub --volume "63 L" --rain')
    assert answer["volume_l"] == pytest.approx(330.0)
    assert answer["depth_cm"] == pytest.approx(44.0)
    assert told(answer) == (pytest.approx(3.0), pytest.approx(900 / 330 * 0.904837, rel=1e-5))
    assert any("33 L of rain ran through" in text for text in answer["because"])
    left = salt(room)
    assert left["high"] == pytest.approx(900 / 330), "it may have run off as it fell"
    assert left["low"] == left["now"] == pytest.approx(2.46774, rel=1e-4)
    assert offered(room)["amount"] == pytest.approx(4 * 330 - 900, rel=1e-4), "salt counts high"


def test_a_cause_that_moves_the_line_the_other_way_is_asked_again(room: Room) -> None:
    wrong = room.fails(f"{DAY} 09:00", f'record level Tub --depth "{LOW}" --by rain', 1,
                       "out-of-range")  # fmt: skip
    assert "lower than it was" in wrong["text"]
    line = 'record level Tub --depth "42 cm" --by leak'
    assert "evaporation" not in room.fails(f"{DAY} 09:00", line, 1, "out-of-range")["hint"]


def test_a_level_is_corrected_to_its_cause_and_taken_back(room: Room) -> None:
    entry = room.at(f"{DAY} 09:00", f'record level Tub --depth "{LOW}"')["entry"]
    room.at(f"{DAY} 09:05", f"correct {entry} --by leak --why 'the tap dripped'")
    assert salt(room)["high"] == pytest.approx(3.0)
    room.at(f"{DAY} 09:10", f"correct {entry} --void --why 'the wrong tub'")
    assert room.at(f"{DAY} 09:20", "residue Tub")["volume_l"] == pytest.approx(300.0)


def test_a_line_written_late_is_told_as_of_then(room: Room) -> None:
    """At 09:00 there were 300 L and 900 g, whatever was changed at noon."""
    room.at(f"{DAY} 12:00", 'record change Tub --percent "50 %"')
    late = f'record level Tub --depth "{LOW}" --by evaporation --when "{DAY} 09:00"'
    assert told(room.at(f"{DAY} 13:00", late)) == (pytest.approx(3.0), pytest.approx(900 / 280))


# How old the line is (a level that is older than a day is asked for again)


def doubted(answer: dict[str, Any]) -> list[str]:
    return [w["text"] for w in answer["warnings"] if w["code"] == "volume-doubtful"]


def test_a_dose_asks_for_a_line_read_long_ago(room: Room) -> None:
    fresh, old = f"{DAY} 23:00", "2026-03-05 09:00"
    assert not doubted(offered(room, when=fresh))
    (text,) = doubted(offered(room, when=old))
    assert "the line of Tub was read 3 days ago, Mon 2 Mar 08:00" in text
    assert "intake record level 'Tub' --at-mark" in text
    asked = room.at(old, 'record dose Tub salt --amount "10 g" --dry-run')
    assert doubted(asked) == [text], "asked, never blocked"
    room.at(old, "record level Tub --at-mark")
    assert not doubted(offered(room, when=old))


@pytest.mark.parametrize(
    "line",
    [
        'record change Tub --percent "20 %"',
        'record change Tub --volume "20 L" --to-depth "39 cm"',
        'record change Tub --out "20 L" --in "10 L"',
        'record top-up Tub --volume "10 L"',
        'record level Tub --depth "39 cm"',
    ],
)
def test_what_is_done_at_the_line_reads_it(room: Room, line: str) -> None:
    room.at("2026-03-05 09:00", line)
    assert not doubted(offered(room, when="2026-03-05 09:05"))


def test_rain_does_not_read_the_line(room: Room) -> None:
    room.at("2026-03-05 09:00", 'record top-up Tub --volume "5 L" --rain')
    assert doubted(offered(room, when="2026-03-05 09:05"))


def test_a_top_up_that_does_not_reach_the_mark_is_no_reading(room: Room) -> None:
    room.at(f"{DAY} 09:00", 'record level Tub --depth "30 cm" --by evaporation')
    room.at("2026-03-05 09:00", 'record top-up Tub --volume "15 L"')
    assert doubted(offered(room, when="2026-03-05 09:05"))


def test_of_joined_waters_each_old_line_is_asked(room: Room) -> None:
    room.at(f"{DAY} 10:00", f"record vessel A box {EXACT} --system Yard")
    room.at("2026-03-05 08:00", f"record vessel B box {EXACT} --system Yard")
    texts = doubted(room.at("2026-03-05 09:00", 'dose salt --vessel Yard --target "2 g/L"'))
    assert len(texts) == 1
    assert "the line of A was read 2 days ago" in texts[0]


def test_what_was_gauged_by_the_bucket_is_back_at_its_mark_in_one_word(room: Room) -> None:
    room.at(f"{DAY} 10:00", 'record vessel Vat metered --bucket "10 L" --count 38')
    line = 'dose salt --vessel Vat --target "2 g/L"'
    (text,) = doubted(room.at("2026-03-05 09:00", line))
    assert "--depth" not in text
    room.at("2026-03-05 09:00", "record level Vat --at-mark")
    assert not doubted(room.at("2026-03-05 09:00", line))
    room.fails("2026-03-05 09:00", 'record level Vat --depth "30 cm"', 1, "wrong-kind")


# What else the line answers


def test_a_leaning_tub_answers_the_size_of_its_line(room: Room) -> None:
    """Half way up 80 to 100 cm and 40 to 60 cm: 90 x 50 cm."""
    sizes = '--length "100 cm" --width "60 cm" --floor-length "80 cm" --floor-width "40 cm"'
    room.at(f"{DAY} 09:00", f'record vessel Bath oval {sizes} --depth "40 cm"')
    answer = room.at(f"{DAY} 09:05", 'record level Bath --depth "20 cm"')
    assert answer["waterline"] == {
        "length_cm": pytest.approx(90.0),
        "width_cm": pytest.approx(50.0),
    }
    bath = next(v for v in room.at(f"{DAY} 09:10", "room show")["vessels"] if v["name"] == "Bath")
    assert bath["waterline"] == answer["waterline"]


@pytest.mark.parametrize(
    "sizes",
    [
        'box --length "100 cm" --width "50 cm" --depths "30cm 40cm"',
        'slices --slice "100cm x 50cm x 20cm" --slice "100cm x 50cm x 20cm"',
    ],
)
def test_a_sloping_floor_and_a_stack_have_a_mark_too(room: Room, sizes: str) -> None:
    made = room.at(f"{DAY} 09:00", f"record vessel Odd {sizes}")
    lower = room.at(f"{DAY} 09:05", 'record level Odd --depth "38 cm"')
    assert lower["volume_l"] == pytest.approx(made["volume_l"] - 10.0)
    back = room.at(f"{DAY} 09:10", "record level Odd --at-mark")
    assert (back["depth_cm"], back["volume_l"]) == (40.0, pytest.approx(made["volume_l"]))


# Low and high wherever a volume is told


def test_a_volume_in_words_has_its_doubt(room: Room) -> None:
    """Half a step of the tape on 40 cm of 100 x 75 cm is 3.75 L of 300."""
    exact = EXACT.replace('"40 cm +/- 0 cm"', '"40 cm +/- 0.5 cm"')
    room.at(f"{DAY} 09:00", f"record vessel Vat box {exact}")
    for line in ('record top-up Vat --volume "400 L"', 'record change Vat --volume "400 L"'):
        assert "300 ± 3.8 L" in room.fails(f"{DAY} 09:05", line, 1, "out-of-range")["text"]
    changed = room.at(f"{DAY} 09:10", 'record change Vat --percent "10 %"')
    ends = (changed["volume_l_low"], changed["volume_l"], changed["volume_l_high"])
    assert ends == pytest.approx((296.25, 300.0, 303.75))
    dosed = room.at(f"{DAY} 09:15", 'record dose Vat salt --amount "600 g"')
    assert (dosed["volume_l_low"], dosed["volume_l_high"]) == pytest.approx((296.25, 303.75))
    shown = room.at(f"{DAY} 09:20", "room show")
    system = next(s for s in shown["systems"] if s["name"] == "Vat")
    assert (system["volume_l_low"], system["volume_l_high"]) == pytest.approx((296.25, 303.75))
    changed = room.at(f"{DAY} 09:25", 'record change Vat --volume "60 L"')
    (left,) = changed["residue"]
    assert left["after_low"] < left["after"] < left["after_high"]
