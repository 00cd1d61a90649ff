"""A floating bag: against the published float, Newton's law worked by hand, and its own ends."""

from __future__ import annotations

from math import exp, log

import pytest

from intake.science.floating import (
    TAU_BOUNDS_MIN,
    THERMOMETER_C,
    USUAL_TAU_MIN,
    fitted_tau_min,
    minutes_left,
)


def newton(gap_c: float, tau_min: float, minutes: float) -> float:
    return gap_c * exp(-minutes / tau_min)


def test_the_published_float_is_met() -> None:
    """Lim, Dhert & Sorgeloos 2003: a gap of 4 to 5 C is under 2 C in 30 min."""
    tau = USUAL_TAU_MIN.nominal
    assert newton(4.5, tau, 30) == pytest.approx(2.0, abs=0.05)
    assert minutes_left(4.0, 2.0, tau) < 30 < minutes_left(5.0, 2.0, tau)


def test_minutes_left_by_hand() -> None:
    assert minutes_left(4.0, 2.0, 37.0) == pytest.approx(37.0 * log(2.0))
    assert minutes_left(-4.0, 2.0, 37.0) == pytest.approx(37.0 * log(2.0))
    assert minutes_left(2.0, 2.0, 37.0) == 0.0
    assert minutes_left(0.0, 2.0, 37.0) == 0.0


def test_nothing_measured_leaves_the_usual_time() -> None:
    assert fitted_tau_min(5.0, []) == USUAL_TAU_MIN
    assert fitted_tau_min(5.0, [(0.0, 5.0)]) == USUAL_TAU_MIN
    assert fitted_tau_min(THERMOMETER_C, [(20.0, 0.1)]) == USUAL_TAU_MIN


@pytest.mark.parametrize("tau_min", [24.0, 37.0, 60.0, 80.0])
@pytest.mark.parametrize("gap_c", [8.0, -8.0, 5.0])
def test_a_bag_that_follows_newton_is_found_within_its_ends(tau_min: float, gap_c: float) -> None:
    read = [(t, newton(gap_c, tau_min, t)) for t in (12.0, 25.0, 38.0)]
    found = fitted_tau_min(gap_c, read)
    assert found.low <= tau_min <= found.high
    assert found.nominal == pytest.approx(tau_min, rel=0.15)


def test_more_readings_leave_less_doubt() -> None:
    one = fitted_tau_min(6.0, [(15.0, newton(6.0, 50.0, 15.0))])
    three = fitted_tau_min(6.0, [(t, newton(6.0, 50.0, t)) for t in (15.0, 30.0, 45.0)])
    assert three.high - three.low < one.high - one.low


def test_a_reading_taken_too_early_moves_it_little() -> None:
    """After a minute the thermometer cannot tell a slow bag from a quick one."""
    found = fitted_tau_min(4.6, [(1.0, 4.6)])
    assert found.nominal == pytest.approx(USUAL_TAU_MIN.nominal, rel=0.1)
    late = fitted_tau_min(4.6, [(20.0, 4.2)])
    assert late.nominal > 1.5 * USUAL_TAU_MIN.nominal


def test_what_cannot_be_is_kept_within_the_bounds() -> None:
    shortest, longest = TAU_BOUNDS_MIN
    never = fitted_tau_min(5.0, [(t, 5.0) for t in (30.0, 45.0, 60.0)])
    assert never.nominal == longest == never.high
    at_once = fitted_tau_min(20.0, [(t, 0.3) for t in (6.0, 8.0, 10.0)])
    assert at_once.low == shortest
    overshot = fitted_tau_min(5.0, [(30.0, -1.0)])
    assert shortest <= overshot.nominal <= USUAL_TAU_MIN.nominal
