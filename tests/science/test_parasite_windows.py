"""Windows of doses by measured days: worked by hand, and what holds in any water."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.development import wait_to
from intake.science.parasite_windows import Pace, repeats
from intake.science.problem import Refused
from intake.science.water_days import WaterDays, steady
from tests.science.parasites import DAY_0, SHIPPED, at, day, water, windows

PRAZI = Pace("Praziquantel", 3)


def test_gill_flukes_at_20_c_a_week_later() -> None:
    # Zhang et al. 2015, Acta Hydrobiol Sin 39(6):1177: the second treatment a week later at 20 C.
    # Three treatments in all are common practice.
    assert at("gill-flukes", 20) == [(7, 7), (14, 14)]
    assert at("gill-flukes", 10) == [(44, 50), (88, 94)]


def test_louse_within_25_days_at_25_c() -> None:
    # Izumi animal hospital: repeat every 20 to 25 days; maturity 26 d at 25 C and 40 d at 20 C.
    assert at("fish-louse", 25) == [(25, 26)]
    assert at("fish-louse", 20) == [(39, 40)]


def test_cold_nights_and_warm_days_leave_no_day_so_one_more_is_given() -> None:
    # At 22 C the first new worm may lay from day 7 (6.8 d), at 18 C the last egg hatches by day 9
    # (8.4 d): a dose by day 6 and one from day 9 on, no later than six days after the one before.
    assert at("gill-flukes", 18, 22) == [(3, 6), (9, 12)]
    found = repeats(SHIPPED["gill-flukes"], [DAY_0], steady(DAY_0, 18, 22))
    assert found.extra
    assert not repeats(SHIPPED["gill-flukes"], [DAY_0], steady(DAY_0, 20, 20)).extra


def test_three_days_of_heater_failure_move_the_window() -> None:
    """By hand, in degree-days above 8.1 C: 83 to the last hatching, 95 to the first layer.

    At 20 C each day adds 11.9, at 12 C 3.9. The dose is on day 0.

    All at 20 C: 83 / 11.9 = 6.97, so it opens on day 7; 95 / 11.9 = 7.98, so it closes on day 7.

    Days 3 to 5 at 12 C: by day n (the parts of day 0 and day n taken together as one day)
      day 7:  days 1, 2 (23.8) + days 3 to 5 (11.7) + day 6 (11.9) + a day (11.9) =  59.3
      day 8:  71.2
      day 9:  83.1  >= 83, so it opens on day 9
      day 10: 95.0  <= 95, so day 10 is the last one; day 11 would be 106.9.
    """
    cold = water(20, 20, 20, 12, 12, 12, 20)
    assert windows("gill-flukes", water(20))[0] == (7, 7)
    assert windows("gill-flukes", cold)[0] == (9, 10)
    # As seen on the evening of the third cold day the days to come are taken for cold ones too:
    # days 1 to 5 are 35.5 and each later one 3.9. Waiting, the parts of both ends are a cold day:
    # 35.5 + 12 x 3.9 + 3.9 = 86.2 on day 18 (82.3 on day 17). Not to be late, they are a warm one:
    # 35.5 + 12 x 3.9 + 11.9 = 94.2 on day 18, and 98.1 on day 19.
    assert windows("gill-flukes", water(20, 20, 20, 12, 12, 12))[0] == (18, 18)


def test_white_spot_daily_in_warm_water_until_a_cycle_and_a_half_has_passed() -> None:
    # Capsules divide within a day from 16.2 C (Bull Jpn Soc Sci Fish 3(5):265); about 7 days on
    # the fish and one as a capsule at 20 C, so 13 days.
    assert at("white-spot", 20) == [(n, n) for n in range(1, 14)]
    assert at("white-spot", 15, 15.9)[:3] == [(2, 2), (4, 4), (6, 6)]
    assert at("white-spot", 15, 16)[:3] == [(1, 1), (2, 2), (3, 3)]


def test_one_warm_day_makes_the_next_dose_of_white_spot_daily() -> None:
    assert windows("white-spot", water(15, 15, 15))[0] == (2, 2)
    assert windows("white-spot", water(15, (15, 17), 15))[0] == (1, 1)
    assert windows("white-spot", water(15, 15, (15, 17), 15))[0] == (1, 1)


def test_what_stands_in_the_water_covers_white_spot_without_doses() -> None:
    stands = Pace("Salt", stands_d=21)
    found = repeats(SHIPPED["white-spot"], [DAY_0], steady(DAY_0, 20, 20), stands)
    assert found.windows == ()
    assert found.until == day(13)  # 8.3 d at 20 C, one and a half times
    assert found.look_day == day(20)
    # At 12 C a cycle and a half is 32 days, and 21 days of salt end before: another dose then.
    assert windows("white-spot", steady(DAY_0, 12, 12), pace=stands) == [(21, 21)]


def test_anchor_worms_weekly_and_without_an_end_where_they_are_arrested() -> None:
    assert at("anchor-worm", 26, 28) == [(7, 8), (14, 15), (21, 22), (28, 29)]
    assert len(at("anchor-worm", 20, 24)) == 6
    rests = repeats(SHIPPED["anchor-worm"], [DAY_0], steady(DAY_0, 17, 18))
    assert rests.until is None
    assert rests.look_day is None
    assert "no end" in rests.windows[0].because


def test_skin_flukes_by_a_slide_a_week_later() -> None:
    found = repeats(SHIPPED["skin-flukes"], [DAY_0], steady(DAY_0, 20, 22))
    assert (found.windows, found.look_day) == ((), day(7))


# Doses given


def test_each_dose_given_moves_what_follows_it() -> None:
    steady_20 = water(20)
    assert windows("gill-flukes", steady_20, [0, 7]) == [(14, 14)]
    assert windows("gill-flukes", steady_20, [0, 7, 14]) == []
    # An early dose reaches what hatched by then; the eggs of the start are still to come.
    assert windows("gill-flukes", steady_20, [0, 5])[0] == (7, 12)


def test_a_dose_past_its_window_begins_the_course_again() -> None:
    found = repeats(SHIPPED["gill-flukes"], [DAY_0, day(9)], water(20))
    assert found.begun == 1
    assert [w.number for w in found.windows] == [2, 3]
    assert windows("gill-flukes", water(20), [0, 9]) == [(16, 16), (23, 23)]


def test_a_day_without_cover_begins_white_spot_again() -> None:
    found = repeats(SHIPPED["white-spot"], [DAY_0, day(1), day(3)], water(20))
    assert found.begun == 2
    assert found.until == day(16)


def test_today_is_the_earliest_day_of_a_dose_to_come() -> None:
    cold = steady(DAY_0, 10, 10)
    found = repeats(SHIPPED["gill-flukes"], [DAY_0], cold, today=day(47))
    first, second = found.windows
    assert (first.day, first.from_day, first.to_day) == (day(47), day(44), day(50))
    assert second.from_day == day(47 + 44)


# What a treatment cannot do


def test_a_treatment_that_may_not_be_given_as_often_gets_no_wrong_dates() -> None:
    slow = Pace("Slow", 7)
    found = repeats(SHIPPED["gill-flukes"], [DAY_0], steady(DAY_0, 24, 24), slow)
    assert found.windows == ()
    assert found.cannot.startswith("Slow cannot cover 24 C")
    able = repeats(SHIPPED["gill-flukes"], [DAY_0], steady(DAY_0, 24, 24), PRAZI)
    assert not able.cannot
    assert found.needed_to >= max(w.day for w in able.windows)
    assert "cannot cover 20 C" in repeats(SHIPPED["white-spot"], [DAY_0], water(20), PRAZI).cannot


def test_the_least_interval_narrows_a_window() -> None:
    apart = Pace("x", 5)
    assert windows("gill-flukes", steady(DAY_0, 18, 22), pace=apart) == [(5, 6), (11, 12)]
    found = repeats(SHIPPED["gill-flukes"], [DAY_0], steady(DAY_0, 18, 22), apart)
    assert "not before 2026-03-06: x is not given again within 5 days" in found.windows[0].because


# What is not known


def test_unread_days_count_for_nothing_where_waiting_and_fully_where_it_must_not_be_late() -> None:
    # Days 2 to 4 unread, the rest 20 C: the last egg is given 4 days of the first 7, so it opens
    # three days later; the worms are given the warmest known day, so it closes as if all were
    # read. No day is both: one dose more on day 7.
    unread = water(20, 20, None, None, None, 20)
    found = repeats(SHIPPED["gill-flukes"], [DAY_0], unread)
    assert found.extra
    assert found.windows[0].to_day == day(7)
    assert found.windows[1].from_day == day(10)
    assert any("3 days were not read" in text for text in found.because)
    assert any("are taken like the last known one" in text for text in found.because)


def test_a_water_nobody_read_gets_no_date() -> None:
    for parasite in ("gill-flukes", "white-spot"):
        with pytest.raises(Refused) as refused:
            windows(parasite, water(None, None))
        assert refused.value.code == "reading-missing"


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
        at(parasite, low_c, high_c)
    assert (refused.value.code, refused.value.limit) == ("not-in-range", limit)
    assert refused.value.way_out
    assert refused.value.value in (low_c, high_c)


def test_white_spot_below_10_c_has_words_and_no_date() -> None:
    with pytest.raises(Refused) as refused:
        at("white-spot", 7)
    assert "about three weeks or more" in refused.value.way_out


def test_a_past_day_too_warm_for_the_table_leaves_no_date() -> None:
    with pytest.raises(Refused) as refused:
        windows("gill-flukes", water(20, (20, 31), 20))
    assert "2026-03-02" in refused.value.text


# The wait


@pytest.mark.parametrize(
    ("parasite", "temp_c", "days"),
    [
        ("white-spot", 20, 13),  # 8.3 d at 20 C
        ("gill-flukes", 20, 17),  # 11 d
        ("skin-flukes", 20, 11),
        ("anchor-worm", 26, 38),  # 25 d
        ("anchor-worm", 25.9, 60),
        ("fish-louse", 20, 119),
        ("white-spot", 7, 53),  # the longest known, at 10 C: 35 d
        ("anchor-worm", 12, 60),
    ],
)
def test_the_wait_is_one_and_a_half_generations(parasite: str, temp_c: float, days: int) -> None:
    over = wait_to(SHIPPED[parasite], DAY_0, steady(DAY_0, temp_c, temp_c))
    assert (over - DAY_0).days == days


def test_cold_days_and_unread_ones_lengthen_the_wait() -> None:
    flukes = SHIPPED["gill-flukes"]
    plain = wait_to(flukes, DAY_0, water(20))
    assert wait_to(flukes, DAY_0, water(20, 20, 12, 12, 20)) > plain
    assert wait_to(flukes, DAY_0, water(20, 20, None, 20)) > plain


# Properties

TEMPS = st.floats(15, 28)
ENDS = st.tuples(TEMPS, TEMPS).map(lambda e: (min(e), max(e)))
WATERS = st.lists(st.one_of(ENDS, st.none()), min_size=1, max_size=40).filter(any)
IDS = st.sampled_from(sorted(SHIPPED))


@given(IDS, WATERS, st.integers(1, 4))
def test_windows_are_in_order_and_after_what_was_given(
    parasite: str, days: list[tuple[float, float] | None], count: int
) -> None:
    known = WaterDays(DAY_0, tuple(days))
    given_days = [day(6 * n) for n in range(count)]
    found = repeats(SHIPPED[parasite], given_days, known)
    last: date = given_days[-1]
    for w in found.windows:
        assert last < w.from_day <= w.to_day
        assert w.from_day <= w.day <= w.to_day
        last = w.day
    assert 0 <= found.begun < count
    assert found.needed_to >= given_days[-1]


@given(WATERS)
def test_no_new_layer_between_doses_and_the_last_egg_reached(
    days: list[tuple[float, float] | None],
) -> None:
    """By a sum of the test's own: degree-days above 8.1 C, the highs to 95 and the lows to 83."""
    known = WaterDays(DAY_0, tuple(days))
    found = repeats(SHIPPED["gill-flukes"], [DAY_0], known)
    given_days = [DAY_0, *(w.day for w in found.windows)]
    warmest = max(e[1] for e in days if e is not None)
    for a, b in pairwise(given_days):
        inside = [known.on(a + timedelta(n)) for n in range(1, (b - a).days)]
        highs = [warmest if e is None else e[1] for e in inside]
        assert sum(h - 8.1 for h in highs) <= 95 + 1e-6
    lows = [known.on(day(n)) for n in range(1, (given_days[-1] - DAY_0).days)]
    sure = sum(e[0] - 8.1 for e in lows if e is not None)
    ends = [e[0] - 8.1 for e in (known.on(DAY_0), known.on(given_days[-1])) if e is not None]
    assert sure + (min(ends) if len(ends) == 2 else 0.0) >= 83 - 1e-6


@given(IDS, ENDS, st.floats(0, 3))
def test_warmer_water_never_opens_later(
    parasite: str, ends: tuple[float, float], by_c: float
) -> None:
    low, high = ends
    warmer = (min(low + by_c, 28.0), min(high + by_c, 28.0))
    cold = repeats(SHIPPED[parasite], [DAY_0], steady(DAY_0, low, high))
    warm = repeats(SHIPPED[parasite], [DAY_0], steady(DAY_0, *warmer))
    for a, b in zip(warm.windows[:1], cold.windows[:1], strict=False):
        assert a.to_day <= b.to_day
        # A dose between two opens by the one after it, which a narrow window may put off.
        assert a.from_day <= b.from_day or cold.extra


@given(IDS, ENDS, st.floats(0, 20))
def test_a_treatment_that_cannot_cover_never_ends_earlier(
    parasite: str, ends: tuple[float, float], least_d: float
) -> None:
    known = steady(DAY_0, *ends)
    able = repeats(SHIPPED[parasite], [DAY_0], known)
    held = repeats(SHIPPED[parasite], [DAY_0], known, Pace("x", least_d))
    assert held.needed_to >= able.needed_to or not held.cannot
    for a, b in zip([DAY_0, *(w.day for w in held.windows)], held.windows, strict=False):
        assert (b.from_day - a).days >= least_d


def test_nothing_given_is_no_course() -> None:
    with pytest.raises(ValueError, match="no dose"):
        repeats(SHIPPED["gill-flukes"], [], water(20))
