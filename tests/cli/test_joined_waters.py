"""Waters that are joined, through the command line: sharing, isolating, rejoining, touching."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from random import Random

import pytest

from tests.cli.ask import Room

TUB = "record vessel A box --length 100cm --width 100cm --depth 31cm --system S"
SMALL = "record vessel B box --length 100cm --width 50cm --depth 38cm --system S"
SUMP = "record vessel C box --length 50cm --width 40cm --depth 30cm --system S"
"""310, 190 and 60 L: length times width times depth (geometry)."""

BY = "--connected '60 L'"
SALTED = "salt --strength '100 %'"


def joined(path: Path, *vessels: str) -> Room:
    room = Room(path / "room.db")
    for line in vessels or (f"{TUB} {BY}", SMALL):
        room.at("2026-03-01 10:00", line)
    return room


def amount(room: Room, when: str, water: str) -> float:
    return float(room.at(when, f"dose salt --vessel {water} --target '2 g/L'")["amount"])


def salt(room: Room, when: str, water: str) -> float:
    found = room.at(when, f"residue {water}")["substances"]
    return float(found[0]["now"]) if found else 0.0


@pytest.mark.parametrize(
    "vessels",
    [
        (f"{TUB} {BY}", SMALL),
        (TUB, f"{SMALL} {BY}"),
        (f"{TUB} {BY}", f"{SMALL} {BY}"),
        (TUB, SMALL, SUMP),
    ],
    ids=["named with A", "named with B", "named with both", "a vessel of its own"],
)
def test_a_sump_is_water_of_the_system(tmp_path: Path, vessels: tuple[str, ...]) -> None:
    room = joined(tmp_path, *vessels)
    for name in ("A", "B", "S"):
        found = room.at("2026-03-01 10:05", f"dose salt --vessel {name} --target '2 g/L'")
        assert found["amount"] == pytest.approx(2 * (310 + 190 + 60))
        assert {"A", "B"} <= set(found["reaches"])
    room.at("2026-03-01 10:06", "record isolate A")
    assert amount(room, "2026-03-01 10:07", "A") == pytest.approx(2 * 310)
    assert amount(room, "2026-03-01 10:07", "B") == pytest.approx(2 * (190 + 60))
    room.at("2026-03-01 10:08", f"record dose A {SALTED} --amount '620 g'")
    assert salt(room, "2026-03-01 10:09", "A") == pytest.approx(2.0)
    assert salt(room, "2026-03-01 10:09", "B") == 0
    found = room.at("2026-03-01 10:10", "record isolate A --rejoin")
    assert found["residue"][0]["now"] == pytest.approx(620 / 560)
    for name in ("A", "B", "S"):
        assert salt(room, "2026-03-01 10:11", name) == pytest.approx(620 / 560)
    assert room.at("2026-03-01 10:12", "verify --replay")["ok"]


def test_a_sump_named_twice_is_said(tmp_path: Path) -> None:
    room = joined(tmp_path, f"{TUB} {BY}")
    found = room.at("2026-03-01 10:01", f"{SMALL} {BY}")
    assert found["warnings"][0]["code"] == "volume-doubtful"
    assert "named with A already, 60 L" in found["warnings"][0]["text"]
    shown = room.at("2026-03-01 10:02", "room show")
    assert shown["systems"][0]["connected_l"] == 60.0
    assert shown["totals"]["volume_l"] == pytest.approx(560)


def test_both_waters_keep_what_was_dosed_before(tmp_path: Path) -> None:
    room = joined(tmp_path)
    room.at("2026-03-01 10:05", f"record dose S {SALTED} --amount '1120 g'")
    room.at("2026-03-01 10:06", "record isolate A")
    for name in ("A", "S"):
        assert salt(room, "2026-03-01 10:07", name) == pytest.approx(2.0)
        code, no = room.ask("2026-03-01 10:07", f"record dose {name} {SALTED} --amount '1200 g'")
        assert (code, no["refused"]["code"]) == (3, "over-hard-limit")
    room.at("2026-03-01 10:08", "record change A --percent 50")
    assert salt(room, "2026-03-01 10:09", "A") == pytest.approx(1.0)
    assert salt(room, "2026-03-01 10:09", "S") == pytest.approx(2.0)
    room.at("2026-03-01 10:10", "record isolate A --rejoin")
    assert salt(room, "2026-03-01 10:11", "S") == pytest.approx((310 + 2 * 250) / 560)
    high = room.at("2026-03-01 10:12", "residue S")["substances"][0]["high"]
    assert amount(room, "2026-03-01 10:12", "S") == pytest.approx((2 - high) * 560)


def test_a_dose_of_one_water_is_never_mixed_after_rejoining(tmp_path: Path) -> None:
    room = joined(tmp_path)
    for name in ("A", "B"):
        room.at("2026-03-01 10:01", f"record reading {name} --temp '20 C' --oxygen '8 mg/L'")
    room.at("2026-03-01 10:02", "record isolate A")
    given = "record given A praziquantel --amount '0.62 g' --why 'flukes seen'"
    room.at("2026-03-01 10:03", given)
    room.at("2026-03-01 10:10", "record isolate A --rejoin")
    again = "dose praziquantel --vessel B --target '2 mg/L' --strength '99 %'"
    code, no = room.ask("2026-03-01 11:00", again)
    assert (code, no["refused"]["code"]) == (3, "too-soon")


def test_mass_is_conserved_through_any_order(tmp_path: Path) -> None:
    """An own book of grams in fractions beside the program's."""
    random = Random(11)
    for turn in range(6):
        folder = tmp_path / str(turn)
        folder.mkdir()
        room = joined(folder)
        own = {"A": Fraction(310), "S": Fraction(250)}
        grams = {"A": Fraction(0), "S": Fraction(0)}
        apart = False
        for minute in range(1, 13):
            when = f"2026-03-01 10:{minute:02}"
            way = random.choice(["dose", "dose", "isolate", "change"])
            name = random.choice(["A", "S"]) if apart else "S"
            if way == "isolate":
                room.at(when, "record isolate A" + (" --rejoin" if apart else ""))
                if apart:
                    grams = {"A": Fraction(0), "S": grams["A"] + grams["S"]}
                else:
                    part = grams["S"] * own["A"] / 560
                    grams = {"A": part, "S": grams["S"] - part}
                apart = not apart
            elif way == "dose":
                more = random.randrange(20, 90)
                room.at(when, f"record given {name} {SALTED} --amount '{more} g' --why 'a test'")
                grams[name] += more
            else:
                share = random.randrange(5, 60)
                room.at(when, f"record change {name} --percent {share}")
                grams[name] *= 1 - Fraction(share, 100)
            litres = {"A": own["A"], "S": own["S"] if apart else Fraction(560)}
            for water in ("A", "S") if apart else ("S",):
                level = salt(room, when, water)
                assert level == pytest.approx(float(grams[water] / litres[water]), rel=1e-9)
        assert room.at("2026-03-01 11:00", "verify --replay")["projections_match"]


def test_dissolved_readings_are_shared_temperature_and_oxygen_are_not(tmp_path: Path) -> None:
    room = joined(tmp_path)
    line = "record reading A --temp '20 C' --oxygen '8 mg/L' --ph 7.6 --tan '0.2 mg/L as N'"
    room.at("2026-03-01 10:05", line)
    long_bath = "dose formalin --vessel B --target '15 uL/L' --course long-bath"
    code, no = room.ask("2026-03-01 10:06", long_bath)
    assert (code, no["refused"]["code"]) == (3, "reading-missing")
    room.at("2026-03-01 10:07", "record reading B --temp '22 C' --oxygen '7 mg/L'")
    assert room.ask("2026-03-01 10:08", long_bath)[0] == 0
    room.at("2026-03-01 10:09", "record isolate A")
    assert room.ask("2026-03-01 10:10", long_bath.replace("vessel B", "vessel A"))[0] == 0


def test_an_isolated_vessel_keeps_its_clock_and_its_tasks(tmp_path: Path) -> None:
    room = joined(tmp_path)
    room.at("2026-03-01 11:00", "record group Reds --count 4 --variety oranda --into A")
    room.at("2026-03-01 11:01", "record group Blues --count 2 --variety oranda --into B")
    room.at("2026-03-01 11:02", "record quarantine S --plan standard")
    first = room.at("2026-03-03 09:00", "tasks --system S")["tasks"][0]["id"]
    room.at("2026-03-03 09:01", f"record done {first}")
    room.at("2026-03-04 09:00", "record isolate A")
    for name in ("A", "B"):
        found = room.at("2026-03-04 09:01", f"checks {name}")
        assert found["days_served"] == 3
        assert found["earliest_release"] == "2026-03-31"
    still = {t["id"]: t["state"] for t in room.at("2026-03-04 09:02", "tasks --system A")["tasks"]}
    assert still["A" + first.removeprefix("S")] == "done"
    room.at("2026-03-06 09:00", "record group Late --count 1 --variety oranda --into A")
    assert room.at("2026-03-06 09:01", "checks B")["earliest_release"] == "2026-03-31"
    dry = room.at("2026-03-07 09:00", "record isolate A --rejoin --dry-run")
    assert dry["entry"] is None
    assert "day 0 becomes Fri 6 Mar" in dry["drags_in"][0]["what"]
    room.at("2026-03-07 09:00", "record isolate A --rejoin")
    assert room.at("2026-03-07 09:01", "checks S")["earliest_release"] == "2026-04-05"


def test_water_that_is_not_released_drags_a_released_one_back(tmp_path: Path) -> None:
    room = joined(tmp_path)
    room.at("2026-03-01 11:00", "record group Blues --count 2 --variety oranda --into B")
    room.at("2026-03-01 11:01", "record isolate A")
    room.at("2026-03-01 11:02", "record group Reds --count 4 --variety oranda --into A")
    room.at("2026-03-01 11:03", "record quarantine A --plan standard")
    found = room.at("2026-03-02 09:00", "record isolate A --rejoin")
    assert found["drags_in"][0]["system"] == "S"
    assert found["drags_in"][0]["what"] == "2 fish there are in quarantine again"
    assert room.at("2026-03-02 09:01", "checks S")["earliest_release"] == "2026-03-31"


def test_what_mixes_by_share_and_what_has_to_be_read_again(tmp_path: Path) -> None:
    room = joined(tmp_path)
    room.at("2026-03-01 10:01", "record reading S --ph 7.6 --tan '0.2 mg/L as N'")
    room.at("2026-03-01 10:02", "record isolate A")
    room.at("2026-03-01 10:03", "record reading A --ph 7.0 --tan '1.0 mg/L as N'")
    found = room.at("2026-03-01 10:04", "record isolate A --rejoin")
    assert any("pH of the mixture" in said for said in found["assumptions"])


@pytest.mark.parametrize(
    ("line", "text", "hint"),
    [
        ("record isolate D", "D shares its water with nothing", "a vessel of a system of several"),
        ("record isolate B --rejoin", "B is not isolated", "takes it out first"),
        ("record isolate A", "A is isolated from S already", "--rejoin lets it in again"),
        ("record link B S --by air", "S and S are one water", "between two waters"),
        ("record link B D --by air --ended", "S and D are not linked by air", "lists the links"),
    ],
)
def test_what_cannot_be_is_said(tmp_path: Path, line: str, text: str, hint: str) -> None:
    room = joined(tmp_path)
    room.at("2026-03-01 10:01", "record vessel D box --length 50cm --width 40cm --depth 30cm")
    room.at("2026-03-01 10:02", "record isolate A")
    code, no = room.ask("2026-03-01 10:03", line)
    problem = no["problems"][0]
    assert (code, problem["code"]) == (1, "out-of-range")
    assert text in problem["text"]
    assert hint in problem["hint"]


def test_isolating_is_voided_and_written_late(tmp_path: Path) -> None:
    room = joined(tmp_path)
    room.at("2026-03-01 10:05", f"record dose S {SALTED} --amount '560 g'")
    entry = room.at("2026-03-01 10:06", "record isolate A")["entry"]
    room.at("2026-03-01 10:07", "record change A --percent 50")
    room.at("2026-03-01 10:08", f"correct {entry} --void --why 'the valve was open'")
    assert salt(room, "2026-03-01 10:09", "A") == pytest.approx(1 - 0.5 * 310 / 560)
    late = "record isolate A --when '2026-03-01 10:06'"
    room.at("2026-03-01 10:10", late)
    assert salt(room, "2026-03-01 10:11", "A") == pytest.approx(0.5)
    assert salt(room, "2026-03-01 10:11", "S") == pytest.approx(1.0)


def test_a_link_is_watched_and_moves_no_clock(tmp_path: Path) -> None:
    room = joined(tmp_path)
    room.at("2026-03-01 10:01", "record vessel D box --length 50cm --width 40cm --depth 30cm")
    for group in ("Reds --into A", "Blues --into D"):
        room.at("2026-03-01 10:02", f"record group {group} --count 3 --variety oranda")
    room.at("2026-03-01 10:03", "record quarantine D --plan standard")
    room.at("2026-03-01 10:04", "record link A D --by splash")
    shown = room.at("2026-03-01 10:05", "room show")["links"]
    assert [(x["a"], x["b"], x["by"]) for x in shown] == [("S", "D", "splash")]
    assert room.at("2026-03-05 10:00", "today")["alerts"] == []
    room.at("2026-03-05 10:01", "record look Reds --sign white-grains:1 --affected 1")
    watch = [a for a in room.at("2026-03-05 10:02", "today")["alerts"] if a["system"] == "D"]
    assert watch[0]["urgency"] == "watch"
    assert "linked by splash since" in watch[0]["because"]
    assert room.at("2026-03-05 10:03", "checks D")["days_served"] == 4
    room.at("2026-03-05 10:04", "record link A D --by splash --ended")
    alerts = room.at("2026-03-05 10:05", "today")["alerts"]
    assert not [a for a in alerts if a["system"] == "D"]


def test_a_sump_with_the_pump_stopped_is_the_same_water(tmp_path: Path) -> None:
    room = joined(tmp_path, TUB, SMALL, f"{SUMP} --height 40cm")
    found = room.at("2026-03-01 10:05", "record level C --depth 39cm --pump stopped")
    assert found["drain_back_l"] == pytest.approx(50 * 40 * 9 / 1000)
    assert "1 cm are left to the rim" in found["warnings"][0]["text"]
    assert amount(room, "2026-03-01 10:06", "A") == pytest.approx(1120)
    code, no = room.ask("2026-03-01 10:07", "record level C --depth 41cm --pump stopped")
    assert (code, no["problems"][0]["code"]) == (1, "out-of-range")
    room.at("2026-03-01 10:08", "record level C --depth 25cm --pump running")
    assert amount(room, "2026-03-01 10:09", "A") == pytest.approx(2 * 550)


def test_carbon_in_one_vessel_works_on_all_it_shares(tmp_path: Path) -> None:
    room = joined(tmp_path)
    dosed = "record given S formalin --amount '8 mL' --why 'a test'"
    room.at("2026-03-01 10:01", dosed)
    room.at("2026-03-01 10:02", "record equipment B --carbon in")
    room.at("2026-03-01 10:03", "record isolate A")

    def low_share(name: str) -> float:
        found = room.at("2026-03-02 10:03", f"residue {name}")["substances"][0]
        return float(found["low"] / found["now"])

    assert low_share("S") < low_share("A")


def test_a_gauging_holds_the_sump_once(tmp_path: Path) -> None:
    """37 buckets of 10.1 L filled the tub of 310 L and its sump of 60 L."""
    room = joined(tmp_path)
    room.at("2026-03-01 10:01", "record gauge A metered --bucket '10.1 L' --count 37")
    found = room.at("2026-03-01 10:02", "residue S")
    assert found["volume_l"] == pytest.approx(560)
    assert 560 < found["volume_l_high"] < 560 + 20
    room.at("2026-03-01 10:03", "record settle A --way fill --why 'counted twice'")
    filled = 37 * 10.1 - 60
    assert amount(room, "2026-03-01 10:04", "S") == pytest.approx(2 * (filled + 190 + 60), abs=1)
    room.at("2026-03-01 10:05", "record isolate A")
    assert amount(room, "2026-03-01 10:06", "A") == pytest.approx(2 * filled, abs=1)
    assert amount(room, "2026-03-01 10:06", "S") == pytest.approx(2 * 250, abs=1)


def test_a_water_named_after_a_vessel_holds_when_that_is_renamed(tmp_path: Path) -> None:
    room = joined(tmp_path, TUB.replace(" --system S", ""), SMALL.replace("S", "A"))
    assert amount(room, "2026-03-01 10:01", "B") == pytest.approx(1000)
    first = room.at("2026-03-01 10:02", "history A")["entries"][0]["entry"]
    room.at("2026-03-01 10:03", f"correct {first} --subject Long --why 'a slip'")
    assert amount(room, "2026-03-01 10:04", "B") == pytest.approx(1000)
    found = room.at("2026-03-01 10:05", "record isolate B")
    assert found["left"] == "Long"
