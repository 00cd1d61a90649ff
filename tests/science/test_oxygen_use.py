"""Oxygen use against published figures, and hours left against an integrated curve."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]

from intake.science.ammonia import NotInRange
from intake.science.fish_size import STAGE_MASS_G, mass_of
from intake.science.oxygen import saturation_mg_l
from intake.science.oxygen_use import (
    DANGER_MG_L,
    TARGET_MG_L,
    Fish,
    Store,
    full,
    hours_until,
    outside_measured,
    resting_mg_g_h,
    salt_times,
    used_mg_h,
    warmed,
)
from intake.science.span import Span, as_span

TEMPS = st.floats(0.0, 35.0)
MASSES = st.floats(0.1, 500.0)


@pytest.mark.parametrize(("mass_g", "printed"), [(10, 133), (37.5, 103), (100, 85)])
def test_resting_use_as_published(mass_g: float, printed: float) -> None:
    # Yamanaka 2013, Carassius auratus grandoculis, mg O2 per kg and hour at 20 C.
    assert 1000 * resting_mg_g_h(mass_g, 20) == pytest.approx(printed, abs=0.6)


@pytest.mark.parametrize("measured", [84, 88])
def test_two_other_goldfish_lie_under_it_by_a_fifth_at_most(measured: float) -> None:
    # 88 mg/kg/h at 37.5 g in fresh water (a salinity trial's abstract); 84 from calorimetry,
    # 700 J/h/kg^0.85 at 20 C at 13.6 J per mg of oxygen.
    ours = 1000 * resting_mg_g_h(37.5, 20)
    assert measured < ours < 1.25 * measured
    calorimetry = 700 * 0.0375**0.85 / 0.0375 / 13.6
    assert calorimetry == pytest.approx(84, abs=1)


@given(MASSES, MASSES, TEMPS)
def test_a_larger_fish_uses_more_and_less_for_each_gram(a: float, b: float, temp: float) -> None:
    small, large = sorted((a, b))
    assert resting_mg_g_h(small, temp) >= resting_mg_g_h(large, temp)
    alone = [Fish(1, as_span(m)).resting_mg_h(temp).nominal for m in (small, large)]
    assert alone[0] <= alone[1]


@given(MASSES, st.integers(1, 50), TEMPS, st.floats(0.1, 5.0))
def test_warmer_more_fish_and_less_water_leave_fewer_hours(
    mass: float, count: int, temp: float, warmer: float
) -> None:
    def hours(count: int, temp: float, volume: float) -> Span:
        use = used_mg_h([Fish(count, as_span(mass))], temp)
        low, middle, high = Store(full(temp), as_span(volume), use).hours(TARGET_MG_L)
        assert low is not None
        assert middle is not None
        assert high is not None
        return Span(low, middle, high)

    here = hours(count, temp, 200.0)
    for fewer in (hours(count, temp + warmer, 200.0), hours(count + 1, temp, 200.0),
                  hours(count, temp, 150.0)):  # fmt: skip
        assert fewer.low <= here.low
        assert fewer.nominal < here.nominal
        assert fewer.high < here.high


@given(st.floats(6.0, 12.0), st.floats(20.0, 1000.0), st.floats(5.0, 500.0))
def test_the_hours_are_those_of_the_integrated_curve(
    oxygen: float, volume: float, use: float
) -> None:
    def there(_hours: float, o: list[float]) -> float:
        return o[0] - DANGER_MG_L

    there.terminal = True  # type: ignore[attr-defined]
    run = solve_ivp(lambda _t, _o: [-use / volume], (0, 1e5), [oxygen], events=there, rtol=1e-9)
    assert hours_until(oxygen, DANGER_MG_L, volume, use) == pytest.approx(
        float(run.t_events[0][0]), rel=1e-6
    )


def test_air_at_the_surface_would_only_give_more_time() -> None:
    # Still water of 0.5 m2 with a piston velocity of 0.02 m/h, low among lakes without wind.
    oxygen, volume, use, top = 9.0, 200.0, 250.0, saturation_mg_l(20)
    takes = 0.02 * 0.5 * 1000 / volume

    def there(_hours: float, o: list[float]) -> float:
        return o[0] - TARGET_MG_L

    there.terminal = True  # type: ignore[attr-defined]
    run = solve_ivp(
        lambda _t, o: [-use / volume + takes * (top - o[0])], (0, 1e3), [oxygen], events=there
    )
    ours = hours_until(oxygen, TARGET_MG_L, volume, use)
    assert ours is not None
    assert ours < float(run.t_events[0][0])


@pytest.mark.parametrize(("salt_g_l", "printed"), [(0, 88), (3, 92), (6, 126), (9, 159)])
def test_salt_makes_them_use_more_as_published(salt_g_l: float, printed: float) -> None:
    # Goldfish of 37.5 g in a salinity trial, mg O2 per kg and hour.
    assert 88 * salt_times(salt_g_l) == pytest.approx(printed, abs=0.01)
    fresh = used_mg_h([Fish(3, Span(20, 30, 40))], 20)
    salted = used_mg_h([Fish(3, Span(20, 30, 40))], 20, salt_g_l)
    for end in ("low", "nominal", "high"):
        assert getattr(salted, end) == pytest.approx(getattr(fresh, end) * printed / 88)


@given(st.floats(0.0, 40.0), st.floats(0.0, 5.0))
def test_more_salt_never_makes_them_use_less(salt_g_l: float, more: float) -> None:
    assert 1.0 <= salt_times(salt_g_l) <= salt_times(salt_g_l + more) <= 159 / 88 + 1e-12


def test_what_is_there_already_or_never() -> None:
    assert hours_until(4.9, 5.0, 100, 50) == 0.0
    assert hours_until(5.0, 5.0, 100, 0) == 0.0
    assert hours_until(8.0, 5.0, 100, 0) is None
    assert used_mg_h([], 20) == as_span(0.0)


def test_a_treatment_is_counted_in_full_at_the_careful_end_only() -> None:
    store = Store(Span(7.0, 8.0, 9.0), as_span(100.0), Span(50.0, 100.0, 150.0), 1.0)
    assert list(store.hours(5.0)) == pytest.approx([1.0 * 100 / 150, 2.5, 4.0 * 100 / 50])


def test_the_careful_end_has_the_least_water_not_quite_full_of_air() -> None:
    store = Store(full(20), Span(90.0, 100.0, 110.0), as_span(100.0))
    assert full(20).low == pytest.approx(0.8 * saturation_mg_l(20))
    assert store.hours(5.0)[0] == pytest.approx((full(20).low - 5.0) * 90.0 / 100.0)
    assert store.hours(5.0)[2] == pytest.approx((full(20).high - 5.0) * 110.0 / 100.0)


def test_range_of_rest_and_activity() -> None:
    use = used_mg_h([Fish(4, as_span(37.5)), Fish(1, as_span(100.0))], 20)
    resting = 4 * 37.5 * 0.1033 + 100 * 0.0853
    assert use.low == pytest.approx(resting, rel=0.005)
    assert use.high == pytest.approx(3 * use.low)
    assert use.low < use.nominal < use.high


def test_warmer_water_keeps_its_share() -> None:
    cold, warm = saturation_mg_l(20), saturation_mg_l(25)
    moved = warmed(full(20), cold, warm)
    assert moved.nominal == pytest.approx(warm)
    assert moved.low == pytest.approx(full(25).low)


def test_carried_on_outside_what_was_measured() -> None:
    assert [outside_measured(t) for t in (14.9, 15, 30, 30.1)] == [True, False, False, True]
    for reading in ((0.0, 20.0), (20.0, -1.0), (20.0, 41.0)):
        with pytest.raises(NotInRange):
            resting_mg_g_h(*reading)


def test_a_weighed_fish_counts_as_weighed_and_the_rest_widely() -> None:
    assert mass_of("fry", 82.0, 12.0) == as_span(82.0)
    by_length = mass_of("fry", None, 12.0)
    assert by_length.low < 12**3 * pi / 6 / 25 < by_length.high  # a body a fifth as thick as long
    assert mass_of("adult") == STAGE_MASS_G["adult"]
    assert mass_of("") == STAGE_MASS_G["adult"]
    stages = [STAGE_MASS_G[s].nominal for s in ("hatchlings", "fry", "juvenile", "adult")]
    assert stages == sorted(stages)
