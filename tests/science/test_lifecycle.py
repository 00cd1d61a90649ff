from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.lifecycle import (
    EGG_LAYERS,
    PARASITES,
    development_days,
    repeats,
    wait_days,
)
from intake.science.problem import Refused


def windows(parasite: str, low_c: float, high_c: float) -> list[tuple[int, int]]:
    return [(w.from_day, w.to_day) for w in repeats(parasite, low_c, high_c).windows]


def test_gill_flukes_at_20_c_a_week_later() -> None:
    # Zhang et al. 2015, Acta Hydrobiol Sin 39(6):1177-1183: eggs hatch over 3 + 5 days at 20 C,
    # egg to adult takes 8 to 11 days, and the authors' second treatment is a week after the first.
    life = EGG_LAYERS["gill-flukes"]
    assert life.last_hatch(20) == pytest.approx(7, abs=0.05)
    assert life.first_layer(20) == pytest.approx(8, abs=0.05)
    assert life.generation(20) == pytest.approx(11, abs=0.05)
    assert windows("gill-flukes", 20, 20)[0] == (7, 7)


@pytest.mark.parametrize(
    ("temp_c", "days"), [(10, 44), (12, 21), (15, 12), (18, 8.4), (22, 6.0), (25, 4.9), (30, 3.8)]
)
def test_gill_fluke_intervals_by_temperature(temp_c: float, days: float) -> None:
    # 83 degree-days above 8.1 C, the table worked out by hand from the measured week at 20 C
    assert EGG_LAYERS["gill-flukes"].last_hatch(temp_c) == pytest.approx(days, rel=0.02)


def test_louse_eggs_and_maturity_as_measured() -> None:
    # Shafir & Van As 1986, J Zool: hatching starts after 61 d at 15 C. Izumi animal hospital:
    # hatching to maturity 26 d at 25 C and 40 d at 20 C, repeat every 20 to 25 days.
    life = EGG_LAYERS["fish-louse"]
    assert life.last_hatch(15) == pytest.approx(61, abs=0.5)
    assert life.first_layer(25) == pytest.approx(26, abs=0.1)
    assert life.first_layer(20) == pytest.approx(40, abs=0.2)
    assert windows("fish-louse", 25, 25) == [(25, 25)]


def test_cold_nights_and_warm_days_leave_no_day_so_one_more_is_given() -> None:
    found = repeats("gill-flukes", 18, 22)
    assert found.extra
    # at 22 C the first new worm lays from day 7, at 18 C the last egg hatches on day 9
    assert windows("gill-flukes", 18, 22) == [(6, 6), (9, 12)]
    assert not repeats("gill-flukes", 20, 20).extra


def test_white_spot_daily_in_warm_water_until_a_cycle_and_a_half_has_passed() -> None:
    # Capsules divide within a day from 16.2 C (Bull Jpn Soc Sci Fish 3(5):265); about 7 days on
    # the fish and one as a capsule at 20 C, so 13 days.
    assert windows("white-spot", 20, 20) == [(n, n) for n in range(1, 14)]
    assert windows("white-spot", 15, 15.9)[:3] == [(2, 2), (4, 4), (6, 6)]
    assert windows("white-spot", 15, 16)[:3] == [(1, 1), (2, 2), (3, 3)]


def test_anchor_worms_weekly_and_skin_flukes_by_a_slide_a_week_later() -> None:
    assert windows("anchor-worm", 26, 28) == [(7, 7), (14, 14), (21, 21), (28, 28)]
    assert len(windows("anchor-worm", 20, 24)) == 5
    assert windows("skin-flukes", 20, 22) == []
    assert repeats("skin-flukes", 20, 22).look_day == 7


@pytest.mark.parametrize(
    ("parasite", "low_c", "high_c", "limit"),
    [
        ("white-spot", 7, 12, 10),  # 20 days were seen at 7 C; the fit would say 1,090
        ("white-spot", 20, 29, 28),
        ("gill-flukes", 9.9, 12, 10),
        ("gill-flukes", 20, 30.1, 30),
        ("fish-louse", 14, 20, 15),
        ("anchor-worm", 14.9, 20, 15),
        ("skin-flukes", 2, 20, 2.5),
    ],
)
def test_nothing_is_guessed_outside_what_was_measured(
    parasite: str, low_c: float, high_c: float, limit: float
) -> None:
    with pytest.raises(Refused) as refused:
        repeats(parasite, low_c, high_c)
    assert (refused.value.code, refused.value.limit) == ("not-in-range", limit)
    assert refused.value.way_out
    assert refused.value.value in (low_c, high_c)


def test_the_wait_is_one_and_a_half_generations() -> None:
    assert wait_days("white-spot", 20) == 13  # 8.3 d at 20 C
    assert wait_days("gill-flukes", 20) == 17  # 11 d
    assert wait_days("skin-flukes", 20) == 11
    assert wait_days("anchor-worm", 26) == 38  # 25 d
    assert wait_days("anchor-worm", 25.9) == 60
    assert wait_days("fish-louse", 20) == 119
    with pytest.raises(Refused):
        wait_days("white-spot", 7)
    with pytest.raises(ValueError, match="leech"):
        wait_days("leech", 20)


@pytest.mark.parametrize(
    ("parasite", "low_c", "high_c"), [("leech", 20, 20), ("white-spot", 21, 20)]
)
def test_unknown_parasites_and_turned_temperatures(
    parasite: str, low_c: float, high_c: float
) -> None:
    with pytest.raises(ValueError, match=parasite):
        repeats(parasite, low_c, high_c)


TEMPS = st.floats(15, 28)


@given(st.sampled_from(PARASITES), TEMPS, TEMPS)
def test_repeats_are_in_order_and_cover_the_last_egg(
    parasite: str, one_c: float, other_c: float
) -> None:
    low_c, high_c = sorted((one_c, other_c))
    found = repeats(parasite, low_c, high_c)
    for w in found.windows:
        assert 0 < w.from_day <= w.to_day
    for a, b in zip(found.windows, found.windows[1:], strict=False):
        assert a.to_day < b.from_day
    assert found.look_day >= 7 or found.windows
    if parasite in EGG_LAYERS:
        life = EGG_LAYERS[parasite]
        assert found.windows[-1].to_day >= life.last_hatch(low_c) - 1e-6
        if found.extra:
            assert found.windows[0].to_day <= life.first_layer(high_c) + 1e-6


@given(st.sampled_from(PARASITES), TEMPS, TEMPS)
def test_warmer_water_never_takes_longer(parasite: str, one_c: float, other_c: float) -> None:
    cold_c, warm_c = sorted((one_c, other_c))
    assert wait_days(parasite, warm_c) <= wait_days(parasite, cold_c)


def test_a_cold_spell_pauses_and_never_ends_the_count() -> None:
    # 83 degree-days above 8.1 C are 7 days at 20 C
    assert development_days(83, 8.1, [20.0] * 7) == 7
    assert development_days(83, 8.1, [20.0] * 6) is None
    assert development_days(83, 8.1, [20.0] * 4 + [5.0] * 21 + [20.0] * 3) == 28
    assert development_days(83, 8.1, [8.1] * 1000) is None
    assert development_days(0, 8.1, [5.0]) == 1
