"""What a slip of the hand meets: every value is refused or read exactly as it stands."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest

from tests.cli.ask import Room, ask, run

NOT_READ = [
    ("1,5 L", "not-a-number"),
    ("1,000 L", "not-a-number"),
    ("1.000,5 L", "not-a-number"),
    ("1,000.5 L", "not-a-number"),
    ("1 000 L", "not-a-number"),
    ("1'000 L", "not-a-number"),
    ("1\u00a0000 L", "not-a-number"),
    ("1\u2009000 L", "not-a-number"),
    ("1_000 L", "not-a-number"),
    ("5. L", "not-a-number"),
    ("05 L", "not-a-number"),
    ("007 L", "not-a-number"),
    ("1.2.3 L", "not-a-number"),
    ("5..2 L", "not-a-number"),
    ("nan L", "not-a-number"),
    ("inf L", "not-a-number"),
    ("\u221e L", "not-a-number"),
    ("1e3 L", "not-a-number"),
    ("1E-5 L", "not-a-number"),
    ("1e-400 L", "not-a-number"),
    ("-5 L", "out-of-range"),
    ("\u22125 L", "not-a-number"),
    ("+5 L", "not-a-number"),
    ("-0 L", "not-a-number"),
    ("0 L", "out-of-range"),
    ("\uff15 L", "not-a-number"),
    ("\u0665 L", "not-a-number"),
    ("5\u00b2 L", "not-a-number"),
    ("\u00bd L", "not-a-number"),
    ("0x10 L", "not-a-number"),
    ("1O L", "not-a-number"),
    ("l0 L", "not-a-number"),
    ("5" * 41 + " L", "not-a-number"),
    ("5+3 L", "not-a-number"),
    ("9**9**9 L", "not-a-number"),
    ("", "not-a-number"),
    (" ", "not-a-number"),
    ("12\n34 L", "not-a-number"),
    ("12\x1b[31m L", "not-a-number"),
    ("12\u200b L", "not-a-number"),
    ("5", "unit-missing"),
    ("5 gal", "ambiguous-unit"),
    ("5 oz", "ambiguous-unit"),
    ("5 Mg", "unknown-unit"),
    ("5 MG", "unknown-unit"),
    ("5 U", "unknown-unit"),
    ("5 IU", "unknown-unit"),
    ("5 drops", "unknown-unit"),
    ("5 tsp", "unknown-unit"),
    ("5 cm", "wrong-kind"),
    ("5 kg", "wrong-kind"),
    ("<50 L", "not-a-number"),
    ("unreadable", "not-a-number"),
    ("100 L +/- -5", "out-of-range"),
]


@pytest.mark.parametrize(("text", "code"), NOT_READ)
def test_a_volume_is_read_exactly_or_not_at_all(text: str, code: str) -> None:
    found, answer = ask("dose salt", f"--volume={text}")
    assert found == 1
    assert [p["code"] for p in answer["problems"]] == [code]
    assert answer["problems"][0]["path"] == "--volume"


READ = [
    (".5 L", 0.5),
    ("5.0 L", 5.0),
    ("100L", 100.0),
    (" 100  L ", 100.0),
    ("40 US gal", 151.416471),  # 3.785411784 L by definition (NIST SP 811)
    ("33 imp gal", 150.02097),  # 4.54609 L by definition (NIST SP 811)
    ("100 L +/- 5", 100.0),
    ("100 L \u00b1 5 L", 100.0),
]


@pytest.mark.parametrize(("text", "litres"), READ)
def test_every_spelling_of_a_volume(text: str, litres: float) -> None:
    code, answer = ask("dose salt", f"--volume={text}")
    assert code == 0
    assert answer["volume_l"] == pytest.approx(litres, rel=1e-8)


def test_a_problem_points_at_the_character() -> None:
    _, answer = ask("volume box --length 100 --width 5O --depth 40mi")
    told = [(p["path"], p["line"], p["column"], p["code"]) for p in answer["problems"]]
    assert told == [
        ("--length", 1, 4, "unit-missing"),
        ("--width", 1, 2, "not-a-number"),
        ("--depth", 1, 3, "unknown-unit"),
    ]
    _, answer = ask("dose formalin --volume 9L --oxygen '8 mg/L' --temp 20C --with 'salt:2'")
    assert [(p["path"], p["column"]) for p in answer["problems"]] == [("--with", 7)]


AMMONIA = "water ammonia --tan {tan} --ph {ph} --temp {temp}"


@pytest.mark.parametrize(
    ("tan", "ph", "temp", "path", "code"),
    [
        ("2 mg/L", "8", "25C", "--tan", "ambiguous-unit"),
        ("2", "8", "25C", "--tan", "unit-missing"),
        ("2 ppm", "8", "25C", "--tan", "ambiguous-unit"),
        ("2 mg/L as N as N", "8", "25C", "--tan", "unknown-unit"),
        ("2 mg/L as N", "15", "25C", "--ph", "out-of-range"),
        ("2 mg/L as N", "7.8..7.4", "25C", "--ph", "out-of-range"),
        ("2 mg/L as N", "8", "20", "--temp", "unit-missing"),
        ("2 mg/L as N", "8", "68C", "--temp", "out-of-range"),
        ("2 mg/L as N", "8", "-300C", "--temp", "out-of-range"),
        ("unreadable", "8", "20C", "--tan", "not-a-number"),
        ("2 mg/L as N", "unreadable", "20C", "--ph", "not-a-number"),
    ],
)
def test_readings_that_cannot_be(tan: str, ph: str, temp: str, path: str, code: str) -> None:
    line = AMMONIA.format(tan=shlex.quote(tan), ph=ph, temp=temp)
    found, answer = ask(line)
    assert found == 1
    assert [(p["path"], p["code"]) for p in answer["problems"]] == [(path, code)]


def test_a_celsius_that_was_fahrenheit_is_offered_back() -> None:
    _, answer = ask("water oxygen --temp 68C")
    assert "68 F (20 C)" in answer["problems"][0]["hint"]


@pytest.mark.parametrize(
    ("text", "code"),
    [("3", "unit-missing"), ("3 ppt", "ambiguous-unit"), ("1.05 SG", "out-of-range")],
)
def test_salt_readings_that_are_not_clear(text: str, code: str) -> None:
    found, answer = ask("water salt", text)
    assert found == 1
    assert answer["problems"][0]["code"] == code
    assert answer["problems"][0]["path"] == "SALT"


GEOMETRY = [
    ("volume lshape --length 1m --width 80cm --cut-length 140cm --cut-width 3cm --depth 4cm",
     "--cut-length"),
    ("volume outline --points '0,0 120,60 120,0 0,60' --unit cm --depth 50cm", "--points"),
    ("volume drum --diameter 57cm --length 85cm --depth 60cm", "--depth"),
    ("volume bowl --diameter 30cm --depth 40cm", "--depth"),
    ("volume polygon --sides 2 --across 60cm --depth 50cm", "--sides"),
    ("volume levels --table '10cm:60L 20cm:50L' --depth 15cm", "--table"),
    ("volume levels --table '10cm:60L' --depth 5cm", "--table"),
    ("volume box --length 1m --width 5dm --depth 40cm --displaced 300L", "--width"),
    ("volume box --length 1m --width 50cm --depth 40cm --displaced 300L", "--displaced"),
    ("volume box --length 1m --width 50cm --depth 40cm --depths '3cm 4cm'", "--depth"),
    ("volume by-salt --salt 100g --before '1200 uS/cm' --after '300 uS/cm'", "--after"),
    ("volume slices --slice '60cm x 40cm'", "--slice"),
]  # fmt: skip


@pytest.mark.parametrize(("line", "path"), GEOMETRY)
def test_sizes_that_do_not_fit(line: str, path: str) -> None:
    code, answer = ask(line)
    assert code == 1
    assert answer["problems"][0]["path"] == path


def test_no_level_is_guessed_above_the_last_mark() -> None:
    code, answer = ask("volume levels --table '10cm:60L 20cm:131L 30cm:208L' --depth 35cm")
    assert code == 3
    assert answer["refused"]["code"] == "not-in-range"
    assert (answer["refused"]["limit"], answer["refused"]["value"]) == (30.0, 35.0)


def test_doubtful_sizes_are_warned_of() -> None:
    _, tiny = ask("volume box --length 3cm --width 5cm --depth 4cm")
    assert "volume-doubtful" in [w["code"] for w in tiny["warnings"]]
    _, full = ask("volume box --length 1m --width 50cm --depth 40cm --displaced 100L")
    assert "volume-doubtful" in [w["code"] for w in full["warnings"]]


def test_water_that_may_be_nothing_is_not_dosed() -> None:
    code, answer = ask("dose salt --volume '100 L +/- 200 L'")
    assert (code, answer["refused"]["code"]) == (3, "volume-unknown")


@pytest.fixture
def room(tmp_path: Path) -> Room:
    it = Room(tmp_path / "room.db")
    it.at(NOON, "record vessel 'Tub A' box --length 100cm --width 50cm --depth 40cm")
    return it


NOON = "2026-03-01 12:00"


@pytest.mark.parametrize(
    ("when", "code"),
    [
        ("2026-02-29", "no-such-time"),
        ("2026-02-30 10:00", "no-such-time"),
        ("2026-13-01", "no-such-time"),
        ("01/02/2026", "no-such-time"),
        ("10", "no-such-time"),
        ("May", "no-such-time"),
        ("1.5", "no-such-time"),
        ("tomorrow", "no-such-time"),
        ("0226-01-01", "no-such-time"),
        ("2206-01-01", "no-such-time"),
        ("1926-01-01", "no-such-time"),
        ("2026-03-02 24:00", "no-such-time"),
        ("2026-3-2", "no-such-time"),
        # Lisbon: clocks go forward at 01:00 on 29 March and back at 02:00 on 25 October (IANA).
        ("2026-03-29 01:30", "no-such-time"),
        ("2026-10-25 01:30", "ambiguous-time"),
    ],
)
def test_times_that_are_not(room: Room, when: str, code: str) -> None:
    told = room.fails(when, "record feed 'Tub A' --amount 1g", 1, code)
    assert told["path"] == "--at"
    if "-29" in when and "03" in when:
        assert "02:30" in told["hint"]
    if when == "2026-02-29":
        assert "2026-02-28" in told["hint"]


@pytest.mark.parametrize("offset", ["+01:00", "+00:00"])
def test_an_offset_tells_the_two_hours_apart(room: Room, offset: str) -> None:
    room.at(f"2026-10-25 01:30{offset}", "record feed 'Tub A' --amount 1g")
    entries = room.at("2026-10-26 09:00", "history 'Tub A'")["entries"]
    assert entries[-1]["at"] == f"2026-10-25T01:30:00{offset}"


def test_nothing_happens_later_or_before_it_could(room: Room) -> None:
    feed = "record feed 'Tub A' --amount 1g --when "
    day_two = "2026-03-02 12:00"
    told = room.fails(day_two, feed + "'2026-03-02 12:01'", 1, "in-future")
    assert told["path"] == "--when"
    room.fails(day_two, feed + "'2026-03-01 11:59'", 1, "reason-missing")
    room.at(day_two, feed + "'2026-03-01 12:00'")
    told = room.fails(day_two, feed + "'2026-03-01 11:59' --why forgot", 1, "no-such-name")
    assert "not yet" in told["text"]
    late = "record dose 'Tub A' salt --amount 100g --when '2026-03-01 11:00' --why late"
    room.fails(day_two, late, 1, "no-such-name")


@pytest.mark.parametrize(
    "name",
    [
        "Tub/B", "Tub,B", "Tub:B", "Tub#1", "..", "x" * 41, " ", "Tub\nB", "Tub\x1b[31m",
        "Tub\u202eB", "Tub\u200bB", "B" + "\u0301" * 5, "tap",
    ],
)  # fmt: skip
def test_names_that_are_not_taken_on(room: Room, name: str) -> None:
    line = f"record vessel {shlex.quote(name)} box --length 1m --width 50cm --depth 40cm"
    code, answer = room.ask(NOON, line)
    assert (code, answer["problems"][0]["path"]) == (1, "NAME")
    code, _ = room.ask(NOON, "room show")
    assert code == 0


@pytest.mark.parametrize("twin", ["Tub A", "tub a", "TUB A", "Tub  A", "Tub A ", "Tub \u0410"])
def test_names_too_like_one_that_is_there(room: Room, twin: str) -> None:
    line = f"record vessel {shlex.quote(twin)} box --length 1m --width 50cm --depth 40cm"
    code, answer = room.ask(NOON, line)
    assert (code, answer["problems"][0]["code"]) == (1, "name-taken"), answer


def test_a_name_that_begins_with_a_dash_is_no_name(room: Room) -> None:
    argv = shlex.split("record vessel --json --length 1m --width 50cm --depth 40cm")
    more = ["--room", str(room.path), "--at", NOON]
    code, out, _ = run(*argv, *more, "--", "-Tub", "box")
    assert code == 1
    assert '"NAME"' in out


@pytest.mark.parametrize("name", ["[red]Bob", "[@click=app.quit]x", "\u91d1\u9b5a", "\U0001f41f"])
def test_outside_text_is_kept_and_shown_as_it_is(room: Room, name: str) -> None:
    line = f"record fish {shlex.quote(name)} --variety ranchu --into 'Tub A'"
    room.at(NOON, line)
    assert [f["name"] for f in room.at(NOON, "room show")["fish"]] == [name]
    _, out, _ = run("room", "show", "--room", str(room.path))
    assert name in out


def test_notes_are_counted_not_cut(room: Room) -> None:
    feed = "record feed 'Tub A' --amount 1g"
    code, answer = room.ask(NOON, f"{feed} --note '{'x' * 2001}'")
    assert (code, answer["problems"][0]["path"]) == (1, "--note")
    room.at(NOON, f"{feed} --note '{'x' * 2000}'")
    entry = room.at(NOON, "history 'Tub A'")["entries"][-1]
    assert len(entry["content"]["note"]) == 2000


NOWHERE = ["today", "tasks", "residue X", "checks X", "history X", "verify", "room show"]


@pytest.mark.parametrize("line", [*NOWHERE, "record keeper Ana", "correct 1 --void --why x"])
def test_no_room_is_made_by_asking(tmp_path: Path, line: str) -> None:
    path = tmp_path / "none.db"
    code, answer = ask(line, "--room", str(path))
    assert (code, answer["problems"][0]["code"]) == (4, "no-room")
    assert not path.exists()


def test_what_is_no_room_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("not a room", encoding="utf-8")
    for line in ("today", "room new", "record keeper Ana"):
        code, answer = ask(line, "--room", str(path))
        assert (code, answer["problems"][0]["code"]) == (4, "not-a-room")
    assert path.read_text(encoding="utf-8") == "not a room"


BAD_FILES = [
    ("doze: 1\n", 1), ("a: &x 1\n", 1), ("!!python/object:os.system x\n", 1),
    ("id: a\nid: b\n", 1), ("", 1), ("# only a comment\n", 1), ("- 1\n", 1),
    ("id: a\n---\nid: b\n", 1), ("%YAML 1.1\n---\nid: a\n", 1), ("id: .nan\n", 1),
]  # fmt: skip


@pytest.mark.parametrize(("text", "code"), BAD_FILES)
def test_protocol_files_that_are_refused(tmp_path: Path, text: str, code: int) -> None:
    folder = tmp_path / "treatments"
    folder.mkdir()
    path = folder / "x.yaml"
    path.write_text(text, encoding="utf-8")
    found, answer = ask("check", str(path))
    assert found == code
    assert answer["problems"][0]["path"].endswith("x.yaml")
