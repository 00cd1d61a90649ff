"""Which way across is advised: the rule's corners, and what must always hold."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from intake.science.acclimation import acclimate
from intake.science.acclimation_readings import BagReading
from intake.science.acclimation_rule import Judged, choose
from intake.science.ammonia import nh3_n_mg_l
from intake.science.bag import Fish, Stage, run
from intake.science.blend import MEQ_L_PER_DKH, water_from_reading
from intake.science.carbonate import ImpossibleWater
from tests.science.bags import LIMITS, STRICTER, bag, vessel

# Corners of the rule. NH3 now, drip peak, if mixed, in the vessel; h packed; gaps of pH, C, g/L.
CALM = Judged(0.005, 0.02, 0.02, 0.0, 1.0, True, False, 1.2, 0.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("changed", "choice"),
    [
        ({}, "drip"),
        ({"nh3_now_n_mg_l": 0.05}, "drip"),
        ({"nh3_now_n_mg_l": 0.0501}, "float-and-lift"),
        ({"gasping": True}, "float-and-lift"),
        ({"vessel_nh3_n_mg_l": 0.02}, "drip"),
        ({"vessel_nh3_n_mg_l": 0.0201}, "match-water"),
        ({"vessel_nh3_n_mg_l": 0.0201, "nh3_now_n_mg_l": 0.06}, "float-and-lift"),
        ({"drip_peak_n_mg_l": 0.0201}, "float-and-lift"),
        ({"nh3_if_mixed_n_mg_l": 0.0201}, "float-and-lift"),
        ({"drip_peak_n_mg_l": 0.0501, "temp_gap_c": 9.0, "temp_left_c": 1.8}, "float-and-lift"),
        ({"drip_peak_n_mg_l": 0.0500, "temp_gap_c": 9.0, "temp_left_c": 1.8}, "match-water"),
        ({"drip_peak_n_mg_l": 0.0501, "temp_gap_c": 12.0, "temp_left_c": 2.4}, "match-water"),
        ({"nh3_if_mixed_n_mg_l": 0.0501, "temp_gap_c": 9.0, "temp_left_c": 1.8}, "float-and-lift"),
        ({"hours_packed": 2.0}, "drip"),
        ({"hours_packed": 2.01}, "float-and-lift"),
        ({"hours_packed": None}, "float-and-lift"),
        ({"hours_packed": 8.01, "temp_gap_c": 6.0, "temp_left_c": 1.2}, "float-and-lift"),
        ({"hours_packed": 8.0, "temp_gap_c": 6.0, "temp_left_c": 1.2}, "match-water"),
        ({"tan_read": False}, "float-and-lift"),
        ({"ph_gap": 1.0}, "float-and-lift"),
        ({"ph_gap": -1.01}, "drip"),
        ({"ph_gap": 0.0, "salt_gap_g_l": -3.01}, "drip"),
        ({"ph_gap": 0.0, "salt_gap_g_l": -3.0}, "float-and-lift"),
        ({"salt_gap_g_l": 3.5, "drip_peak_n_mg_l": 0.03}, "match-water"),
        ({"temp_gap_c": 5.0}, "drip"),
        ({"temp_gap_c": 5.01}, "match-water"),
        ({"temp_gap_c": -3.0}, "drip"),
        ({"temp_gap_c": -3.01}, "match-water"),
    ],
)  # fmt: skip
def test_the_rule_at_its_thresholds(changed: dict[str, float], choice: str) -> None:
    decision = choose(replace(CALM, **changed), LIMITS)  # type: ignore[arg-type]
    assert decision.choice == choice
    assert any(sign.isdigit() for sign in decision.reason)
    assert decision.reason.endswith(".")


def test_nothing_known_and_long_packed_is_lifted() -> None:
    unknown = replace(CALM, tan_read=False, hours_packed=None)
    assert choose(unknown, LIMITS).choice == "float-and-lift"
    answer = acclimate(BagReading(hours_packed=9), vessel(20, 7.6, 5))
    assert answer.choice == "float-and-lift"


def test_thresholds_are_the_ones_given() -> None:
    calm = replace(CALM, drip_peak_n_mg_l=0.03, nh3_if_mixed_n_mg_l=0.03)
    assert choose(calm, replace(LIMITS, nh3_low_n_mg_l=0.04)).choice == "drip"
    assert choose(calm, replace(LIMITS, nh3_peak_n_mg_l=0.02)).choice == "float-and-lift"
    stricter = acclimate(
        bag(20, 7.0, 4, 1.5), vessel(20, 7.8, 5), replace(LIMITS, nh3_peak_n_mg_l=0.01)
    )
    assert "nh3-peak" in stricter.option("drip").breaks


def test_a_quiet_fresh_bag_may_drip() -> None:
    answer = acclimate(bag(20, 6.7, 2, 0.3, hours=1.0, fish_g=30), vessel(20, 7.9, 6))
    assert answer.choice == "drip"
    assert "nh3-peak" not in answer.option("drip").breaks


def test_an_airstone_makes_a_drip_worse() -> None:
    here, there = bag(17, 6.4, 5, 8, 1), vessel(20, 8.0, 6)
    still, stirred = acclimate(here, there), acclimate(here, there, air="aerated")
    assert stirred.drip_peak_n_mg_l > 1.5 * still.drip_peak_n_mg_l
    assert stirred.option("drip").peak_nh3_n_mg_l > still.option("drip").peak_nh3_n_mg_l


def test_decided_at_the_fast_end() -> None:
    # The drip figure itself is the run at a half-time of 15 min.
    here, there = bag(17, 6.4, 5, 8, 1), vessel(20, 8.0, 6)
    a = water_from_reading(6.4, 5 * MEQ_L_PER_DKH, 17, 8, 1)
    b = water_from_reading(8.0, 6 * MEQ_L_PER_DKH, 20)
    path = run(a, 2.0, [Stage(60, 20.0, 60.0, 15.0, 2 / 60)], Fish(0.1), b)
    assert acclimate(here, there).drip_peak_n_mg_l == pytest.approx(
        max(m.water.nh3_n_mg_l for m in path)
    )


def test_fast_drip_never_makes_the_rule_milder() -> None:
    here, there = bag(17, 6.4, 5, 8), vessel(20, 8.0, 6)
    usual = acclimate(here, there).drip_peak_n_mg_l
    for ml_min in (5.0, 200.0):
        assert acclimate(here, there, drip_ml_min=ml_min).drip_peak_n_mg_l >= usual


@settings(deadline=None, max_examples=40)
@given(
    st.floats(5.8, 7.6),
    st.floats(0.8, 10.0),
    st.floats(10.0, 26.0),
    st.floats(7.0, 8.6),
    st.floats(1.0, 12.0),
    st.floats(10.0, 26.0),
    st.floats(0.0, 4.0),
    st.sampled_from([None, 1.0, 5.0, 20.0]),
)
def test_never_less_strict_as_ammonia_rises(
    ph: float,
    kh: float,
    temp: float,
    there_ph: float,
    there_kh: float,
    there_temp: float,
    salt: float,
    hours: float | None,
) -> None:
    series = (0.0, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 25.0)
    there = vessel(there_temp, there_ph, there_kh)
    try:
        answers = [acclimate(bag(temp, ph, kh, t, salt, hours), there) for t in series]
    except ImpossibleWater:
        assume(False)
        return
    for less, more in pairwise(answers):
        assert STRICTER[less.choice] <= STRICTER[more.choice]
        assert less.drip_peak_n_mg_l <= more.drip_peak_n_mg_l * (1 + 1e-9)
        assert less.nh3_opened_n_mg_l <= more.nh3_opened_n_mg_l * (1 + 1e-9)


def test_over_a_grid_it_is_never_milder_than_the_mixed_water_rule() -> None:
    # Rule of the trade: ammonia at the vessel's pH over 0.05 mg/L, or over 8 h, is never dripped.
    for ph in (6.0, 7.0):
        for tan in (0.1, 0.5, 1.0, 3.0, 10.0):
            for there_ph in (7.2, 7.8, 8.4):
                for hours in (1.0, 10.0):
                    answer = acclimate(bag(18, ph, 4, tan, hours=hours), vessel(18, there_ph, 6))
                    mixed = nh3_n_mg_l(tan, there_ph, 18)
                    if mixed > 0.05 or hours > 8:
                        assert answer.choice == "float-and-lift"
                    if mixed > 0.02:
                        assert answer.choice != "drip"


@pytest.mark.parametrize(
    ("ph", "there_ph", "there_kh", "flips"),
    [
        (6.0, 8.2, 10, {4: 7.9, 1: 5.0, 8: 10.1}),
        (6.5, 7.8, 6, {4: 6.5, 1: 6.7, 8: 6.3}),
        (7.0, 7.8, 6, {4: 4.9, 1: 6.1, 8: 4.1}),
    ],
)
def test_where_a_drip_reaches_the_limit(
    ph: float, there_ph: float, there_kh: float, flips: dict[int, float]
) -> None:
    # Another program with the same equations: TAN [mg/L as N] at which an hour's drip at 18 C
    # reaches 0.05 mg/L, by bag KH [dKH]; 50 g/L of fish, half-time 15 min.
    there = vessel(18, there_ph, there_kh)
    for kh_dkh, tan in flips.items():
        under = acclimate(bag(18, ph, kh_dkh, tan - 0.06), there).drip_peak_n_mg_l
        over = acclimate(bag(18, ph, kh_dkh, tan + 0.06), there).drip_peak_n_mg_l
        assert under < 0.05 < over
