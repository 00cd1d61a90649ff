"""What a room answers to a script: names, corrections, keys, doses, quarantines, times."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.cli.ask import Answer, Room, ask

BOX = "box --length 100cm --width 50cm --depth 40cm"
DAY = "2026-03-01 12:00"


@pytest.fixture
def room(tmp_path: Path) -> Room:
    it = Room(tmp_path / "room.db")
    it.at(DAY, f"record vessel 'Tub 1' {BOX} --zone quarantine")
    it.at(DAY, f"record vessel A {BOX} --system Rack --zone quarantine")
    it.at(DAY, f"record vessel B {BOX} --system Rack --zone quarantine")
    it.at(DAY, "record tool '1 g' --name Kitchen")
    it.at(DAY, "record tool '0.01 g' --name Fine")
    it.at(DAY, "record tool '0.1 mL' --name Syringe")
    it.at(DAY, "record kit Drops --tests tan --reports NH3 --steps '0 0.25 0.5 1 2 4 8'")
    return it


def codes(answer: Answer) -> list[str]:
    return [w["code"] for w in answer["warnings"]]


def entries(room: Room, subject: str) -> list[Any]:
    found = room.at("2026-12-01 12:00", f"history '{subject}'")["entries"]
    for e in found:
        assert set(e) >= {"entry", "at", "entered", "kind", "keeper", "content", "corrects", "why"}
    return list(found)


def test_room_new_makes_the_keeper_it_names(tmp_path: Path) -> None:
    path = str(tmp_path / "r.db")
    code, made = ask(f"room new --time-zone Europe/Lisbon --tape '0.2 cm' --room {path}")
    assert (code, made["tape_cm"]) == (0, 0.2)
    code, refused = ask(f"record tool '1 g' --name X --room {path}")
    assert (code, refused["refused"]["code"]) == (3, "keeper-unknown")
    assert ask(f"record keeper Ana --room {path}")[0] == 0
    code, vessel = ask(f"record vessel T {BOX} --room {path}")
    assert any("0.1 cm" in text for text in vessel["assumptions"])
    assert ask(f"record keeper Ben --room {path}")[0] == 0
    code, refused = ask(f"record tool '1 g' --name X --room {path}")
    assert (code, refused["refused"]["code"]) == (3, "keeper-unknown")
    assert ask(f"record tool '1 g' --name X --keeper Ben --room {path}")[0] == 0
    code, _ = ask(f"room new --room {path}")
    assert code == 4


def test_settings(room: Room) -> None:
    assert room.at(DAY, "room set --quiet 23-06 --night-drop '2 C'")["night_drop_c"] == 2.0
    assert room.at(DAY, "room set --quiet=23-06 --round-order B,A")["quiet"] == "23-06"
    room.at(DAY, "room set --decimal comma")
    room.at(DAY, "record feed A --amount 1,5g")
    told = room.fails(DAY, "record feed A --amount 1.5g", 1, "not-a-number")
    assert "1,5" in told["hint"]
    assert room.at(DAY, "room show")["night_drop_c"] == 2.0
    for drop in ("-1 C", "16 C", "60 F"):
        room.fails(DAY, f"room set --night-drop='{drop}'", 1, "out-of-range")
    room.fails(DAY, "room set --quiet late", 1, "no-such-time")
    room.fails(DAY, "room set --decimal dots", 1, "no-such-name")
    room.fails(DAY, "room set --tape 5", 1, "unit-missing")


def test_room_show_lists_objects_with_names(room: Room) -> None:
    a = room.at(DAY, "room show")
    for key in ("keepers", "persons", "tools", "kits", "products", "vessels", "systems", "fish"):
        assert all(one["name"] for one in a[key])
    tub = next(v for v in a["vessels"] if v["name"] == "Tub 1")
    assert (tub["volume_l"], tub["depth_cm"], tub["zone"], tub["system"]) == (
        200.0, 40.0, "quarantine", "Tub 1",
    )  # fmt: skip


def test_names_are_one_space(room: Room) -> None:
    room.at(DAY, "record fish Momo --variety ranchu --into A")
    room.at(DAY, "record shipment S1 --from Acme --delivered '2026-03-01 09:00'")
    for name in ("Tub 1", "Rack", "Momo", "S1", "momo"):
        for line in (
            f"record vessel '{name}' {BOX}",
            f"record fish '{name}' --variety x --into A",
            f"record group '{name}' --count 2 --variety x --into A",
            f"record box S1 '{name}'",
            f"record shipment '{name}' --from Acme --delivered '2026-03-01 09:00'",
        ):
            room.fails(DAY, line, 1, "name-taken")
    told = room.fails(DAY, "record look Mome", 1, "no-such-name")
    assert "Momo" in told["hint"]


def test_a_name_comes_free_when_its_fish_has_left(room: Room) -> None:
    first = room.at(DAY, "record fish Momo --variety ranchu --into A")["entry"]
    room.at(DAY, "record death Momo")
    second = room.at("2026-03-02 12:00", "record fish Momo --variety oranda --into B")["entry"]
    assert next(e["entry"] for e in entries(room, f"Momo#{first}")) == first
    assert [e["entry"] for e in entries(room, f"Momo#{second}")] == [second]
    room.fails(DAY, "history Momo#999", 1, "no-such-name")


def test_box_rules(room: Room) -> None:
    line = "record shipment S1 --from Acme --delivered '2026-03-01 09:00'"
    made = room.at(DAY, line)
    assert any("Acme" in w["text"] for w in made["warnings"])
    assert {"name": "Acme", "role": "seller", "phone": ""} in room.at(DAY, "room show")["persons"]
    bag = room.at(DAY, "record bag S1 --fish 5 --alive 4 --dead 1 --temp 18C")
    assert bag["bag"] == 1
    assert room.at(DAY, "room show")["shipments"][0]["boxes"] == ["S1 box 1"]
    again = "record bag 'S1 box 1' --bag 1 --ph 6.8 --tan '1 mg/L' --kit Drops --diluted 4"
    assert room.at(DAY, again)["bag"] == 1
    assert room.at(DAY, "record bag S1 --fish 2")["bag"] == 2
    room.at(DAY, "record box S1 Second")
    told = room.fails(DAY, "record bag S1 --fish 3", 1, "no-such-name")
    assert "S1 box 1" in told["hint"]
    assert "Second" in told["hint"]
    room.fails(DAY, "record bag Second --fish 3 --alive 3 --dead 2", 1, "out-of-range")
    room.fails(DAY, "record claim S1 --sent '2026-03-01 08:00'", 1, "out-of-range")
    room.fails(DAY, "record bag S1 --bag 1 --opened '2026-03-01 08:00'", 1, "no-such-name")
    late = "record bag 'S1 box 1' --bag 1 --opened '2026-03-01 08:00'"
    room.fails(DAY, late, 1, "out-of-range")
    today = room.at("2026-03-01 10:00", "today")["claims"]
    assert [(c["shipment"], c["closes_at"][:16]) for c in today] == [("S1", "2026-03-01T11:00")]
    assert all(set(c) == {"shipment", "closes_at", "state"} for c in today)


def test_readings_say_their_units_and_the_kit_its_basis(room: Room) -> None:
    line = "record reading A --temp 20C --ph 7.4..7.8 --kh '6 dKH' --tan '1 mg/L' --kit Drops"
    read = room.at(DAY, line + " --diluted 2")["read"]
    named = {"temp_c", "ph", "kh_meq_l", "tan_n_mg_l"}
    assert set(read) == named | {f"{n}_{end}" for n in named for end in ("low", "high")}
    # 1 mg/L as NH3 matches a colour, so it is between the steps 0.5 and 2, in half the water.
    for end, times in (("", 1), ("_low", 0.5), ("_high", 2)):
        tan = read[f"tan_n_mg_l{end}"]
        assert tan == pytest.approx(2 * times * 14.007 / 17.031, rel=1e-3)
    assert (read["ph_low"], read["ph_high"]) == (7.4, 7.8)
    assert read["kh_meq_l"] == pytest.approx(6 * 0.356634)
    room.fails(DAY, "record reading A --tan '1 mg/L'", 1, "ambiguous-unit")
    room.fails(DAY, "record reading A --tan '1 mg/L as N' --kit Drops", 1, "wrong-kind")
    wide = room.at(DAY, "record reading A --tan '>8 mg/L as N' --ph unreadable")
    assert codes(wide) == ["kit-cannot-show", "kit-cannot-show"]
    room.fails(DAY, "record reading A --temp-min 25C --temp-max 20C", 1, "out-of-range")
    room.fails(DAY, "record kit X --steps '0 1 0.5'", 1, "out-of-range")


def test_the_tap_is_read_corrected_and_shown(room: Room) -> None:
    made = room.at(DAY, "record reading tap --ph 7.5 --chlorine '0.5 mg/L'")
    room.at(DAY, f"correct {made['entry']} --ph 7.6 --why misread")
    assert [e["corrects"] for e in entries(room, "tap")] == [None, made["entry"]]


def test_water_that_cannot_be(room: Room) -> None:
    room.fails(DAY, "record change Rack --volume 500L", 1, "out-of-range")
    room.fails(DAY, "record change Rack --percent 120", 1, "out-of-range")
    room.fails(DAY, "record top-up A --volume 900L", 1, "out-of-range")
    room.fails(DAY, "record contact A B --by net", 1, "out-of-range")
    room.fails(DAY, "record vessel C box --length 1m --width 1m --depth 40cm --height 30cm", 1,
               "out-of-range")  # fmt: skip
    level = room.at(DAY, "record level A --depth 38cm")
    assert level["volume_l"] == pytest.approx(190.0)
    assert any("half a step" in text for text in level["assumptions"])
    assert room.at(DAY, "record level A --at-mark")["volume_l"] == pytest.approx(200.0)


CHANGES = [
    ("--percent 30", 2.0 * 0.7),
    ("--percent '30 %'", 2.0 * 0.7),
    ("--volume 50L", 2.0 * 0.75),
    ("--volume 50L --salt '2 g/L'", 2.0),
    ("--out 50L --in 30L", 2.0 * 150 / 180),
    ("--volume 50L --to-depth 44cm", 2.0 * 150 / 220),
]
"""What a change leaves of 2 g/L of salt in 200 L, by mass."""


@pytest.mark.parametrize(("line", "left"), CHANGES)
def test_a_change_tells_what_it_leaves(room: Room, line: str, left: float) -> None:
    room.at(DAY, "record dose 'Tub 1' salt --amount 400g")
    told = room.at(DAY, f"record change 'Tub 1' {line}")["residue"]
    assert [s["treatment"] for s in told] == ["salt"]
    assert told[0]["after"] == pytest.approx(left)
    now = room.at(DAY, "residue 'Tub 1'")
    assert set(now) >= {"system", "volume_l", "substances"}
    salt = now["substances"][0]
    assert set(salt) == {"treatment", "now", "unit", "low", "high"}
    assert salt["now"] == pytest.approx(left)
    assert salt["low"] <= salt["now"] <= salt["high"]


def test_a_corrected_change_is_not_counted_twice(room: Room) -> None:
    room.at(DAY, "record dose 'Tub 1' salt --amount 400g")
    change = room.at(DAY, "record change 'Tub 1' --percent 50")["entry"]
    room.at(DAY, f"correct {change} --percent 25 --why misread")
    salt = room.at(DAY, "residue 'Tub 1'")["substances"][0]
    assert salt["now"] == pytest.approx(2.0 * 0.75)


def test_dry_run_stores_nothing(room: Room) -> None:
    before = room.at(DAY, "verify")["entries"]
    for line, code in (
        ("record dose 'Tub 1' salt --amount 200g", 0),
        ("record dose 'Tub 1' salt --amount 9kg", 3),
        ("record feed X --amount 1g", 1),
        ("correct 3 --width 45cm --why x", 0),
    ):
        found, answer = room.ask(DAY, line + " --dry-run")
        assert found == code
        if code == 0:
            assert (answer["entry"], answer["dry_run"]) == (None, True)
    assert room.at(DAY, "verify")["entries"] == before
    assert room.ask(DAY, "today --dry-run")[0] == 2


def test_a_key_is_written_once(room: Room) -> None:
    line = "record reading A --temp 20C --ph 8 --note x --key k1"
    first = room.at(DAY, line)["entry"]
    later = "2026-03-02 09:00"
    assert room.at(later, line)["entry"] == first
    assert room.at(later, line.replace("20C", "'20 C'"))["entry"] == first
    for other in (line.replace("20C", "21C"), line.replace(" A ", " B "),
                  line.replace("--note x ", ""),
                  "record feed A --amount 1g --key k1"):  # fmt: skip
        room.fails(later, other, 3, "key-reused")


def test_a_correction_changes_what_it_names(room: Room) -> None:
    line = "record reading A --temp 20C --ph 8.7 --kh '6 dKH' --note hello"
    first = room.at(DAY, line)["entry"]
    later = "2026-03-01 18:00"
    second = room.at(later, f"correct {first} --ph 7.7 --why misread")
    assert second["affected"] == []
    room.at(later, f"correct {second['entry']} --temp 21C --why again")
    room.at(later, f"correct {first} --clear kh --why never")
    room.at(later, f"correct {first} --set-why routine --why asked")
    told = [e for e in entries(room, "A") if e["kind"] == "reading"]
    assert [e["corrects"] for e in told] == [None, first, first, first, first]
    assert len({e["at"] for e in told}) == 1
    last = told[-1]["content"]
    assert (last["read"]["ph"]["value"], last["read"]["temp"]["value"]) == (7.7, 21.0)
    assert "kh" not in last["read"]
    assert (last["note"], last["why"]) == ("hello", "routine")
    assert told[0]["content"]["read"]["ph"]["value"] == 8.7
    room.at(later, f"correct {first} --when '2026-03-01 13:00' --why 'wrong clock'")
    assert entries(room, "A")[-1]["at"].startswith("2026-03-01T13:00")


def test_void_and_back(room: Room) -> None:
    first = room.at(DAY, "record dose 'Tub 1' salt --amount 400g")["entry"]
    room.at(DAY, f"correct {first} --void --why never")
    assert room.at(DAY, "residue 'Tub 1'")["substances"] == []
    assert [e["kind"] for e in entries(room, "Tub 1")][-1] == "void"
    room.fails(DAY, f"correct {first} --void --why twice", 1, "no-such-name")
    room.at(DAY, f"correct {first} --why 'it did'")
    assert room.at(DAY, "residue 'Tub 1'")["substances"][0]["now"] == pytest.approx(2.0)
    assert room.ask(DAY, f"correct {first} --void --amount 5g --why x")[0] == 2
    assert room.ask(DAY, f"correct {first} --amount 5g")[0] == 2
    assert room.ask(DAY, f"correct {first} --why x")[0] == 2
    room.fails(DAY, "correct 999 --void --why x", 1, "no-such-name")


def test_a_vessel_is_corrected_in_every_way(room: Room) -> None:
    tub = next(e["entry"] for e in entries(room, "Tub 1"))
    dose = room.at(DAY, "record dose 'Tub 1' salt --amount 200g")["entry"]
    told = room.at(DAY, f"correct {tub} --width 45cm --why measured")
    assert dose in [a["entry"] for a in told["affected"]]
    room.at(DAY, f"correct {tub} --gravel 10L --void 0.4 --why gravel")
    room.at(DAY, f"correct {tub} --shape round --diameter 80cm --why 'it is round'")
    assert room.at(DAY, "room show")["vessels"][-1]["shape"] == "round"
    room.at(DAY, f"correct {tub} --subject 'Tub One' --why renamed")
    room.at(DAY, f"correct {dose} --amount 150g --why 'weighed again'")
    room.fails(DAY, "record feed 'Tub 1' --amount 1g", 1, "no-such-name")
    room.at(DAY, "record feed 'Tub One' --amount 1g")
    room.at(DAY, f"correct {tub} --void --why 'never stood here'")
    room.fails(DAY, "record feed 'Tub One' --amount 1g", 1, "no-such-name")


def test_shared_water_is_corrected_by_its_own_name(room: Room) -> None:
    first = room.at(DAY, "record reading Rack --ph 7.5")["entry"]
    change = room.at(DAY, "record change Rack --percent 30")["entry"]
    room.at(DAY, f"correct {first} --ph 7.4 --why misread")
    room.at(DAY, f"correct {change} --percent 40 --why misread")
    assert entries(room, "Rack")[-1]["content"]["whole_system"] is True


def test_late_clocks_are_warned_of(room: Room) -> None:
    room.at("2026-03-05 12:00", "record feed A --amount 1g")
    assert "clock-back" in codes(room.at("2026-03-02 12:00", "record feed A --amount 1g"))


def test_dose_in_a_room_knows_water_tools_and_strengths(room: Room) -> None:
    a = room.at(DAY, "dose salt --vessel A --target '3 g/L'")
    assert (a["volume_l"], a["reaches"]) == (400.0, ["A", "B"])
    assert any("Kitchen" in text for text in a["assumptions"])
    fine = room.at(DAY, "dose salt --vessel A --target '3 g/L' --tool Fine")
    assert fine["steps"] == pytest.approx(fine["measured"] / 0.01)
    beside = room.at(DAY, "dose salt --vessel A --volume 100L --temp 20C --stage adult")
    for option in ("--volume", "--temp", "--stage"):
        assert any(option in text for text in beside["assumptions"])
    room.fails(DAY, "dose salt --vessel C", 1, "no-such-name")
    room.fails(DAY, "dose salt --vessel A --tool Kitchn", 1, "no-such-name")


def test_a_second_dose_counts_the_first_and_the_change(room: Room) -> None:
    room.at(DAY, "record dose 'Tub 1' salt --amount 200g --tool Kitchen")
    room.at("2026-03-01 13:00", "record change 'Tub 1' --percent 50")
    a = room.at("2026-03-01 14:00", "dose salt --vessel 'Tub 1' --target '2 g/L'")
    assert a["already"] == pytest.approx(0.5)
    assert a["amount"] == pytest.approx(300, rel=0.02)
    assert a["measured"] == round(a["measured"])


def test_recorded_doses_stay_inside_and_given_ones_are_told(room: Room) -> None:
    over = room.fails(DAY, "record dose 'Tub 1' salt --amount 1.2kg", 3, "over-hard-limit")
    assert over["limit"] == 5.0
    assert over["value"] > 6.0
    assert room.ask(DAY, "record dose 'Tub 1' formalin --amount 3mL")[0] == 2
    given = room.at(DAY, "record given 'Tub 1' salt --amount 1.2kg --why spilled")
    assert [b["code"] for b in given["broke"]] == ["over-hard-limit"]
    assert room.at(DAY, "residue 'Tub 1'")["substances"][0]["now"] == pytest.approx(6.0)
    alert = room.at(DAY, "today")["alerts"][0]
    assert set(alert) >= {"urgency", "text", "because"}
    assert (alert["urgency"], alert["entry"]) == ("call-vet", given["entry"])
    assert room.ask(DAY, "record given 'Tub 1' salt --amount 1g")[0] == 2


def test_conditions_follow_the_room(room: Room) -> None:
    dose = "dose formalin --vessel 'Tub 1'"
    room.fails(DAY, dose, 3, "reading-missing")
    room.at(DAY, "record reading 'Tub 1' --temp 20C --oxygen '8 mg/L'")
    assert room.at(DAY, dose)["amount"] == pytest.approx(3.0)
    room.fails("2026-03-02 01:00", dose, 3, "reading-stale")
    typed = " --temp 20C --oxygen '8 mg/L'"
    room.at("2026-03-02 01:00", dose + typed)
    line = "record dose 'Tub 1' formalin --amount 3mL --strength '37 % w/w' --tool Syringe"
    first = room.at(DAY, line)["entry"]
    told = room.fails("2026-03-01 18:00", dose, 3, "too-soon")
    assert told["limit"] == 24.0
    room.at("2026-03-01 13:00", f"record stop {first}")
    room.at("2026-03-01 13:00", "record stop 'Tub 1' formalin --wash-out")
    room.fails("2026-03-01 13:00", "record stop 999", 1, "no-such-name")


def test_stages_in_the_water_count(room: Room) -> None:
    room.at(DAY, "record fish Wee --variety x --into B --stage fry")
    told = room.fails(DAY, "dose salt --vessel A", 3, "life-stage")
    assert "fry" in told["text"]
    nursery = room.at(DAY, f"record vessel N {BOX} --zone fry")
    assert nursery["entry"]
    made = room.at(DAY, "record fish Two --variety x --into N")
    assert any("fry" in text for text in made["assumptions"])


def tasks(room: Room, when: str, more: str = "") -> list[Any]:
    found = room.at(when, f"tasks {more}")["tasks"]
    for t in found:
        assert set(t) >= {"id", "date", "from", "to", "at", "task", "system", "state", "because"}
        assert t["state"] in ("due", "overdue", "done", "skipped", "upcoming")
        assert "2026" not in t["id"]
        assert t["id"].startswith(t["system"] + "/")
    return list(found)


@pytest.fixture
def quarantine(room: Room) -> Room:
    room.at(DAY, "record fish Momo --variety ranchu --into 'Tub 1'")
    room.at(DAY, "record group Six --count 6 --variety oranda --into A")
    begun = room.at(DAY, "record quarantine 'Tub 1' --plan standard")
    assert (begun["day_0"], begun["earliest_release"]) == ("2026-03-01", "2026-03-31")
    room.at(DAY, "record quarantine A")
    return room


def test_tasks_of_two_systems(quarantine: Room) -> None:
    room = quarantine
    found = tasks(room, "2026-03-05 12:00")
    assert {t["system"] for t in found} == {"Tub 1", "Rack"}
    assert max(t["date"] for t in found) == "2026-03-19"
    assert {t["system"] for t in tasks(room, "2026-03-05 12:00", "--system A")} == {"Rack"}
    late = tasks(room, "2026-03-05 12:00", "--to 2026-03-01")
    assert any(t["state"] == "overdue" for t in late)
    longer = tasks(room, "2026-03-05 12:00", "--to 2026-03-31")
    assert max(t["date"] for t in longer) == "2026-03-31"
    room.fails(DAY, "tasks --to 2026-02-30", 1, "no-such-time")
    room.fails(DAY, "tasks --system Momo", 1, "no-such-name")


def test_tasks_are_marked_by_id(quarantine: Room) -> None:
    room, when = quarantine, "2026-03-05 12:00"
    first, second = [t["id"] for t in tasks(room, when) if t["state"] == "overdue"][:2]
    room.at(when, f"record done '{first}'")
    assert room.ask(when, f"record skipped '{second}'")[0] == 2
    room.at(when, f"record skipped '{second}' --why 'no time'")
    states = {t["id"]: t["state"] for t in tasks(room, when)}
    assert (states[first], states[second]) == ("done", "skipped")
    room.fails(when, "record done 'Tub 1/1/nothing/1'", 1, "no-such-name")
    today = room.at(when, "today")["tasks"]
    assert {t["state"] for t in today} <= {"due", "overdue"}


def test_new_fish_and_a_parasite_restart_the_days(quarantine: Room) -> None:
    room = quarantine
    room.at("2026-03-05 12:00", "record slide Momo --from skin-scrape --found white-spot:3")
    a = room.at("2026-03-05 12:00", "checks 'Tub 1'")
    assert (a["days_served"], a["earliest_release"]) == (0, "2026-04-04")
    told = room.at("2026-03-07 12:00", "record fish New --variety ranchu --into 'Tub 1'")
    drag = told["drags_in"][0]
    assert set(drag) >= {"system", "what", "because"}
    assert drag["system"] == "Tub 1"
    a = room.at("2026-03-07 12:00", "checks Momo")
    assert a["earliest_release"] == "2026-04-06"
    assert set(a) >= {
        "earliest_release", "decided_by", "days_served", "sign_free_days", "warm_days", "checks",
    }  # fmt: skip
    assert {c["state"] for c in a["checks"]} <= {"open", "met", "passed-by-reason"}
    names = {
        "days-served", "no-deaths", "sign-free", "eating", "since-treatment", "slides", "water",
        "warm-days", "no-additions", "mixing-test",
    }  # fmt: skip
    assert {c["check"] for c in a["checks"]} == names
    assert room.at("2026-03-07 12:00", "checks Rack")["days_served"] == 6


def test_release_needs_its_checks_and_the_floor_of_days(quarantine: Room) -> None:
    room, when = quarantine, "2026-03-05 12:00"
    room.fails(when, "record release 'Tub 1'", 3, "checks-open")
    every = " ".join(
        f"--pass '{c['check']}:because'" for c in room.at(when, "checks 'Tub 1'")["checks"]
    )
    # Nothing is released before day 21, whatever is passed by reason.
    told = room.fails(when, f"record release 'Tub 1' {every}", 3, "checks-open")
    assert "days-served" in told["text"]
    assert "21" in told["way_out"]
    room.fails(when, "record release 'Tub 1' --pass slides:", 1, "reason-missing")
    room.fails(when, "record release 'Tub 1' --pass nothing:x", 1, "no-such-name")
    later = "2026-03-23 12:00"
    room.at(later, f"record release 'Tub 1' {every}")
    states = {c["check"]: c["state"] for c in room.at(later, "checks 'Tub 1'")["checks"]}
    assert states["mixing-test"] == "passed-by-reason"
    room.fails(later, "record release 'Tub 1'", 1, "no-such-name")


def test_a_proposed_restart_is_settled_by_its_entry(quarantine: Room) -> None:
    room, when = quarantine, "2026-03-10 12:00"
    death = room.at(when, "record death Six --count 1 --last-seen '2026-03-10 03:00'")
    assert death["hours_since_alive"] == 9.0
    room.fails(when, "record clock Rack --keep 1 --why x", 1, "no-such-name")
    assert room.ask(when, f"record clock Rack --keep {death['entry']}")[0] == 2
    room.at("2026-03-14 12:00", f"record clock Rack --keep {death['entry']} --why jumped")
    assert room.at("2026-03-14 12:00", "checks Rack")["earliest_release"] == "2026-03-31"


def test_moves_name_the_part_that_goes(quarantine: Room) -> None:
    room = quarantine
    assert room.ask(DAY, "record move Six --to 'Tub 1'")[0] == 2
    room.fails(DAY, "record move Six --count 9 --to 'Tub 1' --why x", 1, "out-of-range")
    room.fails(DAY, "record move Six --to A --why x", 1, "out-of-range")
    a = room.at(DAY, "record move Six --count 2 --to 'Tub 1' --why crowded")
    assert a["new_name"] == "Six 2"
    assert [d["system"] for d in a["drags_in"]] == ["Tub 1"]
    groups = {g["name"]: g["count"] for g in room.at(DAY, "room show")["groups"]}
    assert groups == {"Six": 4, "Six 2": 2}
    # They are in quarantine themselves: no residents, whatever the move is called.
    test = room.at(DAY, "record move 'Six 2' --to B --as mixing-test --why test")
    assert [d["system"] for d in test["drags_in"]] == ["Rack"]
    assert [w["code"] for w in test["warnings"]] == ["no-resident"]
    left = room.at(DAY, "record leave Six --as sold --to Bob")
    assert any("all 4" in text for text in left["assumptions"])


def test_signs_and_parasites_take_their_numbers(quarantine: Room) -> None:
    room = quarantine
    room.at(DAY, "record look Momo --sign clamped-fins:2 --sign gasping:1 --appetite some")
    for wrong, code in (
        ("clamped-fins:4", "out-of-range"),
        ("clamped-fins", "not-a-number"),
        ("clamped-fin:1", "no-such-name"),
    ):
        told = room.fails(DAY, f"record look Momo --sign {wrong}", 1, code)
        assert told["path"] == "--sign"
    assert room.ask(DAY, "record fish X --into A")[0] == 2
    room.fails(DAY, "record look Momo --affected 3", 1, "out-of-range")
    room.fails(DAY, "record slide Momo --from skin-scrape --found lice:1", 1, "no-such-name")


def test_verify_answers_for_the_whole_chain(room: Room) -> None:
    a = room.at(DAY, "verify --replay")
    assert (a["ok"], a["first_bad"]) == (True, None)
    assert a["entries"] == 9
    assert len(a["head"]) == 64
