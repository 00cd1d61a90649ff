"""What an entry would move is what it moves once it is written, and nothing is kept of asking."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from intake.flows import asking
from intake.flows.desk import Desk
from intake.flows.jobs import RoomJobs
from intake.flows.record import Said
from intake.flows.what_follows import Follows, what_follows
from intake.science.problem import Refused
from tests.flows.job_rooms import put, small_desk, then

NOON = "2026-11-18 12:00"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """Two waters: one in quarantine since the 10th with a fish in it, one of residents."""
    desk = small_desk(tmp_path)
    for name, zone in (("Tub", "quarantine"), ("Pond", "resident")):
        put(desk, "2026-11-04 09:00", "vessel", name=name, shape="box", length="100 cm",
            width="50 cm", depth="40 cm", zone=zone)  # fmt: skip
    put(desk, "2026-11-05 10:00", "fish", name="Old", into="Pond", variety="common")
    put(desk, "2026-11-10 10:00", "fish", name="Ash", into="Tub", variety="ranchu")
    put(desk, "2026-11-10 10:05", "quarantine", system="Tub", plan="standard")
    return desk


def ask(desk: Desk, kind: str, **typed: Any) -> tuple[Follows, ...]:
    return what_follows(then(desk, NOON), kind, typed, Said(why="why"))[0]


def test_a_wet_contact_moves_the_dates_it_says(desk: Desk) -> None:
    typed = {"from": "Pond", "to": "Tub", "by": "net"}
    [tub] = ask(desk, "contact", **typed)
    assert (tub.system, tub.state, tub.fish) == ("Tub", "goes-on", 1)
    assert (tub.served_was, tub.served) == (8, 0)
    assert asking.checks(then(desk, NOON), "Tub")["days_served"] == 8  # nothing was kept
    put(desk, NOON, "contact", None, **typed)
    told = asking.checks(then(desk, NOON), "Tub")
    assert told["days_served"] == tub.served
    assert told["earliest_release"] == str(tub.release)
    days = {
        t["id"]: t["date"] for t in asking.tasks(then(desk, NOON), "Tub", "2027-01-30")["tasks"]
    }
    assert tub.moved
    assert {str(m.day) for m in tub.moved} <= set(days.values())


def test_a_quarantine_begun_says_its_days_and_its_release(desk: Desk) -> None:
    [pond] = ask(desk, "quarantine", system="Pond", plan="standard")
    assert (pond.state, pond.plan, pond.plan_days) == ("begins", "standard", 30)
    put(desk, NOON, "quarantine", system="Pond", plan="standard")
    told = asking.checks(then(desk, NOON), "Pond")
    assert told["earliest_release"] == str(pond.release)
    words = RoomJobs(then(desk, NOON)).would_follow(
        "contact", {"from": "Pond", "to": "Tub", "by": "hands"}
    )
    assert words[0].startswith("Tub: the days begin again on Wed 18 Nov, 8 served become 0")


def test_a_refused_release_says_why_and_the_way_out(desk: Desk) -> None:
    jobs = RoomJobs(then(desk, NOON))
    with pytest.raises(Refused) as no:
        jobs.would_follow("release", {"subject": ["Tub"]})
    assert "days-served" in no.value.text
    assert no.value.way_out


def test_a_release_says_who_is_free_and_that_its_tasks_end(desk: Desk) -> None:
    later = "2026-12-20 12:00"
    still = [c["check"] for c in asking.checks(then(desk, later), "Tub")["checks"]
             if c["state"] == "open"]  # fmt: skip
    typed = {"subject": ["Tub"], "pass": [f"{c}:the vet says so" for c in still]}
    [tub] = what_follows(then(desk, later), "release", typed, Said())[0]
    assert (tub.state, tub.fish) == ("ends", 1)
    assert tub.gone_tasks
    jobs = RoomJobs(then(desk, later))
    told = jobs.would_follow("release", typed)
    assert told[0].startswith("Tub: the quarantine ends; ")
    assert told[1].startswith("released: Ash, passed by reason: ")
    assert jobs.calendar().systems
    jobs.quarantine_write("release", typed, "")
    assert jobs.calendar().systems == ()


def test_what_moves_nothing_follows_nothing(desk: Desk) -> None:
    assert ask(desk, "contact", **{"from": "Tub", "to": "Pond", "by": "net"}) == ()


def test_the_choices_are_those_of_the_forms(desk: Desk) -> None:
    found = RoomJobs(then(desk, NOON)).quarantine_choices()
    assert [name for name, _ in found.idle] == ["Pond"]
    assert [name for name, _ in found.running] == ["Tub"]
    assert "standard" in [p.id for p in found.plans]
    assert all(p.days >= 21 for p in found.plans if p.id != "eggs-and-fry")
    assert "back-siphon" in found.ways
    assert ("Ash", "ranchu", "Tub") in found.fish
    for sample in found.samples:
        jobs = RoomJobs(then(desk, NOON))
        jobs.quarantine_write(
            "slide", {"subject": "Ash", "from": sample, "found": ["white-spot:2"]}, ""
        )


def test_a_fish_goes_in_as_a_mixing_test(desk: Desk) -> None:
    jobs = RoomJobs(then(desk, NOON))
    assert jobs.fish("Tub").quarantined == ("Tub",)
    assert jobs.move_what_if("Old", None, "Tub")
    assert jobs.move_what_if("Old", None, "Tub", True) == ()
    jobs.move("Old", None, "Tub", "to see what they carry", True)
    assert "day 8 of at least 30" in jobs.calendar().systems[0].said


def test_a_preventive_course_is_shown_with_its_cautions_and_what_is_not_ready(desk: Desk) -> None:
    put(desk, "2026-11-15 09:00", "vessel", name="Spare", shape="box", length="100 cm",
        width="50 cm", depth="40 cm", zone="quarantine")  # fmt: skip
    jobs = RoomJobs(then(desk, NOON))
    plan = next(p for p in jobs.quarantine_choices().plans if p.id == "long")
    assert plan.used_for
    course = next(name for name, _ in plan.courses if name == "praziquantel")
    typed = {
        "system": "Spare",
        "plan": "long",
        "expected": "2026-12-05",
        "bag_temp": "18 C",
        "preventive": course,
    }
    told = jobs.would_follow("quarantine", typed)
    assert told[0].startswith("Spare: plan long, 42 days, no fish yet")
    assert any(text.startswith("not on record yet: ") for text in told)
    assert any("the fish are expected Sat 5 Dec" in text for text in told)
    assert any("The product label and your vet come first" in text for text in told)
    jobs.quarantine_write("quarantine", typed, "")
    assert "Spare" in [s.system for s in jobs.calendar().systems]


def test_a_quarantine_is_found_by_the_name_of_its_water(desk: Desk) -> None:
    found = RoomJobs(then(desk, NOON)).find("tub")
    assert ("quarantine", "Tub") in [(f.kind, f.name) for f in found]
    assert "quarantine" not in {f.kind for f in RoomJobs(then(desk, NOON)).find("pond")}
