"""The bag over time: conservation, limits that are known exactly, and an ODE solver."""

from __future__ import annotations

from math import exp, log

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.science.ammonia import N_MG_PER_MMOL, nh3_fraction_at_solved_ph
from intake.science.bag import (
    BINDER_HALF_TIME_MIN,
    NO_FISH,
    O2_MG_PER_MMOL,
    Fish,
    Minute,
    Stage,
    run,
)
from intake.science.blend import MEQ_L_PER_DKH, Water, aired, blend, settled, water_from_reading
from intake.science.carbonate import AIR_CO2_ATM, co2_at, solve_ph, water_constants

BAG = water_from_reading(6.1, 3 * MEQ_L_PER_DKH, 15, 15, 2.0)
VESSEL = water_from_reading(8.2, 8 * MEQ_L_PER_DKH, 21, 0.1, 0.2, 3.0)


def totals(m: Minute) -> tuple[float, ...]:
    """Litres and what they hold, with what has gone to the air or a binder counted back."""
    w, v = m.water, m.volume_l
    bound = m.bound_n_mg / N_MG_PER_MMOL
    return (
        v,
        v * w.alk_meq_l + bound,
        v * w.dic_mmol_l + m.co2_lost_mmol,
        v * w.tan_n_mg_l + m.bound_n_mg,
        v * w.salt_g_l,
        v * w.gh_meq_l,
    )


@settings(deadline=None)
@given(
    st.floats(5.0, 120.0),
    st.floats(0.0, 0.06),
    st.floats(0.0, 0.2),
    st.floats(0.0, 60.0),
)
def test_nothing_is_made_or_lost_in_any_minute(
    half: float, drip: float, fish_kg: float, binder: float
) -> None:
    fish = Fish(fish_kg, 6.0, 200.0, 0.9)
    stage = Stage(45, 21.0, 60.0, half, drip, 0.0, binder)
    path = run(BAG, 2.0, [stage], fish, VESSEL)
    assert len(path) == 46
    for m in path:
        poured, hours = drip * m.minute, m.minute / 60
        made = fish_kg * 6.0 * hours
        came = (
            poured,
            poured * VESSEL.alk_meq_l + made / N_MG_PER_MMOL,
            poured * VESSEL.dic_mmol_l + fish_kg * 200.0 * hours * 0.9 / O2_MG_PER_MMOL,
            poured * VESSEL.tan_n_mg_l + made,
            poured * VESSEL.salt_g_l,
            poured * VESSEL.gh_meq_l,
        )
        for before, gain, after in zip(totals(path[0]), came, totals(m), strict=True):
            assert after == pytest.approx(before + gain, rel=1e-9, abs=1e-12)


def test_every_minute_is_there_and_is_a_settled_water() -> None:
    path = run(BAG, 2.0, [Stage(10, 21.0), Stage(20, 21.0, 60.0, 30.0, 0.05)], Fish(0.1), VESSEL)
    assert [m.minute for m in path] == list(range(31))
    for m in path:
        assert settled(m.water).ph == pytest.approx(m.water.ph, abs=1e-9)
    assert path[10].volume_l == 2.0
    assert path[30].volume_l == pytest.approx(3.0)


def test_closed_float_is_newton_warming() -> None:
    for m in run(BAG, 2.0, [Stage(60, 21.0, 37.0)]):
        exact = 21.0 + (15.0 - 21.0) * exp(-m.minute / 37.0)
        assert m.water.temp_c == pytest.approx(exact, abs=1e-9)
        assert m.water.dic_mmol_l == pytest.approx(BAG.dic_mmol_l, rel=1e-12)


def test_a_bag_left_alone_stays_as_it_is() -> None:
    last = run(BAG, 2.0, [Stage(60)])[-1].water
    assert last.ph == pytest.approx(BAG.ph, abs=1e-9)
    assert last.temp_c == pytest.approx(BAG.temp_c, abs=1e-9)


def test_dripped_and_closed_is_a_blend_at_every_minute() -> None:
    path = run(BAG, 2.0, [Stage(60, drip_l_min=2.0 / 60.0)], NO_FISH, VESSEL)
    assert path[-1].volume_l == pytest.approx(4.0)
    for m in path[1:]:
        mixed = blend(BAG, VESSEL, m.minute / (60.0 + m.minute))
        assert m.water.ph == pytest.approx(mixed.ph, abs=1e-9)
        assert m.water.temp_c == pytest.approx(mixed.temp_c, abs=1e-9)


@pytest.mark.parametrize("half", [1.0, 0.3, 0.001])
def test_four_hours_of_fast_exchange_end_at_the_air(half: float) -> None:
    last = run(BAG, 2.0, [Stage(240, co2_half_time_min=half)])[-1].water
    assert last.ph == pytest.approx(aired(BAG).ph, abs=2e-4)


def test_half_the_spare_co2_is_gone_after_a_half_time() -> None:
    # Far below pH 6 carbon is CO2, and its loss is a plain exponential.
    acid = water_from_reading(5.0, 0.2, 20)
    air = acid.constants.co2_per_atm * AIR_CO2_ATM * 44.0095e3
    path = run(acid, 1.0, [Stage(20, co2_half_time_min=20.0)])
    half = (path[20].water.co2_mg_l - air) / (acid.co2_mg_l - air)
    assert half == pytest.approx(0.5, abs=0.01)


def test_pouring_out_changes_how_much_and_not_what() -> None:
    path = run(BAG, 2.0, [Stage(1), Stage(1, pour_out_share=0.25)])
    assert path[-1].volume_l == pytest.approx(1.5)
    assert path[-1].water.ph == pytest.approx(BAG.ph, abs=1e-9)
    # What is poured out leaves room: the same drip then changes the water more.
    drip = Stage(30, drip_l_min=0.02)
    less = run(BAG, 2.0, [Stage(30, drip_l_min=0.02, pour_out_share=0.5)], NO_FISH, VESSEL)
    assert less[-1].water.tan_n_mg_l < run(BAG, 2.0, [drip], NO_FISH, VESSEL)[-1].water.tan_n_mg_l


def test_a_binder_takes_half_in_its_half_time_and_no_more_than_it_can() -> None:
    held = 2.0 * BAG.tan_n_mg_l
    minutes = int(BINDER_HALF_TIME_MIN)
    path = run(BAG, 2.0, [Stage(60, binder_takes_n_mg=1000.0)])
    assert path[minutes].bound_n_mg == pytest.approx(held / 2, rel=1e-9)
    assert path[-1].bound_n_mg == pytest.approx(held, rel=1e-5)
    small = run(BAG, 2.0, [Stage(60, binder_takes_n_mg=10.0)])
    assert small[-1].bound_n_mg == pytest.approx(10.0)
    # One equivalent of alkalinity a mole: 0.2 dKH for each mg/L as N.
    lost = BAG.alk_meq_l - small[-1].water.alk_meq_l
    assert lost / MEQ_L_PER_DKH == pytest.approx(0.2 * 5.0, rel=0.01)


def test_a_binder_in_soft_water_ends_in_acid() -> None:
    # KH 0.84 against 20 mg/L TAN as N: the whole of the KH goes and more; about pH 3.4.
    soft = water_from_reading(5.8, 0.84 * MEQ_L_PER_DKH, 18, 20)
    last = run(soft, 2.0, [Stage(60, binder_takes_n_mg=80.0)])[-1].water
    assert last.alk_meq_l < 0
    assert 2.8 < last.ph < 3.6


CASES = [
    (BAG, VESSEL, 5.0, 0.0, 0.0),
    (BAG, VESSEL, 6.0, 2.0 / 60.0, 0.0),
    (BAG, VESSEL, 15.0, 2.0 / 60.0, 0.1),
    (BAG, VESSEL, 60.0, 2.0 / 60.0, 0.1),
    (BAG, VESSEL, 120.0, 0.0, 0.2),
    (
        water_from_reading(5.8, 0.84 * MEQ_L_PER_DKH, 18, 20),
        water_from_reading(8.4, 10 * MEQ_L_PER_DKH, 18),
        15.0,
        2.0 / 60.0,
        0.15,
    ),
]


@pytest.mark.parametrize(("bag", "vessel", "half", "drip", "fish_kg"), CASES)
def test_against_an_ode_solver(
    bag: Water, vessel: Water, half: float, drip: float, fish_kg: float
) -> None:
    solve_ivp = pytest.importorskip("scipy.integrate").solve_ivp
    fish, minutes, tau, k = Fish(fish_kg), 60, 60.0, log(2.0) / half

    def state(y: list[float]) -> tuple[float, float, float]:
        v, alk, dic, tan, salt, gh, heat = y
        temp = heat / v
        c = water_constants(temp, salt / v, alk / v, tan * N_MG_PER_MMOL / v, gh / v)
        ph = solve_ph(alk / v / 1e3, dic / v / 1e3, tan / v / 1e3, c)
        return temp, ph, co2_at(dic / v, ph, c) - c.co2_per_atm * AIR_CO2_ATM * 1e3

    def flow(_: float, y: list[float]) -> list[float]:
        temp, _ph, spare = state(y)
        ammonia = fish_kg * fish.excretion_mg_n_kg_h / 60 / N_MG_PER_MMOL
        breath = fish_kg * fish.oxygen_mg_kg_h / 60 / O2_MG_PER_MMOL * fish.co2_per_oxygen
        return [
            drip,
            drip * vessel.alk_meq_l + ammonia,
            drip * vessel.dic_mmol_l + breath - y[0] * k * spare,
            drip * vessel.tan_n_mg_l / N_MG_PER_MMOL + ammonia,
            drip * vessel.salt_g_l,
            drip * vessel.gh_meq_l,
            drip * vessel.temp_c + y[0] * (vessel.temp_c - temp) / tau,
        ]

    start = [
        2.0,
        2.0 * bag.alk_meq_l,
        2.0 * bag.dic_mmol_l,
        2.0 * bag.tan_n_mg_l / N_MG_PER_MMOL,
        2.0 * bag.salt_g_l,
        2.0 * bag.gh_meq_l,
        2.0 * bag.temp_c,
    ]
    exact = solve_ivp(
        flow, (0, minutes), start, method="LSODA", t_eval=range(minutes + 1), rtol=1e-9, atol=1e-10
    )
    ours = run(bag, 2.0, [Stage(minutes, vessel.temp_c, tau, half, drip)], fish, vessel)
    for m, y in zip(ours, exact.y.T, strict=True):
        temp, ph, _ = state(list(y))
        assert m.water.temp_c == pytest.approx(temp, abs=1e-3)
        assert m.water.ph == pytest.approx(ph, abs=0.002)
        theirs = y[3] * N_MG_PER_MMOL / y[0] * nh3_fraction_at_solved_ph(ph, temp)
        assert m.water.nh3_n_mg_l == pytest.approx(theirs, rel=0.005)
