"""A quarantine begun before its fish: what the record answers, what is offered and refused."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from intake.clock import Clock
from intake.flows.desk import Desk, at_work
from intake.flows.jobs import calendar, today
from intake.flows.quarantine_facts import facts_of, plan_of
from intake.science.calendar import tasks as tasks_by
from tests.cli.ask import Answer, Room
from tests.flows.job_rooms import at

OLD = Path(__file__).parents[1] / "data" / "plan_standard_1_0.yaml"
DAY = "2026-03-01 09:00"
BEGUN = "record quarantine Tub --expected 2026-03-08"


@pytest.fixture
def room(tmp_path: Path) -> Room:
    it = Room(tmp_path / "room.db")
    it.at(DAY, "record vessel Tub box --length 100cm --width 40cm --depth 40cm")
    return it


def asked(room: Room, when: str, step: str) -> Answer:
    """The task of a step of Tub's plan."""
    found = [
        t
        for t in room.at(when, "tasks")["tasks"]
        if f"/{step}/" in t["id"] and t["system"] == "Tub"
    ]
    assert found, step
    told: Answer = found[0]
    return told


def steps(room: Room, when: str) -> set[str]:
    return {t["id"].split("/")[2] for t in room.at(when, "tasks")["tasks"]}


def ready(answer: Answer) -> dict[str, tuple[str, str]]:
    return {r["piece"]: (r["state"], r["text"]) for r in answer["ready"]}


def test_an_empty_room_is_told_all_that_is_missing(room: Room) -> None:
    told = ready(room.at(DAY, BEGUN))
    assert {piece for piece, (state, _) in told.items() if state == "missing"} == {
        "sponge", "kits", "water", "bag-temperature", "vet", "seller",
    }  # fmt: skip
    assert told["volume"][0] == "ready"
    assert told["load"][0] == "unsaid"
    vessel = asked(room, DAY, "ready-vessel")
    assert (vessel["state"], vessel["date"]) == ("done", "2026-03-01")
    assert vessel["evidence"].startswith("on record: 160 L, known to")
    assert "entry" in vessel["evidence"]
    sponge = asked(room, DAY, "ready-sponge")
    assert sponge["state"] == "due"
    assert "missing: no vessel has a sponge" in sponge["because"]


def test_each_record_answers_its_own_task(room: Room) -> None:
    room.at(DAY, f"{BEGUN} --bag-temp '22 C'")
    room.at(DAY, "record vessel Pool box --length 100cm --width 50cm --depth 50cm")

    room.at(DAY, "record equipment Tub --sponge new")
    assert "new 0 d ago" in asked(room, DAY, "ready-sponge")["evidence"]
    room.at("2026-03-02 09:00", "record equipment Tub --sponge seeded --from Pool")
    assert asked(room, "2026-03-03 09:00", "ready-sponge")["state"] == "done"
    room.at("2026-03-03 09:00", "record equipment Tub --sponge squeezed")
    squeezed = asked(room, "2026-03-03 09:00", "ready-sponge")
    assert squeezed["state"] == "done"
    assert "squeezed 0 d ago" in squeezed["evidence"]

    room.at(DAY, "record kit Drops --tests tan,no2,kh --steps '0 0.25 0.5' --expires 2026-12-31")
    assert "pH: no kit" in asked(room, DAY, "ready-kits")["evidence"]
    room.at(DAY, "record kit Pen --tests ph --expires 2027-01-31")
    assert asked(room, DAY, "ready-kits")["state"] == "done"

    room.at(DAY, "record person 'Dr Reis' --role vet")
    room.at(DAY, "record person 'Shop' --role seller --phone '+351 21 000 00 00'")
    people = asked(room, DAY, "ready-people")
    assert people["state"] == "due"
    assert "vet Dr Reis has no telephone number" in people["evidence"]


def test_the_water_is_brought_to_the_bags_temperature_before_they_come(room: Room) -> None:
    entry = room.at(DAY, BEGUN)["entry"]
    day = "2026-03-05 09:00"
    assert "ask the seller" in asked(room, day, "ready-temperature")["evidence"]
    room.at(day, f"correct {entry} --bag-temp '23 C' --why 'the seller wrote'")
    room.at(day, "record reading Tub --temp '18 C'")
    colder = asked(room, day, "ready-temperature")
    assert colder["state"] == "due"
    assert "5 C colder: raise it slowly before they come" in colder["evidence"]
    room.at("2026-03-07 09:00", "record reading Tub --temp '21.5 C'")
    assert asked(room, "2026-03-07 10:00", "ready-temperature")["state"] == "done"


def test_the_waiting_water_is_judged_by_its_newest_test(room: Room) -> None:
    room.at(DAY, BEGUN)
    day = "2026-03-06 09:00"
    reading = "record reading Tub --temp '21 C' --ph 7.4 --no2 '0 mg/L as NO2' --tan"
    room.at(day, f"{reading} '4 mg/L as N'")
    assert "outside the targets" in asked(room, day, "ready-water")["evidence"]
    later = "2026-03-06 19:00"
    room.at(later, f"{reading} '0 mg/L as N'")
    assert asked(room, later, "ready-water")["state"] == "done"


def test_a_sponge_out_of_an_unreleased_water_is_no_seed(room: Room) -> None:
    room.at(DAY, BEGUN)
    room.at(DAY, "record vessel Ward box --length 60cm --width 40cm --depth 30cm --zone hospital")
    room.at(DAY, "record vessel Other box --length 60cm --width 40cm --depth 30cm")
    room.at(DAY, "record quarantine Other")
    for origin in ("Ward", "Other"):
        room.at(DAY, f"record equipment Tub --sponge seeded --from {origin}")
        found = asked(room, DAY, "ready-sponge")
        assert found["state"] == "due"
        assert "that water was not released" in found["evidence"]


def test_what_so_many_fish_weigh_is_held_against_the_litres(room: Room) -> None:
    crowded = ready(room.at(DAY, f"{BEGUN} --fish 4 --mass '60 g'"))
    assert crowded["load"][0] == "missing"
    assert "over 1 for an unseeded filter" in crowded["load"][1]
    assert asked(room, DAY, "ready-vessel")["state"] == "due"
    room.at(DAY, "record equipment Tub --sponge cycled")
    assert asked(room, DAY, "ready-vessel")["state"] == "done"


def test_once_the_fish_are_in_nothing_is_prepared(room: Room) -> None:
    room.at(DAY, BEGUN)
    day = "2026-03-08 12:00"
    room.at(day, "record group Orandas --count 2 --variety oranda --into Tub")
    assert not {s for s in steps(room, day) if s.startswith("ready-")}


# Preventive courses


def test_a_course_is_given_only_where_it_was_chosen(room: Room) -> None:
    told = room.at(DAY, f"{BEGUN} --preventive praziquantel")["preventive"]
    assert (told["treatment"], told["course"]) == ("praziquantel", "long-bath")
    assert (told["from_day"], told["to_day"]) == (4, 6)
    assert any("label and your vet come first" in c for c in told["cautions"])
    day = "2026-03-08 12:00"
    room.at(day, "record group Orandas --count 2 --variety oranda --into Tub --stage adult")
    task = asked(room, day, "preventive-praziquantel")
    assert (task["date"], task["to"], task["kind"]) == ("2026-03-12", "2026-03-14", "treatment")


def test_its_first_dose_answers_it_and_the_next_follows_by_the_protocol(room: Room) -> None:
    room.at(DAY, f"{BEGUN} --preventive praziquantel")
    room.at(
        "2026-03-08 12:00",
        "record group Orandas --count 2 --variety oranda --into Tub --stage adult",
    )
    dosed = "2026-03-12 12:00"
    room.at(dosed, "record given Tub praziquantel --amount '0.32 g' --why 'as chosen'")
    assert asked(room, dosed, "preventive-praziquantel")["state"] == "done"
    found = room.at(dosed, "tasks")["tasks"]
    again = [t for t in found if t["kind"] == "treatment" and t["state"] == "upcoming"]
    assert len(again) == 1
    assert "dose 2 of 2" in again[0]["task"]


def test_nothing_is_asked_for_without_a_choice(room: Room) -> None:
    room.at(DAY, BEGUN)
    room.at("2026-03-08 12:00", "record group Orandas --count 2 --variety oranda --into Tub")
    assert not {s for s in steps(room, "2026-03-08 12:00") if "preventive" in s}


@pytest.mark.parametrize(
    ("plan", "treatment", "code"),
    [
        ("standard", "metronidazole", "vet-only"),
        ("standard", "copper-sulfate", "not-advised"),
        ("standard", "formalin", "not-offered"),
        ("minimum", "salt", "not-offered"),
        ("minimum", "praziquantel", "not-offered"),
        ("eggs-and-fry", "salt", "not-offered"),
        ("eggs-and-fry", "praziquantel", "not-offered"),
    ],
)
def test_what_is_refused(room: Room, plan: str, treatment: str, code: str) -> None:
    line = f"record quarantine Tub --plan {plan} --preventive {treatment}"
    assert room.fails(DAY, line, 3, code)["way_out"]


def test_a_life_stage_it_was_not_tried_on_refuses_it(room: Room) -> None:
    room.at(DAY, "record group Brood --count 40 --variety oranda --into Tub --stage fry")
    for line in ("--preventive salt", "--plan eggs-and-fry --preventive methylene-blue"):
        told = room.fails(DAY, f"record quarantine Tub {line}", 3, "life-stage")
        assert "Brood is fry" in told["text"]


def test_eggs_may_have_a_course_that_is_for_eggs(room: Room) -> None:
    room.at(DAY, "record group Brood --count 300 --variety oranda --into Tub --stage eggs")
    room.at(DAY, "record quarantine Tub --plan eggs-and-fry --preventive methylene-blue")
    found = steps(room, DAY)
    assert {"preventive-methylene-blue", "eggs-looks", "eggs-water", "hatching"} <= found
    assert not {s for s in found if s.startswith("fry-")}


def test_a_plan_for_others_is_warned_of(room: Room) -> None:
    room.at(DAY, "record fish Ada --variety oranda --into Tub --stage adult")
    answer = room.at(DAY, "record quarantine Tub --plan eggs-and-fry")
    assert "life-stage" in {w["code"] for w in answer["warnings"]}


def test_cold_water_serves_no_warm_day_and_says_so(room: Room) -> None:
    room.at(DAY, "record reading Tub --temp '14 C'")
    assert "no-warm-days" in {w["code"] for w in room.at(DAY, BEGUN)["warnings"]}


# Conditions


def test_salt_is_asked_down_while_it_is_in_the_water(room: Room) -> None:
    day_0, day_9 = "2026-03-08 12:00", "2026-03-17 09:00"
    room.at(DAY, f"{BEGUN} --preventive salt")
    room.at(day_0, "record group Orandas --count 2 --variety oranda --into Tub --stage adult")
    assert "salt-down" not in steps(room, day_9)
    room.at("2026-03-09 12:00", "record given Tub salt --amount '320 g' --why 'as chosen'")
    down = asked(room, day_9, "salt-down")
    assert down["date"] == "2026-03-17"
    assert "salt in the water: " in down["because"]
    for n in range(17, 24):
        room.at(f"2026-03-{n} 12:00", "record change Tub --percent 50")
    assert "salt-down" not in steps(room, "2026-03-24 13:00")


# The text a quarantine began with


def _with_old_plan(folder: Path) -> None:
    own = folder / "plans"
    own.mkdir(parents=True)
    (own / "standard.yaml").write_text(OLD.read_text(encoding="utf-8"), encoding="utf-8")


def test_a_room_begun_with_the_first_format_keeps_its_text(
    room: Room, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    own = tmp_path / "own"
    _with_old_plan(own)
    with monkeypatch.context() as m:
        m.setenv("INTAKE_PROTOCOLS", str(own))
        entry = room.at(DAY, BEGUN)["entry"]
    desk = Desk(room.path, clock=Clock(at("2026-03-02 09:00")), keeper="Ana")
    with at_work(desk) as book:
        system = next(iter(book.facts.waters()))
        plan = plan_of(book, system.quarantines[-1])
        known = facts_of(book, system)
        names = {t.id.split("/")[2] for t in tasks_by(known, book.now)}
    assert plan.version == "1.0"
    assert plan.text == OLD.read_text(encoding="utf-8")
    assert {"ready-vessel", "ready-tools", "ready-papers", "ready-water"} <= names
    assert known.ready == ()  # its steps name no evidence

    room.at(DAY, f"correct {entry} --bag-temp '22 C' --why 'said later'")
    with at_work(desk) as book:
        system = next(iter(book.facts.waters()))
        assert plan_of(book, system.quarantines[-1]).version == "1.0"
        assert system.quarantines[-1].bag_temp is not None


def test_the_checks_say_what_the_plan_leaves_out(room: Room) -> None:
    room.at(DAY, "record quarantine Tub --plan minimum")
    left: list[Any] = room.at(DAY, "checks Tub")["left_out"]
    assert [c["check"] for c in left] == ["mixing-test"]
    assert left[0]["because"]


def test_today_and_the_calendar_say_what_is_missing(room: Room) -> None:
    room.at(DAY, BEGUN)
    desk = Desk(room.path, clock=Clock(at("2026-03-01 10:00")), keeper="Ana")
    (stop,) = today.view(desk).stops
    kits = next(t for t in stop.tasks if t.id.split("/")[2] == "ready-kits")
    assert kits.because.startswith("missing: TAN: no kit")
    (strip,) = calendar.view(desk).systems
    told = {t.id.split("/")[2]: t for t in strip.tasks}
    assert told["ready-kits"].text.startswith("kits in date, missing: TAN: no kit")
    assert told["ready-vessel"].state == "done"
    assert told["ready-vessel"].text.startswith("fill and measure, on record: 160 L")


# Eggs that hatch and fry that grow


def brood(room: Room) -> int:
    room.at(DAY, "record group Brood --count 300 --variety oranda --into Tub --stage eggs")
    entry: int = room.at(DAY, "record quarantine Tub --plan eggs-and-fry")["entry"]
    return entry


def test_hatched_eggs_are_asked_for_what_fry_need(room: Room) -> None:
    brood(room)
    hatched = "2026-03-06 09:00"
    assert "fry-looks" not in steps(room, hatched)
    grown = room.at(hatched, "record measure Brood --stage hatchlings")
    assert grown["stage_was"] == "eggs"
    found = steps(room, hatched)
    assert {"fry-looks", "fry-water", "fry-feeds"} <= found
    assert not found & {"eggs-looks", "eggs-water", "hatching"}
    # A record of it is no weighing, and taken back they are eggs again.
    room.at(hatched, f"correct {grown['entry']} --void --why 'not yet'")
    assert "hatching" in steps(room, hatched)
    back = room.fails(hatched, "record measure Brood --stage larva", 1, "no-such-name")
    assert "adult" in back["hint"]


def test_nothing_grows_back(room: Room) -> None:
    brood(room)
    room.at("2026-03-06 09:00", "record measure Brood --stage fry")
    told = room.fails("2026-03-06 10:00", "record measure Brood --stage eggs", 1, "out-of-range")
    assert "Brood is fry" in told["text"]


def test_fry_that_died_as_fry_count_for_nothing_once_the_rest_have_grown(room: Room) -> None:
    """Fry lose some every day: no restart of the days, then or when the others are juveniles."""
    brood(room)
    room.at("2026-03-06 09:00", "record measure Brood --stage fry")
    room.at("2026-03-10 09:00", "record death Brood --count 12")
    room.at("2026-03-30 09:00", "record measure Brood --stage juvenile")
    late = "2026-03-30 10:00"
    answer = room.at(late, "checks Tub")
    assert answer["days_served"] == 29
    deaths = next(c for c in answer["checks"] if c["check"] == "no-deaths")
    assert "no death since" in deaths["evidence"]
    room.at(late, "record death Brood --count 1")
    after = room.at(late, "checks Tub")
    deaths = next(c for c in after["checks"] if c["check"] == "no-deaths")
    assert "last death 2026-03-30" in deaths["evidence"]


def test_growing_is_written_late_as_it_happened(room: Room) -> None:
    """A death before the day they grew stays one of fry, whenever the growing is written."""
    brood(room)
    room.at("2026-03-06 09:00", "record measure Brood --stage fry")
    room.at("2026-03-10 09:00", "record death Brood --count 12")
    room.at(
        "2026-03-20 09:00",
        "record measure Brood --stage juvenile --when '2026-03-15 09:00' --why 'seen then'",
    )
    deaths = next(
        c for c in room.at("2026-03-20 10:00", "checks Tub")["checks"] if c["check"] == "no-deaths"
    )
    assert "no death since" in deaths["evidence"]


@pytest.mark.parametrize(("plan", "state"), [("standard", "done"), ("eggs-and-fry", "due")])
def test_water_that_waits_is_judged_by_the_limits_of_those_it_waits_for(
    room: Room, plan: str, state: str
) -> None:
    """NH3 of 0.0107 mg/L as N (0.6 x 0.0179, Emerson 1975): under the 0.02 of fish, over the
    0.007 of fry."""
    room.at(DAY, f"record quarantine Tub --plan {plan} --expected 2026-03-02")
    read = "--temp '22 C' --ph 7.6 --no2 '0 mg/L as NO2' --tan '0.6 mg/L as N'"
    room.at(DAY, f"record reading Tub {read}")
    assert asked(room, DAY, "ready-water")["state"] == state
