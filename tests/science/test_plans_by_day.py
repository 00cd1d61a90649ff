"""The four shipped plans, day by day from -7 to release, beside the published day counts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from datetime import timedelta
from itertools import pairwise

import pytest

from intake.paths import shipped_protocols
from intake.rules.shelf import load_shelf
from intake.science.calendar import planned
from intake.science.plan import CHECKS, EVIDENCE, KINDS, Plan
from tests.science.quarantines import DAY_0

SHELF, PROBLEMS = load_shelf([shipped_protocols()])
PLANS = ("standard", "minimum", "long", "eggs-and-fry")


def days_of(plan: Plan, step: str) -> list[int]:
    """The days of one step, the first day of its window where it has one."""
    found = [t for t in planned(plan, DAY_0) if t.id.split("/")[-2] == step]
    return [(t.day - DAY_0).days for t in found]


def test_the_four_plans_are_there() -> None:
    assert PROBLEMS == []
    assert set(PLANS) <= set(SHELF.plans)


def test_published_day_counts() -> None:
    # Hadfield & Clayton 2011, J Zoo Wildl Med 42:641: 95 % of 42 public aquaria keep 30 days or
    # more. Australia keeps goldfish 21 days after arrival (an importer's page, as DAFF has it).
    lengths = {name: (p.days, p.floor_days) for name, p in SHELF.plans.items() if name in PLANS}
    assert lengths == {
        "standard": (30, 21),
        "minimum": (21, 21),
        "long": (42, 30),
        "eggs-and-fry": (42, 30),
    }


@pytest.mark.parametrize("name", PLANS)
def test_every_plan_begins_seven_days_before(name: str) -> None:
    plan = SHELF.plans[name]
    assert min(s.from_day for s in plan.steps) == -7
    assert {s.kind for s in plan.steps} <= set(KINDS)
    asked = {e for s in plan.steps for e in s.evidence}
    missing = {"load"} if name == "eggs-and-fry" else set()  # eggs have no grams a litre
    assert asked == set(EVIDENCE) - missing


@pytest.mark.parametrize("name", PLANS)
def test_every_check_is_asked_for_or_left_out_with_a_reason(name: str) -> None:
    plan = SHELF.plans[name]
    left_out = {c.check for c in plan.left_out}
    assert {c.check for c in plan.checks} | left_out == set(CHECKS)
    assert all(c.because and c.source.text for c in plan.left_out)


@pytest.mark.parametrize("name", PLANS)
def test_stages_follow_each_other_to_the_last_day(name: str) -> None:
    stages = SHELF.plans[name].stages
    assert stages[0].from_day == -7
    assert stages[-1].to_day == SHELF.plans[name].days
    for one, other in pairwise(stages):
        assert one.to_day is not None
        assert other.from_day == one.to_day + 1


EVERY_WEEK = [10, 17, 24]
TABLES: Mapping[str, Mapping[str, list[int]]] = {
    "standard": {
        "slides-first": [3],
        "slides-second": [14],
        "slides-third": [25],
        "mixing-test": [14],
        "weigh": [14],
        "photographs": [14],
        "salt-down": [9, 11, 13, 15, 17, 19, 21, 23],
        "sponge-squeeze": EVERY_WEEK,
        "first-feed": [2],
        "feed-up": [3],
        "daily-temperature": list(range(31)),
        "daily-water": list(range(5, 15)),
        "later-water": list(range(16, 31, 2)),
        "release-review": [30],
    },
    "minimum": {
        "slides-first": [3],
        "slides-second": [10],
        "slides-third": [18],
        "mixing-test": [14],
        "salt-down": [5, 7, 9, 11, 13, 15, 17],
        "sponge-squeeze": [10, 17],
        "daily-temperature": list(range(22)),
        "release-review": [21],
    },
    "long": {
        "slides-first": [3],
        "slides-second": [14],
        "slides-third": [28],
        "slides-fourth": [38],
        "mixing-test": [14],
        "warm-window": [15],
        "salt-down": list(range(9, 38, 3)),
        "sponge-squeeze": [*EVERY_WEEK, 31, 38],
        "weigh": [14],
        "weigh-last": [35],
        "release-review": [42],
    },
    "eggs-and-fry": {
        "ready-food": [-7],
        "eggs-photo": [0],
        "eggs-looks": [d for d in range(1, 15) for _ in range(2)],
        "eggs-water": list(range(1, 15)),
        "keep-warm": list(range(43)),
        "fry-first-food": [2],
        "fry-feeds": [d for d in range(3, 43) for _ in range(4)],
        "fry-water": list(range(2, 43)),
        "fry-change": list(range(3, 43)),
        "fry-picture": [7, 14, 21, 28, 35, 42],
        "first-sort": [24],
        "second-sort": [38],
        "weigh": [35],
        "release-review": [42],
    },
}
"""By plan and step, the days it is asked for, written down by hand."""


@pytest.mark.parametrize(("name", "step"), [(n, s) for n, table in TABLES.items() for s in table])
def test_the_days_of_a_step_by_hand(name: str, step: str) -> None:
    assert days_of(SHELF.plans[name], step) == TABLES[name][step]


def test_the_mixing_test_is_begun_from_day_14_to_16_where_a_plan_has_it() -> None:
    for name in ("standard", "minimum", "long"):
        step = SHELF.plans[name].step("mixing-test")
        assert step is not None
        assert (step.from_day, step.to_day) == (14, 16)


PREPARING = {
    "standard": {-7: 6, -3: 1, -2: 1},
    "minimum": {-7: 6, -3: 1, -2: 1},
    "long": {-7: 6, -3: 1, -2: 1},
    "eggs-and-fry": {-7: 8, -3: 1, -2: 1},
}
"""How many steps of preparation begin on which day: by hand, from the files."""


@pytest.mark.parametrize("name", PLANS)
def test_a_plan_walked_day_by_day(name: str) -> None:
    """Every day from -7 to release has something to do, and nothing lies outside."""
    plan = SHELF.plans[name]
    told = planned(plan, DAY_0)
    by_day = Counter((t.day - DAY_0).days for t in told)
    ready = Counter((t.day - DAY_0).days for t in told if t.kind == "prepare")
    assert ready == PREPARING[name]
    for day in range(plan.days + 1):
        looks = [t for t in told if t.kind in ("look", "temperature")]
        assert any((t.day - DAY_0).days == day for t in looks), day
    assert min(by_day) == -7
    assert max(by_day) == plan.days
    for t in told:
        assert t.day <= t.to
        assert t.id.startswith(f"{name}/0/")
    assert len({t.id for t in told}) == len(told)


@pytest.mark.parametrize("name", ["standard", "minimum", "long"])
def test_salt_is_down_before_the_sessions_that_count(name: str) -> None:
    """The last slides begin after the last day on which salt is brought down."""
    plan = SHELF.plans[name]
    down = plan.step("salt-down")
    assert down is not None
    assert down.only_where == "salt-in-water"
    slides = sorted(s.from_day for s in plan.steps if s.kind == "slide")
    assert down.to_day == slides[-1] - 1
    assert down.from_day < slides[1]


@pytest.mark.parametrize("name", ["standard", "long"])
def test_a_preventive_course_leaves_room_for_the_slides_and_the_wait(name: str) -> None:
    """By hand: dose 1 on day 4 to 6, dose 2 a week later, a day in the water, 14 days after."""
    plan = SHELF.plans[name]
    offer = plan.offer("praziquantel")
    first = plan.step("slides-first")
    assert offer is not None
    assert first is not None
    assert first.to_day is not None
    assert offer.from_day >= first.to_day
    assert offer.from_day + 7 + 1 + 14 == 26
    assert offer.to_day + 7 + 1 + 14 <= plan.days


def test_what_each_plan_offers() -> None:
    offered = {name: [p.treatment for p in SHELF.plans[name].preventive] for name in PLANS}
    assert offered == {
        "standard": ["salt", "praziquantel"],
        "minimum": [],
        "long": ["salt", "praziquantel"],
        "eggs-and-fry": ["methylene-blue", "iodophor"],
    }


@pytest.mark.parametrize("name", PLANS)
def test_what_is_offered_has_a_course_for_those_the_plan_is_made_for(name: str) -> None:
    plan = SHELF.plans[name]
    for offer in plan.preventive:
        treatment = SHELF.treatments[offer.treatment]
        course = treatment.course(offer.course)
        assert course is not None
        assert treatment.status not in ("vet only", "not advised")
        assert set(course.stages) & set(plan.life_stages)
        if name == "eggs-and-fry":
            assert course.stages == ("eggs",)
            assert offer.only_where == "eggs-in-water"


def test_eggs_and_fry_are_not_scraped() -> None:
    plan = SHELF.plans["eggs-and-fry"]
    assert [s for s in plan.steps if s.kind in ("slide", "mixing-test")] == []
    assert {c.check for c in plan.left_out} == {"slides", "mixing-test"}


def test_a_plan_of_weeks_keeps_its_weekday() -> None:
    told = [t for t in planned(SHELF.plans["long"], DAY_0) if "/sponge-squeeze/" in t.id]
    assert {t.day.weekday() for t in told} == {(DAY_0 + timedelta(10)).weekday()}
