"""Vessels and water that cannot be, or hardly: each with its words, as a keeper types them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.ask import Answer, Room, ask

NOON = "2026-03-02 12:00"
TANK = "box --length 60cm --width 40cm --depth 30cm"
RIM = "the water cannot stand above the rim"
APART = "are {} L apart, {} % of the smaller: limits use the smaller"

# case, line, option, text, hint; every one is out of range
PROBLEMS = [
    ("B79 sloping", "box --length 60cm --width 40cm --depths '30cm 0cm'", "--depths",
     "'0cm': 0 cannot be a length", "write how much it is, or leave it out"),
    ("B79 drum", "drum --diameter 58cm --length 80cm --depth 60cm", "--depth",
     "depth 60 cm is over the diameter 58 cm", "the water cannot stand above the vessel"),
    ("B79 bowl", "bowl --diameter 30cm --depth 30.1cm", "--depth",
     "depth 30.1 cm is over the diameter 30 cm", "the water cannot stand above the vessel"),
    ("B83 racetrack", "racetrack --length 70cm --width 120cm --depth 35cm", "--length",
     "length 70 cm is under the width 120 cm", "swap length and width"),
    ("B83 racetrack floor", "racetrack --length 90cm --width 60cm --floor-length 50cm --depth 9cm",
     "--floor-length", "length 50 cm is under the width 60 cm",
     "swap length and width, or give both sizes there: the length is the longer way"),
    ("B84 cut-out longer", "lshape --length 100cm --width 60cm --cut-length 120cm --cut-width 9cm"
     " --depth 30cm", "--cut-length", "cut-length 120 cm is not under the length 100 cm",
     "the missing corner is smaller than the whole"),
    ("B84 cut-out as wide", "lshape --length 100cm --width 60cm --cut-length 50cm --cut-width 60cm"
     " --depth 30cm", "--cut-width", "cut-width 60 cm is not under the width 60 cm",
     "the missing corner is smaller than the whole"),
    ("B84 bow tie", "outline --points '0,0 60,40 60,0 0,40' --unit cm --depth 30cm", "--points",
     "edges 1 and 3 cross or touch", "walk once around, corner by corner"),
    ("B84 corner twice", "outline --points '0,0 60,0 60,0 0,40' --unit cm --depth 30cm",
     "--points", "corner 3 stands on corner 2",
     "leave one out: the last joins the first by itself"),
    ("B84 closed by hand", "outline --points '0,0 60,0 60,40 0,40 0,0' --unit cm --depth 30cm",
     "--points", "corner 5 stands on corner 1",
     "leave one out: the last joins the first by itself"),
    ("B84 all on one line", "outline --points '0,0 30,0 60,0' --unit cm --depth 30cm", "--points",
     "edges 1 and 3 cross or touch", "walk once around, corner by corner"),
    ("B85 all taken up", f"{TANK} --displaced 72L", "--displaced",
     "72 L is taken up of 72 L", "what is inside is smaller than the water"),
    ("B85 gravel over the rim", f"{TANK} --gravel 110L", "--gravel",
     "110 L of gravel does not fit into 72 L", "its bulk, holes included, is under the volume"),
    ("B88 one point", "levels --table '10cm:60L' --depth 5cm", "--table",
     "the table has one mark", "at least two depths with their litres"),
    ("B88 litres fall", "levels --table '10cm:60L 20cm:50L' --depth 5cm", "--table",
     "20 cm: 50 L after 10 cm: 60 L", "depth and litres both rise from mark to mark"),
    ("B88 depth twice", "levels --table '10cm:60L 10cm:70L' --depth 5cm", "--table",
     "10 cm: 70 L after 10 cm: 60 L", "depth and litres both rise from mark to mark"),
    ("B88 gap", "levels --table '10cm:60L 20cm:120L 60cm:400L' --depth 5cm", "--table",
     "no mark between 20 cm and 60 cm", "add a mark in the gap"),
    ("B90 depth 0", "box --length 60cm --width 40cm --depth 0cm", "--depth",
     "'0cm': 0 cannot be a length", "write how much it is, or leave it out"),
    ("B90 width 0", "box --length 60cm --width 0cm --depth 30cm", "--width",
     "'0cm': 0 cannot be a length", "write how much it is, or leave it out"),
    ("B90 below 0", "box --length 60cm --width -40cm --depth 30cm", "--width",
     "'-40cm': a length below zero", "write it without the minus"),
    ("B90 no buckets", "metered --bucket 10L --count 0", "--count", "count is 0",
     "a size above 0"),
    ("B90 too small for a drop", "box --length 0.001cm --width 0.001cm --depth 0.001cm",
     "--length", "the volume is under a drop", "no vessel holds that: check the units"),
    ("B90 larger than any", "box --length 50000m --width 50000m --depth 3m", "--length",
     "the volume is 7,500,000,000,000 L", "no vessel holds that: check the units"),
    ("B90 no rise", "by-salt --salt 100g --before '300 uS/cm' --after '300 uS/cm'", "--after",
     "after 300 is not above before 300", "the reading rises once the salt is mixed in"),
    ("B90 rise of rounding", "by-salt --salt 100g --before '300 uS/cm' --after '300.0001 uS/cm'",
     "--salt", "the volume is 2,058,334,518 L", "no vessel holds that: check the units"),
    ("B90 rise within its doubt", "by-salt --salt 100g --before '300 uS/cm +/- 30 uS/cm'"
     " --after '330 uS/cm +/- 30 uS/cm'", "--after",
     "a rise of 30 cannot be told from the doubt of its readings, +/- 30 and +/- 30",
     "more salt, within the limit of what lives there, or a finer meter"),
    ("B90 doubt as large as the size", "box --length 60cm --width 40cm --depth '30 cm +/- 30 cm'",
     "--depth", "'30 cm +/- 30 cm': the +/- is as large as the depth itself",
     "measure it again; +/- is how far off it may be"),
    ("B90 walls that cross", "round --diameter 10cm --middle-diameter 9.9cm --floor-diameter 30cm"
     " --depth 30cm", "--depth", "the walls meet below 30 cm", "measure again there"),
    ("B90 two sides", "polygon --sides 2 --across 50cm --depth 30cm", "--sides", "2 sides",
     "3 to 100 equal sides"),
    ("B90 sides of a circle", "polygon --sides 1000 --across 50cm --depth 30cm", "--sides",
     "1,000 sides", "3 to 100 equal sides"),
]  # fmt: skip

# case, line, words that have to stand in a warning (care) or in an assumption (taken)
SAID = [
    ("B80", TANK, "taken", "taken outside walls of 1 cm it is 8 % less"),
    ("B80 small", "box --length 24cm --width 12cm --depth 16cm", "taken",
     "taken outside walls of 1 cm it is 24 % less"),
    ("B81 cm for mm", "box --length 6cm --width 4cm --depth 3cm", "care",
     "0.072 L: check the units; 72 L if cm was meant for mm; 1.18 L if inches for cm"),
    ("B81 mm for cm", "box --length 600cm --width 400cm --depth 300cm", "care",
     "72,000 L: check the units; 72 L if mm was meant for cm; 4,394 L if cm for inches"),
    ("B81 bucket", "metered --bucket 10mL --count 38", "care", "0.38 L: check the units"),
    ("B82 inverted", "round --diameter 60cm --floor-diameter 75cm --depth 40cm", "taken",
     "the floor is larger than the waterline: the walls lean in"),
    ("B83 ellipse", "oval --length 70cm --width 120cm --depth 35cm", "taken",
     "the length is under the width: the other way round it is the same water"),
    ("B83 radius", "round --diameter 100cm --depth 40cm", "taken",
     "if it is half of that, 1,257 L"),
    ("B85 soft", f"{TANK} --displaced 35L", "care", "49 % of it is not water"),
    ("B86", TANK, "taken", "connected water: none named, no sump and no pipes"),
    ("B86 twice", "by-salt --salt 150g --before '334.9 uS/cm' --after '1321 uS/cm'"
     " --connected 20L", "care", "salt reaches connected water too while a pump runs"),
    ("soft pool", "round --diameter 10ft --depth 30in", "taken",
     "a soft-sided pool measured at its rim holds only 3,781 to 4,003 L of this"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("line", "option", "text", "hint"),
    [case[1:] for case in PROBLEMS],
    ids=[c[0] for c in PROBLEMS],
)
def test_what_cannot_be_is_a_problem_at_its_option(
    line: str, option: str, text: str, hint: str
) -> None:
    code, answer = ask(f"volume {line}")
    problem = answer["problems"][0]

    assert (code, problem["code"], problem["path"]) == (1, "out-of-range", option)
    assert (problem["text"], problem["hint"]) == (text, hint)


@pytest.mark.parametrize(
    ("line", "where", "words"), [case[1:] for case in SAID], ids=[case[0] for case in SAID]
)
def test_what_is_hardly_so_is_said(line: str, where: str, words: str) -> None:
    code, answer = ask(f"volume {line}")
    said = answer["assumptions"]
    if where == "care":
        said = [w["text"] for w in answer["warnings"] if w["code"] == "volume-doubtful"]

    assert code == 0
    assert any(words in text for text in said), said
    assert answer["volume_l_low"] <= answer["volume_l"] <= answer["volume_l_high"]


@pytest.mark.parametrize("line", ["nan cm", "NaNcm", "inf cm", "1e3 cm", "", "1" * 41 + " cm"])
def test_b90_what_is_no_number_is_none(line: str) -> None:
    code, answer = ask("volume box --length 60cm --width 40cm --depth", line)

    assert (code, answer["problems"][0]["code"]) == (1, "not-a-number")
    assert answer["problems"][0]["path"] == "--depth"


def test_b88_nothing_is_read_above_the_last_mark() -> None:
    code, answer = ask("volume levels --table '10cm:60L 20cm:120L' --depth 25cm")
    refused = answer["refused"]

    assert (code, refused["code"]) == (3, "not-in-range")
    assert refused["text"] == "25 cm is above the last mark, 20 cm"
    assert refused["way_out"] == "add a mark above the waterline to the table"


def _warned(answer: Answer) -> list[str]:
    return [w["text"] for w in answer["warnings"] if w["code"] == "volume-doubtful"]


@pytest.fixture
def room(tmp_path: Path) -> Room:
    made = Room(tmp_path / "room.db")
    made.at(NOON, f"record vessel tub {TANK} --height 35cm")
    return made


def test_b79_no_line_over_the_rim(room: Room) -> None:
    new = room.fails(
        NOON, "record vessel b box --length 60cm --width 40cm --depth 40cm --height 35cm",
        1, "out-of-range",
    )  # fmt: skip
    moved = room.fails(NOON, "record level tub --depth 36cm", 1, "out-of-range")

    assert (new["path"], new["hint"]) == ("--depth", RIM)
    assert new["text"] == "depth 40 cm is over the wall, 35 cm"
    assert (moved["path"], moved["hint"]) == ("--depth", RIM)
    assert moved["text"] == "depth 36 cm is over the wall, 35 cm"
    room.at(NOON, "record level tub --depth 35cm")


def test_b81_water_is_held_against_the_fish_that_live_in_it(room: Room) -> None:
    group = room.at(
        NOON, "record group ranchu --count 3 --variety ranchu --length 12cm --into tub"
    )
    assert not _warned(group)
    slip = room.at(
        NOON, "correct 3 --why slip --length 15cm --width 12cm --depth 15cm --height 16cm"
    )
    low = room.at(NOON, "record level tub --depth 2cm")
    more = room.at(NOON, "record fish oranda --variety oranda --length 15cm --into tub")

    words = "2.7 L holds 3 fish of up to 12 cm? check the sizes and their units"
    assert words in _warned(slip)
    assert any(text.startswith("0.36 L holds 3 fish of up to 12 cm?") for text in _warned(low))
    assert any("holds 4 fish of up to 15 cm?" in text for text in _warned(more))


@pytest.mark.parametrize("length", ["--stage fry", "--stage adult", "--length 3cm"])
def test_b81_fish_that_fit_are_nobodys_business(room: Room, length: str) -> None:
    # 72 L at 0.25 L per cm is 288 cm of fish.
    answer = room.at(NOON, f"record group some --count 60 --variety ranchu {length} --into tub")

    assert not _warned(answer)


def test_b89_salt_and_tape_over_15_percent_apart_are_both_shown(room: Room) -> None:
    answer = room.at(
        NOON, "record gauge tub by-salt --salt 30g --before '300 uS/cm' --after '1340 uS/cm'"
    )
    shown = room.at(NOON, "room show")["vessels"][0]
    dose = room.at(NOON, "dose salt --vessel tub")

    assert answer["agree"] is False
    assert answer["volume_l"] == pytest.approx(57.7, abs=0.5)
    gap = APART.format("14.3", 25)
    assert _warned(answer)[0] == f"box and by-salt {gap}"
    assert shown["volume_l"] == pytest.approx(72)
    assert dose["volume_l_low"] == pytest.approx(answer["volume_l_low"])


def test_b89_the_smaller_is_the_safer_where_the_fill_is_more(room: Room) -> None:
    answer = room.at(NOON, "record gauge tub metered --bucket 10L --count 9")
    dose = room.at(NOON, "dose salt --vessel tub")

    assert _warned(answer)[0] == f"box and metered {APART.format('18', 25)}"
    assert dose["volume_l_low"] == pytest.approx(70.39, abs=0.01)


def test_corners_with_blanks_and_in_a_room_with_commas(tmp_path: Path) -> None:
    _, blanks = ask("volume outline --points '0, 0 60, 0 60, 40 0, 40' --unit cm --depth 30cm")
    made = Room(tmp_path / "comma.db")
    made.at(NOON, "room set --decimal comma")
    comma = made.at(
        NOON,
        "record vessel tub outline --points '0;0 60,5;0 60,5;40 0;40' --unit cm --depth 30,5cm",
    )

    assert blanks["volume_l"] == pytest.approx(72)
    assert comma["volume_l"] == pytest.approx(60.5 * 40 * 30.5 / 1000)


def test_an_outline_is_the_same_either_way_round_and_below_zero() -> None:
    volumes = [
        ask(f"volume outline --points '{points}' --unit cm --depth 30cm")[1]["volume_l"]
        for points in ("0,0 60,0 60,40 0,40", "0,40 60,40 60,0 0,0", "-60,-40 0,-40 0,0 -60,0")
    ]

    assert volumes == pytest.approx([72.0] * 3)


def test_sizes_in_different_units_of_one_vessel() -> None:
    _, answer = ask("volume box --length 24in --width 300mm --depth 1.5ft")

    assert answer["volume_l"] == pytest.approx(60.96 * 30 * 45.72 / 1000)


def test_b87_an_old_line_is_asked_about_before_a_dose(room: Room) -> None:
    fresh = room.at("2026-03-03 11:59", "dose salt --vessel tub")
    old = room.at("2026-03-03 12:01", "dose salt --vessel tub")

    assert not _warned(fresh)
    assert _warned(old)[0].startswith("the line of tub was read 24 h ago, Mon 2 Mar 12:00")
