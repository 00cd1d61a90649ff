"""What the record says of a preparation: each piece ready, missing with what to do, or unsaid."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from intake.science.band import Ends
from intake.science.calendar import Task, tasks
from intake.science.readiness import (
    KitHeld,
    Known,
    Ready,
    Sponge,
    of_bag_temperature,
    of_kits,
    of_load,
    of_phone,
    of_sponges,
    of_volume,
    of_water,
)
from tests.science.quarantines import OWN, PLAN, at, facts, mark

GAP = Decimal(2)
DAY_0 = date(2026, 3, 10)


def test_a_volume_is_known_well_enough_to_ten_per_cent() -> None:
    assert of_volume(Ends(108, 120, 132), 4).state == "ready"
    rough = of_volume(Ends(107, 120, 132), 4)
    assert rough.state == "missing"
    assert "gauge it" in rough.text
    assert of_volume(Ends(0, 0, 0), 4).state == "missing"


def test_a_gram_a_litre_is_the_most_on_an_unseeded_filter() -> None:
    litres = Ends(118, 120, 122)
    assert of_load(2, 59, litres, seeded=False, entry=3).state == "ready"  # 118 g in 118 L
    crowded = of_load(2, 60, litres, seeded=False, entry=3)
    assert crowded.state == "missing"
    assert "120 L" in crowded.text
    assert of_load(2, 60, litres, seeded=True, entry=3).state == "ready"
    assert of_load(0, 60, litres, seeded=False, entry=3).state == "unsaid"
    assert of_load(2, 60, Ends(0, 0, 0), seeded=False, entry=3).state == "missing"


@pytest.mark.parametrize(
    ("sponge", "state", "words"),
    [
        (Sponge("Tub", "cycled", 5, 3), "ready", "cycled 3 d ago"),
        (Sponge("Tub", "seeded", 5, 30, "Pool"), "ready", "in Pool"),
        (Sponge("Tub", "seeded", 5, 30, "Pool", squeezed_days=2), "ready", "squeezed 2 d ago"),
        (Sponge("Tub", "seeded", 5, 30), "missing", "not written"),
        (Sponge("Tub", "seeded", 5, 30, "Ward", clean=False), "missing", "not released"),
        (Sponge("Tub", "cycled", 5, 30, "Ward", clean=False), "missing", "not released"),
        (Sponge("Tub", "new", 5, 1), "missing", "28 d"),
        (Sponge("Tub", "", 5, squeezed_days=1), "missing", "nothing says"),
    ],
)
def test_where_a_sponge_ran_before_decides(sponge: Sponge, state: str, words: str) -> None:
    found = of_sponges([sponge])
    assert found.state == state
    assert words in found.text


def test_one_sponge_without_a_history_holds_up_the_others() -> None:
    both = [Sponge("A", "cycled", 5, 3), Sponge("B", "new", 6, 1)]
    assert of_sponges(both).state == "missing"
    assert of_sponges([]).state == "missing"


def kit(
    name: str, *tests: str, expires: str | None = "2026-12-31", meter: bool = False
) -> KitHeld:
    day = None if expires is None else date.fromisoformat(expires)
    return KitHeld(name, tests, day, 7, meter)


def test_kits_are_in_date_on_day_0() -> None:
    drops = kit("drops", "tan", "no2", "kh")
    meter = kit("pen", "ph", expires=None, meter=True)
    assert of_kits([drops, meter], DAY_0, 30).state == "ready"
    assert "pH: no kit" in of_kits([drops], DAY_0, 30).text
    last_day = kit("drops", "tan", "no2", "kh", expires="2026-03-10")
    soon = of_kits([last_day, meter], DAY_0, 30)
    assert soon.state == "ready"
    assert "before the last day" in soon.text
    over = kit("drops", "tan", "no2", "kh", expires="2026-03-09")
    assert "before day 0" in of_kits([over, meter], DAY_0, 30).text
    undated = kit("drops", "tan", "no2", "kh", expires=None)
    assert "no date of drops" in of_kits([undated, meter], DAY_0, 30).text


@pytest.mark.parametrize(
    ("judged", "days", "state"),
    [("ok", 0, "ready"), ("ok", 3, "ready"), ("ok", 4, "missing"), ("not", 0, "missing"),
     ("undecided", 0, "missing"), ("unknown", 0, "missing"), ("", None, "missing")],
)  # fmt: skip
def test_the_waiting_water_is_judged_by_a_fresh_test(
    judged: str, days: int | None, state: str
) -> None:
    assert of_water(judged, "", days, 9).state == state


def test_colder_water_is_raised_before_they_come_and_fish_are_never_cooled() -> None:
    bag = Ends(23, 23, 23)
    colder = of_bag_temperature(bag, Ends(18, 18, 18), 0, GAP, 4)
    assert colder.state == "missing"
    assert "5 C colder: raise it slowly" in colder.text
    assert "never cooled abruptly" in colder.text
    warmer = of_bag_temperature(bag, Ends(27, 27, 27), 0, GAP, 4)
    assert "4 C warmer: let it fall slowly before they come" in warmer.text
    for near in (21.0, 23.0, 25.0):
        assert of_bag_temperature(bag, Ends(near, near, near), 0, GAP, 4).state == "ready"


def test_a_bag_between_two_temperatures_is_met_at_both() -> None:
    bag = Ends(20, 22, 24)
    assert of_bag_temperature(bag, Ends(22, 22, 22), 0, GAP, 4).state == "ready"
    assert of_bag_temperature(bag, Ends(21, 21, 21), 0, GAP, 4).state == "missing"


def test_an_unknown_bag_or_water_is_asked_for() -> None:
    assert "ask the seller" in of_bag_temperature(None, Ends(20, 20, 20), 0, GAP, 4).text
    assert of_bag_temperature(Ends(20, 20, 20), None, None, GAP, 4).state == "missing"
    assert "read it again" in of_bag_temperature(
        Ends(20, 20, 20), Ends(20, 20, 20), 4, GAP, 4
    ).text  # fmt: skip


def test_a_person_without_a_telephone_is_said() -> None:
    assert of_phone("vet", [Known("Dr Reis", "+351 21 000", 3)]).state == "ready"
    found = of_phone("vet", [Known("Dr Reis", " ", 3)])
    assert found.state == "missing"
    assert "Dr Reis has no telephone number" in found.text
    assert "record person" in of_phone("seller", []).text


# The same on the calendar

READY_STEP = replace(PLAN.steps[0], evidence=("volume", "load"))
WITH_EVIDENCE = replace(PLAN, steps=(READY_STEP, *PLAN.steps[1:]))


def fill_task(*ready: Ready, day: int = -6, **more: object) -> Task:
    known = facts(plan=WITH_EVIDENCE, arrivals=(), present=(), ready=ready, **more)
    return next(t for t in tasks(known, at(day)) if "/fill/" in t.id)


def test_complete_evidence_answers_a_task_by_its_newest_entry() -> None:
    done = fill_task(Ready("volume", "ready", "120 L", 4), Ready("load", "ready", "0.9 g/L", 6))
    assert (done.state, done.entry) == ("done", 6)
    assert done.because.startswith("on record: 120 L, entry 4; 0.9 g/L, entry 6")


def test_what_is_missing_is_told_and_keeps_the_task_open() -> None:
    open_ = fill_task(Ready("volume", "ready", "120 L", 4), Ready("load", "missing", "crowded"))
    assert open_.state == "due"
    assert open_.evidence == "missing: crowded. on record: 120 L, entry 4"
    assert open_.because.startswith(open_.evidence)
    late = fill_task(Ready("volume", "missing", "no litres"), day=-1)
    assert late.state in ("due", "overdue")
    assert "no litres" in late.because


def test_what_nobody_need_say_holds_nothing_up() -> None:
    done = fill_task(Ready("volume", "ready", "120 L", 4), Ready("load", "unsaid", "not said"))
    assert done.state == "done"
    only = fill_task(Ready("load", "unsaid", "not said"))
    assert only.state == "due"


def test_other_evidence_answers_nothing() -> None:
    assert fill_task(Ready("vet", "ready", "Dr Reis", 3)).state == "due"


def test_the_keepers_own_mark_comes_first() -> None:
    marked = fill_task(
        Ready("volume", "missing", "no litres"), marked=(mark("fill/1", -7, "skipped"),)
    )
    assert marked.state == "skipped"
    assert PLAN.steps[0].source is OWN
