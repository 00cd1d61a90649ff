from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.windows import ASKED_DAYS, RISKS, Window, windows
from tests.science.quarantines import PLAN


def of(means: list[float], risk: str, plan: object = PLAN) -> Window:
    found = windows(means, plan)  # type: ignore[arg-type]
    return next(w for w in found if w.risk == risk)


def test_a_heated_room_serves_two_windows_and_never_the_cold_one() -> None:
    found = windows([21.5] * 20, PLAN)
    assert [(w.risk, w.state, w.days) for w in found] == [
        ("goldfish herpesvirus", "served", 20),
        ("koi herpesvirus", "served", 20),
        ("spring viraemia", "never", 0),
    ]
    assert found[2].said == (
        "not tested: spring viraemia, this water was never 10 to 17 C on its 20 known days; "
        "this plan's warm window, 18 to 25 C, never reaches it. Outbreaks end in warm water and "
        "the virus need not"
    )
    assert "no test for the virus" in found[0].said


# Gilad et al. 2003: deaths at 18, 23 and 28 C, none at 13 C.
@pytest.mark.parametrize(
    ("mean", "inside"), [(13, 0), (17.9, 0), (18, 1), (23, 1), (28, 1), (28.1, 0)]
)
def test_the_ends_of_the_koi_window_are_the_published_ones(mean: float, inside: int) -> None:
    assert of([mean], "koi herpesvirus").days == inside


# Published trials: 30 % died at 20 C and 90 % at 25 C, so 25 C is inside and no way out.
def test_25_c_is_no_way_out_of_the_goldfish_window() -> None:
    found = of([25.0] * 14, "goldfish herpesvirus")
    assert found.state == "served"
    assert "25 C is no way out" in found.said


def test_the_day_before_and_the_day_itself() -> None:
    assert of([20.0] * 13, "koi herpesvirus").state == "not-yet"
    assert of([20.0] * 14, "koi herpesvirus").state == "served"
    assert "13 of 14 days at 18 to 28 C" in of([20.0] * 13, "koi herpesvirus").said


def test_a_cold_spell_counts_for_the_cold_window_without_serving_it() -> None:
    found = of([21.0] * 10 + [14.0] * 3, "spring viraemia")
    assert (found.state, found.days, found.known_days) == ("not-yet", 3, 13)
    assert "never reaches it" in found.said


def test_a_cold_plan_reaches_the_cold_window() -> None:
    cold = tuple(
        replace(c, low_c=Decimal(8), high_c=Decimal(16)) if c.check == "warm-days" else c
        for c in PLAN.checks
    )
    found = of([12.0] * 14, "spring viraemia", replace(PLAN, checks=cold))
    assert found.state == "served"
    none = of([], "spring viraemia", replace(PLAN, checks=cold))
    assert (none.state, "never reaches" in none.said) == ("not-yet", False)


def test_a_plan_without_warm_days_asks_for_the_usual_ones() -> None:
    bare = replace(PLAN, checks=())
    assert {w.asked_days for w in windows([20.0], bare)} == {ASKED_DAYS}
    assert "no day's temperature is known" in of([], "koi herpesvirus", bare).said


@given(st.lists(st.floats(0, 35), max_size=40), st.floats(0, 35))
def test_a_day_more_never_takes_a_window_away(means: list[float], more: float) -> None:
    for before, after in zip(windows(means, PLAN), windows([*means, more], PLAN), strict=True):
        assert before.days <= after.days <= before.days + 1
        assert before.state != "served" or after.state == "served"


def test_every_risk_says_where_its_ends_come_from() -> None:
    for risk in RISKS:
        assert risk.low_c < risk.high_c
        assert risk.source.mark in ("published", "from memory")


def test_days_only_planned_are_told_as_such() -> None:
    found = windows([20.0] * 30, PLAN, ahead=True)
    assert found[1].said.startswith("koi herpesvirus gets time to show: 30 days at 18 to 28 C")
    assert "these temperatures are not 10 to 17 C" in found[2].said
    assert {w.state for w in found} == {"served", "never"}
