"""Which way across: the six worked bags, and what each option says."""

from __future__ import annotations

from dataclasses import replace

import pytest

from intake.science.acclimation import Acclimation, acclimate
from intake.science.acclimation_options import float_minutes
from intake.science.blend import MEQ_L_PER_DKH, aired, at_temperature, blend, water_from_reading
from tests.science.bags import LIMITS, bag, vessel

# Published run of the same equations by another program: NH3 mg/L as N.
# bag, vessel, now, aired at the worst share, float peak and pH step and minutes,
# (peak, exposure, pH step) of an hour's doubling drip at a half-time of 20 min, peak at 120 min,
# fastest C per 10 min of float and drip, loading g/L that fits.
SIX = [
    ((20, 7.0, 4, 1.5, 0), (20, 7.8, 5), 0.006, 0.11, (0.006, 0.82, 10),
     (0.016, 0.012, 0.09), 0.006, (0.0, 0.0), 35),
    ((17, 6.4, 5, 8, 1), (20, 8.0, 6), 0.006, 0.50, (0.007, 1.62, 16),
     (0.041, 0.021, 0.58), 0.010, (0.7, 0.8), 50),
    ((15, 6.1, 3, 15, 2), (21, 8.2, 8), 0.005, 0.58, (0.006, 2.17, 41),
     (0.062, 0.028, 0.89), 0.016, (1.4, 1.6), 75),
    ((25, 6.36, 5.6, 7.4, 0), (24, 7.8, 5), 0.010, 1.01, (0.010, 1.45, 10),
     (0.045, 0.024, 0.45), 0.011, (0.2, 0.3), 50),
    ((18, 5.8, 0.84, 20, 0), (18, 8.4, 10), 0.004, 0.79, (0.004, 2.61, 10),
     (0.106, 0.048, 0.91), 0.030, (0.0, 0.0), 75),
    ((8, 6.6, 4, 5, 0), (18, 7.8, 5), 0.003, 0.13, (0.004, 1.34, 60),
     (0.023, 0.012, 0.33), 0.006, (2.4, 2.7), 50),
]  # fmt: skip


@pytest.mark.parametrize("case", SIX, ids=[f"bag{n}" for n in range(1, 7)])
def test_six_worked_bags(case: tuple) -> None:  # type: ignore[type-arg]
    b, v, now, worst, lifted, dripped, slow_peak, rates, loading = case
    here = replace(bag(*b), fish_mass_g=2.0 * loading)
    there = vessel(*v)
    limits = replace(LIMITS, co2_half_time_fast_min=20.0)
    answer = acclimate(here, there, limits)
    assert answer.nh3_now_n_mg_l == pytest.approx(now, abs=6e-4)
    bag_water = water_from_reading(b[1], b[2] * MEQ_L_PER_DKH, b[0], b[3], b[4])
    vessel_water = water_from_reading(v[1], v[2] * MEQ_L_PER_DKH, v[0])
    open_air = [aired(blend(bag_water, vessel_water, s / 20)).nh3_n_mg_l for s in range(21)]
    assert max(open_air) == pytest.approx(worst, abs=0.015)
    assert answer.worst_blend.nh3_n_mg_l >= max(open_air) - 1e-9

    float_peak, ph_step, minutes = lifted
    option = answer.option("float-and-lift")
    assert option.minutes == minutes == answer.float_min
    assert option.peak_nh3_n_mg_l == pytest.approx(float_peak, abs=8e-4)
    assert option.ph_step == pytest.approx(ph_step, abs=0.03)
    assert option.fastest_temp_c_per_h / 6 == pytest.approx(rates[0], abs=0.06)

    peak, exposure, drip_step = dripped
    option = answer.option("drip")
    assert option.minutes == 60
    assert option.peak_nh3_n_mg_l == pytest.approx(peak, rel=0.06)
    assert option.exposure_mg_h_l == pytest.approx(exposure, rel=0.06, abs=8e-4)
    assert option.ph_step == pytest.approx(drip_step, abs=0.04)
    assert option.peak_nh3_n_mg_l_low == pytest.approx(slow_peak, abs=8e-4)
    assert option.fastest_temp_c_per_h / 6 == pytest.approx(rates[1], abs=0.06)


@pytest.mark.parametrize("case", SIX, ids=[f"bag{n}" for n in range(1, 7)])
def test_all_six_come_out_float_and_lift(case: tuple) -> None:  # type: ignore[type-arg]
    assert acclimate(bag(*case[0]), vessel(*case[1])).choice == "float-and-lift"


def test_binder_ruins_a_soft_bag_and_is_not_possible_there() -> None:
    # KH 0.84 against TAN 20: the run goes to about pH 3.4; bag of KH 3 and TAN 15 to about 5.7.
    soft = acclimate(bag(18, 5.8, 0.84, 20), vessel(18, 8.4, 10)).option("drip-with-binder")
    assert not soft.possible
    assert min(m.water.ph for m in soft.curve) == pytest.approx(3.4, abs=0.15)
    assert "0.8" in soft.steps[0]
    harder = acclimate(bag(15, 6.1, 3, 15, 2), vessel(21, 8.2, 8)).option("drip-with-binder")
    assert not harder.possible
    assert min(m.water.ph for m in harder.curve) == pytest.approx(5.7, abs=0.15)
    fit = acclimate(bag(17, 6.4, 5, 8, 1), vessel(20, 8.0, 6)).option("drip-with-binder")
    assert fit.possible


def test_binder_is_judged_as_if_it_did_nothing() -> None:
    answer = acclimate(bag(17, 6.4, 5, 8, 1), vessel(20, 8.0, 6))
    plain, bound = answer.option("drip"), answer.option("drip-with-binder")
    assert bound.peak_nh3_n_mg_l < plain.peak_nh3_n_mg_l
    assert bound.peak_nh3_n_mg_l_high == plain.peak_nh3_n_mg_l_high
    assert set(bound.breaks) >= set(plain.breaks)
    assert any("unproven" in text for text in bound.assumes)


@pytest.mark.parametrize(("kh_dkh", "possible"), [(2.6, False), (2.601, True)])
def test_binder_wants_its_kh(kh_dkh: float, possible: bool) -> None:
    # KH over 0.2 x 8 + 1 = 2.6 dKH.
    answer = acclimate(bag(17, 6.4, kh_dkh, 8.0), vessel(20, 8.0, 6))
    assert answer.option("drip-with-binder").possible is possible


@pytest.mark.parametrize(
    ("gap_c", "minutes"),
    [(0, 10), (2, 10), (3, 16), (-3, 16), (6, 41), (10, 60), (15, 60)],
)
def test_floating(gap_c: float, minutes: int) -> None:
    assert float_minutes(gap_c, LIMITS) == minutes


def test_what_floating_leaves_is_within_the_step() -> None:
    for gap_c in (2.5, 4.0, 7.0, 10.0):
        answer = acclimate(bag(12, 6.5, 4, 5), vessel(12 + gap_c, 7.8, 5))
        assert abs(answer.option("float-and-lift").temp_step_c) <= 2.0
        assert "temperature-step" not in answer.option("float-and-lift").breaks


def test_the_three_states_of_the_bag_are_in_order() -> None:
    answer = acclimate(bag(15, 6.1, 3, 15, 2), vessel(21, 8.2, 8))
    assert answer.nh3_now_n_mg_l < answer.nh3_likely_n_mg_l < answer.nh3_opened_n_mg_l
    assert answer.nh3_opened_n_mg_l <= answer.worst_blend.nh3_n_mg_l
    water = water_from_reading(6.1, 3 * MEQ_L_PER_DKH, 15, 15, 2.0)
    assert answer.nh3_opened_n_mg_l == pytest.approx(
        max(aired(water).nh3_n_mg_l, aired(at_temperature(water, 21)).nh3_n_mg_l)
    )


def test_the_worst_blend_is_not_an_end_when_hard_water_meets_a_soft_bag() -> None:
    answer = acclimate(bag(18, 5.8, 0.84, 20), vessel(18, 8.4, 10))
    assert 0.2 < answer.worst_blend.share < 0.8
    assert answer.worst_blend.nh3_n_mg_l > 2.5 * answer.nh3_opened_n_mg_l


def test_steps_between_the_waters() -> None:
    assert acclimate(bag(18, 6.2, 4, 1, 1.5), vessel(18, 8, 8)).salt_step_g_l == pytest.approx(
        -1.5
    )
    answer = acclimate(bag(18, 6.2, 4, 0.1), vessel(18, 8.0, 8))
    assert answer.ph_step_total == pytest.approx(1.8)
    assert answer.alkalinity_ratio == pytest.approx(2.0)
    # At one CO2 pH follows alkalinity: a factor of two is log10 2 = 0.30.
    assert answer.ph_step_after_co2 == pytest.approx(0.30, abs=0.04)


def test_a_bag_without_kh_has_no_ratio() -> None:
    assert acclimate(bag(18, 4.5, 0.0, 1.0), vessel(18, 7.5, 4)).alkalinity_ratio is None


def breaks_of(answer: Acclimation, name: str) -> set[str]:
    return set(answer.option(name).breaks)


def test_breaks_name_what_is_over() -> None:
    cold = acclimate(bag(5, 6.6, 4, 5), vessel(20, 7.8, 5))
    assert {"temperature-rate", "temperature-step"} <= breaks_of(cold, "float-and-lift")
    assert "temperature-step" not in breaks_of(cold, "match-water")
    soft = acclimate(bag(18, 5.8, 0.84, 20), vessel(18, 8.4, 10))
    assert "ph-step" in breaks_of(soft, "float-and-lift")
    assert {"nh3-peak", "nh3-exposure", "ph-rate"} <= breaks_of(soft, "drip")
    salty = acclimate(bag(18, 7.0, 4, 0.5, 4.0), vessel(18, 7.6, 4))
    assert breaks_of(salty, "float-and-lift") == {"salt-step"}
    assert "salt-step" not in breaks_of(salty, "match-water")
    assert "salt-step" not in breaks_of(salty, "drip")


def test_breaks_are_where_the_figures_are_over() -> None:
    for case in SIX:
        for option in acclimate(bag(*case[0]), vessel(*case[1])).options:
            over = {
                "nh3-peak": option.peak_nh3_n_mg_l_high > LIMITS.nh3_peak_n_mg_l,
                "nh3-exposure": option.exposure_mg_h_l_high > LIMITS.nh3_exposure_mg_h_l,
                "temperature-step": abs(option.temp_step_c) > LIMITS.temp_step_c,
                "salt-step": abs(option.salt_step_g_l) > LIMITS.salt_step_g_l,
            }
            for code, is_over in over.items():
                assert (code in option.breaks) is is_over, (option.name, code)


@pytest.mark.parametrize(("ml_min", "minutes"), [(20, 60), (40, 50), (100, 30), (0, 60)])
def test_a_drip_of_ones_own(ml_min: float, minutes: int) -> None:
    answer = acclimate(bag(17, 6.4, 5, 8), vessel(20, 8.0, 6), drip_ml_min=ml_min)
    option = answer.option("drip")
    assert option.minutes == minutes
    assert option.curve[-1].volume_l == pytest.approx(2.0 + ml_min * minutes / 1000)


def test_a_colder_vessel_warns_and_is_warmed() -> None:
    answer = acclimate(bag(24, 6.8, 5, 0.4), vessel(19, 7.4, 5))
    assert [w.code for w in answer.warnings] == ["cold-shock"]
    assert answer.choice == "match-water"
    match = answer.option("match-water")
    assert any(step.startswith("Warm the vessel") for step in match.steps)
    assert match.temp_step_c == pytest.approx(0.0, abs=1e-9)
    assert acclimate(bag(24, 6.8, 5, 0.4), vessel(21, 7.4, 5)).warnings == ()
    long = acclimate(bag(24, 6.8, 5, 8, hours=30), vessel(19, 7.4, 5))
    assert long.choice == "float-and-lift"
    assert any("colder" in step for step in long.option("float-and-lift").steps)


def test_a_gap_too_wide_to_float_prepares_the_vessel() -> None:
    answer = acclimate(bag(5, 6.6, 4, 5, hours=30), vessel(20, 7.8, 5))
    assert answer.choice == "match-water"
    assert answer.float_min == 60
    assert any("Cool the vessel" in step for step in answer.option("float-and-lift").steps)


def test_a_saltier_bag_says_how_much_salt() -> None:
    there = replace(vessel(18, 7.6, 4), volume_l=200.0)
    steps = acclimate(bag(18, 7.0, 4, 0.5, 4.0), there).option("match-water").steps
    assert any("3 g/L, 600 g in 200 L" in step for step in steps)


def test_bag_water_goes_to_waste_in_every_way_that_is_possible() -> None:
    for case in SIX:
        for option in acclimate(bag(*case[0]), vessel(*case[1])).options:
            if option.possible:
                assert any("never into a vessel" in step for step in option.steps)
                assert any("lift the fish across" in step.lower() for step in option.steps)
