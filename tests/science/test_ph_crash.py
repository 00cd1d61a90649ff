"""Acid water with ammonium: when it is one, and that the way out never breaks the limit."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from intake.science.ammonia import nh3_fraction_at_solved_ph
from intake.science.blend import MEQ_L_PER_DKH, Water, aired, at_co2, blend, water_from_reading
from intake.science.change_limits import ChangeLimits
from intake.science.crash_plan import CrashPlan, crash_plan
from intake.science.ph_crash import bicarbonate_g, stirred_in, would_crash

LIMITS = ChangeLimits()
LIMIT = LIMITS.nh3_n_mg_l


def water(ph: float, kh_dkh: float, temp_c: float = 20.0, tan: float = 0.0) -> Water:
    return water_from_reading(ph, kh_dkh * MEQ_L_PER_DKH, temp_c, tan)


CRASH, TAP = water(5.9, 0.4, tan=6.0), water(7.8, 8.0)


def test_a_milliequivalent_of_bicarbonate() -> None:
    # 84.007 g/mol, one equivalent a mole; 1 dKH is 10 mg/L CaO, 0.35663 meq/L.
    assert bicarbonate_g(300, 0.35663) == pytest.approx(300 * 0.35663 * 84.007 / 1000)
    # Source: 1.68 mg of bicarbonate for each mg of CaCO3 (worked from 84.007 and 100.09 / 2).
    assert bicarbonate_g(1, 1) * 1000 / 50.04 == pytest.approx(1.68, abs=0.002)


def test_the_crash_is_seen_and_ordinary_waters_are_not() -> None:
    assert would_crash(CRASH, TAP, LIMITS)
    assert would_crash(CRASH, None, LIMITS)
    assert not would_crash(water(7.6, 5, tan=1.0), TAP, LIMITS)
    assert not would_crash(water(6.6, 2, tan=0.05), TAP, LIMITS)
    assert would_crash(water(7.1, 0.8, tan=3.0), TAP, LIMITS), "KH is gone, whatever the pH says"


def test_air_alone_breaks_the_limit_and_is_said() -> None:
    plan = crash_plan(300, CRASH, TAP)
    assert plan.air_breaks
    assert plan.air_alone.nh3_n_mg_l == pytest.approx(aired(CRASH).nh3_n_mg_l)
    assert plan.air_alone.nh3_n_mg_l > LIMIT
    assert not crash_plan(300, water(5.9, 0.4, tan=1.0), TAP).air_breaks


def simulated(start: Water, tap: Water | None, litres: float, plan: CrashPlan) -> list[Water]:
    """Every state the plan leads through, done with its litres and grams alone."""
    there, states = start, []
    for step in plan.steps:
        if step.change_l:
            rain = aired(Water(start.temp_c, 7.0, 0.0, 0.0))
            drawn = tap if tap is not None else rain
            new = blend(rain, replace(drawn, temp_c=start.temp_c), step.tap_l / step.change_l)
            meq = step.bicarbonate_g / 84.007 * 1000 / step.change_l
            there = blend(there, aired(stirred_in(new, meq)), step.change_l / litres)
        else:
            there = stirred_in(there, step.bicarbonate_g / 84.007 * 1000 / litres)
        states += [there, at_co2(there, start.co2_mg_l), aired(there)]
        there = at_co2(there, start.co2_mg_l)
    return states


GRID = list(
    itertools.product(
        (5.5, 5.9, 6.3, 6.7, 6.95), (0.1, 0.4, 1.0, 3.0), (1.0, 3.0, 6.0, 12.0), (12.0, 20.0, 26.0)
    )
)
TAPS = (water(7.8, 8.0), water(8.2, 4.0, tan=0.3), water(7.0, 0.3), None)


def test_on_a_grid_of_acid_waters_the_way_out_never_breaks_the_limit() -> None:
    """Nor does it ever make worse what the water would hold in open air as it stands."""
    judged = 0
    for ph, kh, tan, temp in GRID:
        here = water(ph, kh, temp, tan)
        for tap in TAPS:
            if not would_crash(here, tap, LIMITS):
                continue
            judged += 1
            plan = crash_plan(300, here, tap)
            assert plan.reaches, (ph, kh, tan, temp, tap)
            bound = max(LIMIT, aired(here).nh3_n_mg_l) * (1 + 1e-9)
            states = simulated(here, tap, 300, plan)
            assert max(s.nh3_n_mg_l for s in states) <= bound, (ph, kh, tan, temp, tap)
            assert states[-1].nh3_n_mg_l <= LIMIT * (1 + 1e-9)
            own = max(LIMIT, here.nh3_n_mg_l) * (1 + 1e-9)
            assert max(s.nh3_n_mg_l for s in states[1::3]) <= own, "at the vessel's own CO2"
            under = [s.nh3_n_mg_l <= LIMIT * (1 + 1e-9) for s in states[2::3]]
            assert all(under[under.index(True) :]), "once under the limit it stays there"
    assert judged > 500


def test_kh_comes_up_by_no_more_than_one_degree_a_day() -> None:
    for ph, kh, tan, temp in GRID[::7]:
        here = water(ph, kh, temp, tan)
        plan = crash_plan(250, here, TAP)
        raised = [s for s in plan.steps if s.raises_kh]
        for step in raised:
            assert step.bicarbonate_g <= bicarbonate_g(250, 0.356634) * (1 + 1e-9)
        hours = [s.hours for s in raised]
        assert all(b - a >= 24.0 for a, b in itertools.pairwise(hours))
        assert all(s.change_l <= 125 for s in plan.steps)
        if plan.steps:
            kh_end = plan.steps[-1].after.mixed.alk_meq_l
            assert kh_end >= LIMITS.kh_wanted_meq_l - 1e-9


def test_new_water_has_the_vessels_own_kh() -> None:
    first = crash_plan(300, CRASH, TAP).steps[0]
    assert first.tap_l / first.change_l == pytest.approx(0.4 / 8)
    assert first.bicarbonate_g == 0.0
    rain_only = crash_plan(300, CRASH, None).steps[0]
    assert rain_only.tap_l == 0.0
    assert rain_only.bicarbonate_g == pytest.approx(
        bicarbonate_g(rain_only.change_l, 0.4 * MEQ_L_PER_DKH)
    )
    assert first.after.mixed.alk_meq_l == pytest.approx(CRASH.alk_meq_l)


def test_a_tap_that_is_soft_enough_is_the_soft_water() -> None:
    first = crash_plan(300, CRASH, water(7.0, 0.3)).steps[0]
    assert first.soft_l == 0.0
    assert first.tap_l == first.change_l


def test_salt_that_is_there_goes_into_the_new_water() -> None:
    salted = water_from_reading(5.9, 0.4 * MEQ_L_PER_DKH, 20, 6, 2.0)
    first = crash_plan(300, salted, TAP).steps[0]
    assert first.salt_g == pytest.approx(2.0 * first.change_l)
    assert first.after.mixed.salt_g_l == pytest.approx(2.0)


def test_fish_that_make_ammonia_faster_than_water_is_changed_end_the_plan_unreached() -> None:
    plan = crash_plan(300, CRASH, TAP, tan_per_day_n_mg_l=3.0)
    assert not plan.reaches
    assert len(plan.steps) < 20


def test_fish_that_make_a_little_are_counted_between_the_steps() -> None:
    plan = crash_plan(300, CRASH, TAP, tan_per_day_n_mg_l=0.15)
    assert plan.reaches
    there = CRASH
    steps = [*plan.steps, plan.steps[-1]]
    for step, following in itertools.pairwise(steps):
        hours = following.hours - step.hours
        tan = step.after.likely.tan_n_mg_l + 0.15 * hours / 24
        ph = aired(replace(step.after.mixed, tan_n_mg_l=tan)).ph
        most = tan * nh3_fraction_at_solved_ph(ph, 20)
        assert most <= max(LIMIT, aired(there).nh3_n_mg_l) * 1.001


def test_what_has_no_crash_in_it_needs_no_steps() -> None:
    plan = crash_plan(300, water(7.4, 5.0), TAP)
    assert plan.reaches
    assert plan.steps == ()


def test_as_ammonia_rises_the_advice_never_gets_less_strict() -> None:
    """Once a crash it stays one, and the share to change a day never falls, on 1,400 waters."""
    tans = (0.05, 0.2, 0.5, 1.0, 2.0, 4.0, 8.0)
    judged = 0
    for ph, kh, temp in itertools.product(
        (5.6, 6.0, 6.4, 6.8, 6.99), (0.1, 0.4, 0.8, 2.0, 5.0), (8.0, 20.0)
    ):
        for tap in TAPS:
            seen = [would_crash(water(ph, kh, temp, tan), tap, LIMITS) for tan in tans]
            judged += len(seen)
            assert seen == sorted(seen), (ph, kh, temp)
    assert judged >= 1000
