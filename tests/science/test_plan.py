from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from intake.rules.shelf import parse_plan
from intake.science.calendar import planned, tasks
from intake.science.checks import checks
from intake.science.plan import CHECKS, KINDS, Plan
from tests.science.quarantines import DAY_0, at, facts

FILE = Path(__file__).parents[2] / "protocols" / "plans" / "standard.yaml"


@pytest.fixture(scope="module")
def standard() -> Plan:
    read = parse_plan(FILE.read_text(encoding="utf-8"), str(FILE))
    assert isinstance(read, Plan), read
    return read


def test_it_lasts_thirty_days_and_never_under_twenty_one(standard: Plan) -> None:
    # 95 % of 42 public aquaria: 30 days or more (Hadfield & Clayton 2011, J Zoo Wildl Med 42:641);
    # Australia keeps goldfish 21 days after arrival.
    assert (standard.id, standard.days, standard.floor_days) == ("standard", 30, 21)


def test_it_asks_for_every_release_check(standard: Plan) -> None:
    assert tuple(c.check for c in standard.checks) == CHECKS


def test_every_step_has_a_source_and_a_known_kind(standard: Plan) -> None:
    assert {s.kind for s in standard.steps} <= set(KINDS)
    assert all(s.source.text and s.source.mark for s in standard.steps)
    assert len({s.id for s in standard.steps}) == len(standard.steps)


def test_stages_follow_each_other_without_a_gap(standard: Plan) -> None:
    for one, other in zip(standard.stages, standard.stages[1:], strict=False):
        assert one.to_day is not None
        assert other.from_day == one.to_day + 1


def test_lookup_by_name(standard: Plan) -> None:
    assert standard.step("weigh") is standard.steps[[s.id for s in standard.steps].index("weigh")]
    assert standard.step("nothing") is None
    rule = standard.check("no-deaths")
    assert rule is not None
    assert rule.days == 14
    assert standard.check("nothing") is None


def days_of(plan: Plan, kind: str) -> list[int]:
    return [(t.day - DAY_0).days for t in planned(plan, DAY_0) if t.kind == kind]


def test_the_days_of_the_plan_by_hand(standard: Plan) -> None:
    assert days_of(standard, "slide") == [3, 14, 25]
    assert days_of(standard, "weigh") == [14]
    assert days_of(standard, "photo") == [14]
    assert days_of(standard, "mixing-test") == [14]
    assert days_of(standard, "prepare") == [-7, -7, -7, -7, -7, -7, -3, -2]
    looks = days_of(standard, "look")
    assert [looks.count(n) for n in (0, 1, 2, 3, 14, 30)] == [5, 5, 5, 2, 2, 2]
    water = days_of(standard, "water-test")
    assert [water.count(n) for n in (0, 1, 4, 5, 14, 15, 16, 17, 30)] == [
        1,
        2,
        2,
        1,
        1,
        0,
        1,
        0,
        1,
    ]
    assert days_of(standard, "temperature") == list(range(31))


def test_a_day_asks_for_no_more_than_a_keeper_can_do(standard: Plan) -> None:
    per_day: dict[date, int] = {}
    for t in planned(standard, DAY_0):
        per_day[t.day] = per_day.get(t.day, 0) + 1
    assert max(per_day.values()) <= 9


def test_the_mixing_test_can_be_over_on_the_last_day(standard: Plan) -> None:
    step, rule = standard.step("mixing-test"), standard.check("mixing-test")
    assert step is not None
    assert step.to_day is not None
    assert rule is not None
    assert step.to_day + rule.days <= standard.days


def test_the_looks_go_on_until_release_however_late(standard: Plan) -> None:
    f = facts(plan=standard)
    found = tasks(f, at(45), DAY_0 + timedelta(50))
    assert [t for t in found if t.kind == "look" and t.day == DAY_0 + timedelta(50)]


def test_release_is_day_0_plus_thirty(standard: Plan) -> None:
    found = checks(facts(plan=standard), at(0, "12:00"))
    assert found.earliest_release == DAY_0 + timedelta(30)


def test_one_quarantine_gives_every_task_its_own_id(standard: Plan) -> None:
    found = tasks(facts(plan=standard), at(0, "10:05"), DAY_0 + timedelta(30))
    assert len({t.id for t in found}) == len(found)
    assert all(t.id.startswith("North/5/") for t in found)
    assert all("2026" not in t.id for t in found)
