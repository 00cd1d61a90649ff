"""Fish carry their own clock: what a move drags in, single fish released, waters left empty."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.ask import Answer, Room

PASS = (
    "no-deaths", "sign-free", "eating", "since-treatment", "slides", "water", "warm-days",
    "no-additions", "mixing-test",
)  # fmt: skip
EVERY = " ".join(f"--pass {check}:vet" for check in PASS)


@pytest.fixture
def room(tmp_path: Path) -> Room:
    """Q in quarantine with two fish and a group; R with residents; H and T empty."""
    room = Room(tmp_path / "room.db")
    for name in ("Q", "R", "H", "T"):
        room.at(
            "2026-03-01 10:00", f"record vessel {name} box --length 80cm --width 40cm --depth 30cm"
        )
    room.at("2026-03-01 11:00", "record fish Old --variety oranda --into R")
    room.at("2026-03-01 11:00", "record group Pair --count 2 --variety oranda --into R")
    for name in ("Ash", "Birch"):
        room.at("2026-03-02 11:00", f"record fish {name} --variety ryukin --into Q")
    room.at("2026-03-02 11:00", "record group Six --count 6 --variety ryukin --into Q")
    room.at("2026-03-02 12:00", "record quarantine Q --plan standard")
    return room


def checks(room: Room, when: str, name: str) -> Answer:
    return room.at(when, f"checks {name}")


def states(answer: Answer) -> dict[str, str]:
    return {c["check"]: c["state"] for c in answer["checks"]}


def test_a_fish_that_is_not_released_drags_residents_in_from_the_day_of_the_move(
    room: Room,
) -> None:
    when = "2026-03-12 10:00"
    dry = room.at(when, "record move Ash --to R --why crowded --dry-run")
    assert room.ask(when, "checks R")[0] == 1  # nothing was stored
    told = room.at(when, "record move Ash --to R --why crowded")
    assert told["drags_in"] == dry["drags_in"]
    (drag,) = told["drags_in"]
    assert drag["system"] == "R"
    assert (drag["day_0"], drag["earliest_release"]) == ("2026-03-12", "2026-04-11")
    assert [(f["name"], f["count"]) for f in drag["fish"]] == [("Old", 1), ("Pair", 2), ("Ash", 1)]
    assert drag["what"] == (
        "3 fish that live there are in quarantine again (Old, Pair (2)): day 0 is 2026-03-12, "
        "earliest release from 2026-04-11"
    )
    assert "Ash is not released" in drag["because"]
    found = checks(room, when, "R")
    assert (found["days_served"], found["earliest_release"]) == (0, "2026-04-11")
    # The water it left goes on as it was.
    assert checks(room, when, "Q")["earliest_release"] == "2026-04-01"
    assert room.at(when, "room show")["systems"][1]["quarantine"] == "standard"


def test_into_an_empty_water_it_brings_the_days_it_has_served(room: Room) -> None:
    when = "2026-03-12 10:00"
    told = room.at(when, "record move Ash --to H --why hospital")
    (drag,) = told["drags_in"]
    assert (
        drag["what"] == "its own days go on there: day 10 of 30, earliest release from 2026-04-01"
    )
    found = checks(room, "2026-03-13 10:00", "H")
    assert (found["days_served"], found["earliest_release"]) == (11, "2026-04-01")
    assert "counted from 2026-03-02" in found["checks"][0]["evidence"]
    # What happens in the water it left no longer touches it, and the other way round.
    room.at("2026-03-14 10:00", "record slide Birch --from skin-scrape --found gill-flukes:2")
    assert checks(room, "2026-03-14 11:00", "Q")["earliest_release"] == "2026-04-13"
    assert checks(room, "2026-03-14 11:00", "H")["earliest_release"] == "2026-04-01"


def test_what_happened_before_the_move_is_its_own_history(room: Room) -> None:
    room.at("2026-03-05 10:00", "record slide Birch --from skin-scrape --found gill-flukes:2")
    room.at("2026-03-08 10:00", "record look Ash --sign clamped-fins:2")
    room.at("2026-03-12 10:00", "record move Ash --to H --why hospital")
    found = checks(room, "2026-03-12 11:00", "H")
    assert found["earliest_release"] >= "2026-04-04"
    assert "gill-flukes (2) on a slide of Birch" in found["checks"][0]["evidence"]
    assert found["sign_free_days"] == 4


def test_fish_of_one_water_that_follow_within_a_day_are_no_new_fish(room: Room) -> None:
    room.at("2026-03-12 10:00", "record move Ash --to H --why hospital")
    told = room.at("2026-03-12 10:05", "record move Birch --to H --why hospital")
    assert told["drags_in"] == []
    assert checks(room, "2026-03-12 11:00", "H")["earliest_release"] == "2026-04-01"
    late = room.at("2026-03-15 10:00", "record move Six --count 2 --to H --why hospital")
    assert late["drags_in"][0]["day_0"] == "2026-03-15"
    assert checks(room, "2026-03-15 11:00", "H")["earliest_release"] == "2026-04-14"


def test_fish_that_came_after_the_first_ones_left_are_new_to_them(room: Room) -> None:
    room.at("2026-03-12 10:00", "record move Ash --to H --why hospital")
    room.at("2026-03-12 10:30", "record fish New --variety ryukin --into Q")
    told = room.at("2026-03-12 11:00", "record move Birch --to H --why hospital")
    assert told["drags_in"][0]["day_0"] == "2026-03-12"
    assert checks(room, "2026-03-12 12:00", "H")["earliest_release"] == "2026-04-11"


def test_a_single_fish_is_released_and_leaves_within_a_day(room: Room) -> None:
    when = "2026-04-01 10:00"
    refused = room.fails(when, "record release Ash", 3, "checks-open")
    assert refused["text"].startswith("Ash is not released")
    told = room.at(when, f"record release Ash {EVERY}")
    (one,) = told["released"]
    assert (one["name"], one["kind"], one["system"]) == ("Ash", "fish", "Q")
    assert any(
        "move Ash by net into water of its own by Thu 2 Apr 10:00" in b for b in told["because"]
    )
    # Q goes on, since its other fish are not released.
    assert room.at(when, "room show")["systems"][0]["quarantine"] == "standard"
    moved = room.at("2026-04-01 12:00", "record move Ash --to R --why released")
    assert moved["drags_in"] == []
    assert room.ask("2026-04-01 12:00", "checks R")[0] == 1


def test_a_released_fish_that_stays_shares_the_days_again(room: Room) -> None:
    room.at("2026-04-01 10:00", f"record release Ash {EVERY}")
    late = room.at("2026-04-02 10:01", "record move Ash --to R --why released --dry-run")
    assert [d["system"] for d in late["drags_in"]] == ["R"]
    room.at("2026-04-01 11:00", "record fish New --variety ryukin --into Q")
    met = room.at("2026-04-01 12:00", "record move Ash --to R --why released --dry-run")
    assert [d["system"] for d in met["drags_in"]] == ["R"]


def test_the_last_one_released_releases_the_water(room: Room) -> None:
    when = "2026-04-01 10:00"
    told = room.at(when, f"record release Ash Birch Six {EVERY}")
    assert [one["name"] for one in told["released"]] == ["Ash", "Birch", "Six"]
    assert room.at(when, "room show")["systems"][0]["quarantine"] is None
    room.fails(when, "record release Ash", 1, "no-such-name")


def test_one_open_check_of_several_releases_nothing(room: Room) -> None:
    room.at("2026-03-20 10:00", "record fish New --variety ryukin --into T")
    room.at("2026-03-20 11:00", "record quarantine T")
    refused = room.fails("2026-04-01 10:00", f"record release Q T {EVERY}", 3, "checks-open")
    assert "T: days-served" in refused["text"]
    assert room.at("2026-04-01 10:00", "room show")["systems"][0]["quarantine"] == "standard"
    room.fails("2026-04-01 10:00", "record release Q Q", 1, "out-of-range")


def test_the_checks_of_a_fish_are_its_own_where_they_can_be(room: Room) -> None:
    for name in ("Ash", "Birch", "Six"):
        room.at("2026-03-12 09:00", f"record look {name} --appetite all")
    room.at("2026-03-12 10:00", "record look Birch --appetite none")
    assert states(checks(room, "2026-03-12 11:00", "Q"))["eating"] == "open"
    assert states(checks(room, "2026-03-12 11:00", "Birch"))["eating"] == "open"
    own = checks(room, "2026-03-12 11:00", "Ash")
    assert states(own)["eating"] == "met"
    assert (own["system"], own["days_served"]) == ("Q", 10)


def test_a_water_that_its_last_fish_left_is_closed_and_not_met(room: Room) -> None:
    for name in ("Ash", "Birch", "Six"):
        room.at("2026-03-12 10:00", f"record move {name} --to H --why hospital")
    asked = room.at("2026-03-12 11:00", "tasks --system Q")["tasks"]
    assert {t["id"].split("/")[2] for t in asked if t["state"] == "due"} == {"closing"}
    assert room.at("2026-03-12 11:00", "checks H")["days_served"] == 10
    told = room.at("2026-03-13 11:00", "record release Q")
    assert any("closed, not met" in b for b in told["because"])
    # A new quarantine may begin there at once.
    room.at("2026-03-13 12:00", "record quarantine Q --plan standard")


def test_a_quarantine_that_came_with_fish_may_be_begun_anew(room: Room) -> None:
    room.at("2026-03-12 10:00", "record move Ash --to R --why crowded")
    room.at("2026-03-12 11:00", "record quarantine R --plan standard")
    found = checks(room, "2026-03-12 12:00", "R")
    assert found["earliest_release"] == "2026-04-11"
    room.fails("2026-03-12 12:00", "record quarantine R", 1, "name-taken")


def test_a_move_that_was_voided_drags_nothing(room: Room) -> None:
    moved = room.at("2026-03-12 10:00", "record move Ash --to R --why crowded")
    room.at("2026-03-12 10:30", f"correct {moved['entry']} --void --why 'not done'")
    assert room.ask("2026-03-12 11:00", "checks R")[0] == 1
    assert room.at("2026-03-12 11:00", "verify --replay")["ok"]


def test_a_released_fish_is_watched_where_it_went(room: Room) -> None:
    room.at("2026-04-01 10:00", f"record release Ash {EVERY}")
    room.at("2026-04-01 12:00", "record move Ash --to R --why released")
    asked = room.at("2026-04-03 08:00", "tasks --system R")["tasks"]
    days = [t["date"] for t in asked if "/watch-after/" in t["id"]]
    assert (days[0], days[-1], len(days)) == ("2026-04-03", "2026-04-15", 13)
    due = [t["id"] for t in room.at("2026-04-03 08:00", "today")["tasks"] if t["system"] == "R"]
    assert len(due) == 1
    room.at("2026-04-03 09:00", "record look R")
    assert not [t for t in room.at("2026-04-03 10:00", "today")["tasks"] if t["system"] == "R"]
    room.at("2026-04-04 09:00", f"record done {due[0].removesuffix('2')}3")
    assert not [t for t in room.at("2026-04-04 10:00", "today")["tasks"] if t["system"] == "R"]
    assert not room.at("2026-04-16 10:00", "tasks --system R")["tasks"]


def test_wet_contact_begins_days_again_and_watches_a_released_water(room: Room) -> None:
    told = room.at("2026-03-12 10:00", "record contact Q R --by net")
    (drag,) = told["drags_in"]
    assert (drag["system"], "3 fish (Old, Pair (2)) are watched for 14 days" in drag["what"]) == (
        "R", True,
    )  # fmt: skip
    (alert,) = (a for a in room.at("2026-03-20 10:00", "today")["alerts"] if a["system"] == "R")
    assert (alert["urgency"], alert["text"]) == ("watch", "Watch R until Thu 26 Mar 10:00")
    assert not [a for a in room.at("2026-03-26 10:01", "today")["alerts"] if a["system"] == "R"]
    back = room.at("2026-03-14 10:00", "record contact R Q --by hose")
    (drag,) = back["drags_in"]
    assert (drag["day_0_was"], drag["day_0"]) == ("2026-03-02", "2026-03-14")
    assert drag["because"] == "wet contact by hose with R"
    assert checks(room, "2026-03-14 11:00", "Q")["earliest_release"] == drag["earliest_release"]


def test_a_longer_plan_comes_along_with_the_fish_that_serve_it(room: Room) -> None:
    room.at("2026-03-03 11:00", "record fish Elm --variety ryukin --into T")
    room.at("2026-03-03 12:00", "record quarantine T --plan long")
    assert checks(room, "2026-03-03 12:00", "T")["earliest_release"] == "2026-04-14"
    told = room.at("2026-03-05 10:00", "record move Elm --to Q --why crowded")
    assert told["drags_in"][0]["earliest_release"] == "2026-04-14"
    found = checks(room, "2026-03-05 11:00", "Q")
    assert found["earliest_release"] == "2026-04-14"
    assert "Elm brought its own 42 days, counted from 2026-03-03" in found["checks"][0]["evidence"]
    room.at("2026-03-06 10:00", "record leave Elm --as culled")
    assert checks(room, "2026-03-06 11:00", "Q")["earliest_release"] == "2026-04-04"
