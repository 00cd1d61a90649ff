"""A preventive course on the calendar, and steps that are asked for on a condition."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal

from intake.science.calendar import Task, planned, tasks
from intake.science.plan import Preventive
from intake.science.preventive import Chosen
from intake.science.quarantine import Arrival, DoseGiven, Met
from tests.science.quarantines import DAY_0, OWN, PLAN, at, facts, mark, step

OFFER = Preventive("prazi", "long", ("flukes",), 4, 6, OWN, because="after the first slides")
DOWN = step("salt-down", "change", 9, 13, every_days=2, only_where="salt-in-water")
OFFERING = replace(PLAN, preventive=(OFFER,), steps=(*PLAN.steps, DOWN))
CHOSEN = Chosen("prazi", "Praziquantel", 5, (), Decimal(72), "2 doses: the second later", "Label.")


def given(day: int, treatment: str = "prazi", entry: int = 77) -> DoseGiven:
    return DoseGiven(at(day), entry, treatment)


def course(day: int, chosen: Chosen | None = CHOSEN, **more: object) -> list[Task]:
    known = facts(plan=OFFERING, preventive=chosen, **more)
    return [t for t in tasks(known, at(day)) if "/preventive-" in t.id]


def span(task: Task) -> tuple[int, int]:
    return (task.day - DAY_0).days, (task.to - DAY_0).days


def test_nothing_is_asked_for_that_was_not_chosen() -> None:
    assert course(3, None) == []
    assert not [t for t in planned(OFFERING, DAY_0) if "preventive" in t.id]


def test_a_plan_that_offers_it_no_more_asks_for_nothing() -> None:
    known = facts(plan=PLAN, preventive=CHOSEN)
    assert not [t for t in tasks(known, at(3)) if "preventive" in t.id]


def test_a_chosen_course_stands_on_the_plans_days_with_its_reason() -> None:
    (task,) = course(3)
    assert span(task) == (4, 6)
    assert (task.kind, task.state) == ("treatment", "upcoming")
    for words in ("chosen with entry 5", "flukes", "2 doses", "after the first slides", "Label"):
        assert words in task.because


def test_its_dose_answers_it_and_another_treatment_does_not() -> None:
    assert course(5, doses=(given(5, "salt"),))[0].state == "due"
    done = course(6, doses=(given(5),))[0]
    assert (done.state, done.entry) == ("done", 77)


def test_a_dose_given_early_is_not_asked_for_again() -> None:
    assert course(5, doses=(given(2),))[0].state == "done"


def test_late_it_is_overdue_and_stays() -> None:
    assert course(9)[0].state == "overdue"


def test_it_waits_for_what_the_fish_met_before() -> None:
    """Met two days before they came, 15 days between doses: not before day 13."""
    slow = replace(CHOSEN, met_utc=(at(-2),), not_before_h=Decimal(15 * 24))
    (task,) = course(3, slow)
    assert span(task)[0] == 14  # the whole day after the hour it may be given again
    assert "not within" in task.because
    (soon,) = course(3, replace(CHOSEN, met_utc=(at(-2),)))
    assert span(soon) == (4, 6)


def test_new_fish_are_offered_it_anew_and_its_own_interval_holds() -> None:
    known = facts(
        plan=OFFERING,
        preventive=replace(CHOSEN, met_utc=(at(5),)),
        doses=(given(5),),
        arrivals=(Arrival(at(0), 10, "Ada"), Arrival(at(6), 20, "Bela")),
    )
    found = [t for t in tasks(known, at(6, "12:00")) if "/preventive-" in t.id]
    newest = max(found, key=lambda t: t.day)
    assert newest.state == "upcoming"
    assert span(newest) == (10, 12)


# Steps on a condition

SALTY = (Met("salt-in-water", "salt in the water: 2 to 3 g/L"),)


def downs(now: datetime, **more: object) -> list[Task]:
    known = facts(plan=OFFERING, **more)
    return [t for t in tasks(known, now) if "/salt-down/" in t.id]


def test_salt_is_brought_down_only_where_it_is_in_the_water() -> None:
    assert downs(at(9)) == []
    asked = downs(at(9), met=SALTY)
    assert [span(t)[0] for t in asked] == [9, 11, 13]
    assert "salt in the water: 2 to 3 g/L" in asked[0].because


def test_a_step_that_was_marked_stays_when_its_condition_is_over() -> None:
    kept = downs(at(11), marked=(mark("salt-down/1", 9),))
    assert [t.state for t in kept] == ["done"]


def test_another_condition_does_not_ask_for_it() -> None:
    assert downs(at(9), met=(Met("eggs-in-water", "Brood"),)) == []


def test_before_anything_is_known_the_condition_is_said() -> None:
    told = [t for t in planned(OFFERING, DAY_0) if "/salt-down/" in t.id]
    assert [(t.day - DAY_0) for t in told] == [timedelta(n) for n in (9, 11, 13)]
    assert all(t.task.endswith("(only where salt is in the water)") for t in told)
