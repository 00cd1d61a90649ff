"""What the readings of a water say of each local day. The rules are common practice."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import permutations
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.day_temperatures import DayTemperature, day_temperatures
from intake.science.quarantine import Temperature
from tests.science.quarantines import local

LISBON = "Europe/Lisbon"
LATER = datetime(2030, 1, 1, tzinfo=UTC)


def day(number: int) -> date:
    return date(2026, 3, number)


def spot(when: str, temp_c: float, zone: str = LISBON) -> Temperature:
    return Temperature(local(f"2026-{when}", zone), 1, temp_c, temp_c, spot=True)


def span(when: str, low_c: float, high_c: float, zone: str = LISBON) -> Temperature:
    """A min/max thermometer read at that time."""
    return Temperature(local(f"2026-{when}", zone), 2, low_c, high_c)


def days(
    *read: Temperature, first: int = 10, last: int = 14, drop: float = 0.0, zone: str = LISBON
) -> list[tuple[float, float, bool] | None]:
    found = day_temperatures(read, zone, day(first), day(last), LATER, drop)
    assert [d.day for d in found if d] == [
        day(n) for n, d in zip(range(first, last + 1), found, strict=True) if d
    ]
    return [(d.low_c, d.high_c, d.measured) if d else None for d in found]


def test_a_day_read_is_known_and_the_others_are_not() -> None:
    assert days(spot("03-11T10:00", 20), spot("03-11T18:00", 22)) == [
        None, (20, 22, True), None, None, None,
    ]  # fmt: skip
    assert DayTemperature(day(11), 20, 22).mean_c == 21


def test_nothing_read_tells_nothing() -> None:
    assert days() == [None] * 5


@pytest.mark.parametrize(
    ("second", "between"),
    [("03-12T10:00", (18, 20, False)), ("03-12T10:01", None), ("03-12T09:59", (18, 20, False))],
)
def test_36_hours_between_two_readings_are_known_and_a_minute_more_is_not(
    second: str, between: tuple[float, float, bool] | None
) -> None:
    found = days(spot("03-10T22:00", 20), spot(second, 18))
    assert found[:3] == [(20, 20, True), between, (18, 18, True)]


def test_36_hours_are_elapsed_hours() -> None:
    """On 29 March 2026 the clock of Lisbon skips an hour, on 25 October it doubles one."""
    spring = day_temperatures(
        (spot("03-28T22:00", 20), spot("03-30T11:00", 18)),
        LISBON, date(2026, 3, 29), date(2026, 3, 29), LATER,
    )  # fmt: skip
    assert spring[0] == DayTemperature(date(2026, 3, 29), 18, 20, measured=False)
    for clock, known in (("09:00", True), ("09:01", False)):
        autumn = day_temperatures(
            (spot("10-24T22:00", 20), spot(f"10-26T{clock}", 18)),
            LISBON, date(2026, 10, 25), date(2026, 10, 25), LATER,
        )  # fmt: skip
        assert (autumn[0] is not None) == known


def test_a_min_max_thermometer_speaks_for_the_24_hours_before_it_was_read() -> None:
    morning = days(span("03-11T08:00", 18, 22))
    assert morning == [(18, 22, True), (18, 22, True), None, None, None]
    evening = days(span("03-11T20:00", 18, 22))
    assert evening == [None, (18, 22, True), None, None, None]


@pytest.mark.parametrize(("clock", "known"), [("15:59", True), ("16:00", True), ("16:01", False)])
def test_a_span_tells_of_a_day_whose_waking_hours_it_holds_half_of(
    clock: str, known: bool
) -> None:
    """From 16:00 on are eight of the sixteen hours after 08:00."""
    assert (days(span(f"03-12T{clock}", 18, 22))[1] is not None) is known


def test_a_spot_inside_a_span_does_not_end_what_the_span_tells_of() -> None:
    read = (span("03-11T20:00", 18, 22), spot("03-10T22:00", 20), spot("03-13T07:00", 19))
    assert days(*read)[2] == (18, 22, False)  # 35 h after the span


def test_one_warm_afternoon_never_makes_two_warm_days() -> None:
    found = days(span("03-11T08:00", 12, 26), span("03-12T08:00", 11, 12.5))
    assert found[:2] == [(12, 26, True), (11, 12.5, True)]


def test_the_day_the_heater_failed_has_the_low_of_the_next_morning() -> None:
    found = days(span("03-11T08:00", 19, 21), span("03-12T08:00", 12, 20))
    assert found[1] == (12, 20, True)


def test_a_spot_reading_by_day_is_lowered_by_the_nights_drop() -> None:
    assert days(spot("03-11T14:00", 21), drop=3)[1] == (18, 21, True)
    assert days(spot("03-11T08:00", 21), drop=3)[1] == (18, 21, True)


def test_a_night_that_was_read_is_not_guessed_again() -> None:
    assert days(spot("03-11T07:59", 19), spot("03-11T14:00", 21), drop=3)[1] == (19, 21, True)
    told = days(span("03-11T08:00", 19.5, 22), spot("03-11T14:00", 21), drop=3)
    assert told[1] == (19.5, 21, True)


def test_a_bridged_day_keeps_the_nights_drop_of_its_neighbours() -> None:
    assert days(spot("03-10T22:00", 20), spot("03-12T10:00", 21), drop=2)[1] == (18, 21, False)


def test_a_span_too_short_to_tell_of_a_day_is_bridged_or_unknown() -> None:
    """20 to 24 on the 11th is held by the reading of the 12th, the rest by nothing."""
    late = span("03-12T20:00", 18, 20)
    assert days(late)[1] is None
    assert days(spot("03-10T08:00", 21), late)[1] == (18, 21, False)  # 36 h
    assert days(spot("03-10T07:59", 21), late)[1] is None


def test_a_loggers_part_of_a_day_is_counted_beside_a_spot_reading() -> None:
    logged = Temperature(
        local("2026-03-11T23:50", LISBON), 3, 17, 18, since_utc=local("2026-03-11T19:00", LISBON)
    )
    assert days(logged, spot("03-11T12:00", 21), drop=1)[1] == (17, 21, True)


def test_a_gap_inside_the_span_of_another_reading_is_none() -> None:
    """The reading of the 12th speaks for the time from which the spot before it was taken."""
    read = (
        spot("03-09T23:00", 20), spot("03-11T13:00", 20), span("03-11T23:00", 18, 21),
    )  # fmt: skip
    assert days(*read)[0] == (18, 21, False)


def test_what_comes_later_is_not_known_yet() -> None:
    read = (spot("03-10T22:00", 20), spot("03-12T10:00", 18))
    now = local("2026-03-12T09:59", LISBON)
    found = day_temperatures(read, LISBON, day(10), day(12), now)
    assert [d is not None for d in found] == [True, False, False]


def test_readings_beyond_the_days_asked_for_still_bridge_them() -> None:
    assert days(spot("03-10T22:00", 20), spot("03-12T10:00", 18), first=11, last=11) == [
        (18, 20, False)
    ]


@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "America/Los_Angeles", "Asia/Kathmandu"])
def test_midnight_is_the_rooms_own(zone: str) -> None:
    found = days(spot("03-10T23:59", 20, zone), spot("03-11T00:00", 18, zone), zone=zone)
    assert found[:2] == [(20, 20, True), (18, 18, True)]


def test_a_day_whose_midnight_the_clock_skips_begins_with_the_change() -> None:
    """Beirut goes from 00:00 to 01:00 on 29 March 2026."""
    zone = "Asia/Beirut"
    change = datetime(2026, 3, 28, 22, tzinfo=UTC)
    assert change.astimezone(ZoneInfo(zone)).hour == 1
    read = (
        Temperature(change - timedelta(minutes=1), 1, 20, 20, spot=True),
        Temperature(change, 2, 18, 18, spot=True),
    )
    found = day_temperatures(read, zone, date(2026, 3, 28), date(2026, 3, 29), LATER)
    assert [d and d.low_c for d in found] == [20, 18]


def test_order_does_not_matter() -> None:
    read = (
        span("03-11T08:00", 18, 22), spot("03-10T22:00", 20), spot("03-13T09:00", 21),
        spot("03-11T21:00", 19),
    )  # fmt: skip
    assert len({tuple(days(*p, drop=2)) for p in permutations(read)}) == 1


readings = st.lists(
    st.builds(
        lambda minutes, low, width, is_spot: Temperature(
            datetime(2026, 3, 9, tzinfo=UTC) + timedelta(minutes=minutes),
            1, low, low if is_spot else low + width, spot=is_spot,
        ),
        st.integers(0, 8 * 1440), st.floats(5, 30), st.floats(0, 6), st.booleans(),
    ),
    max_size=8,
)  # fmt: skip


@given(readings, st.floats(0, 5))
def test_a_day_lies_within_what_was_read(read: list[Temperature], drop: float) -> None:
    for d in day_temperatures(read, LISBON, day(9), day(18), LATER, drop):
        if d is not None:
            assert min(t.low_c for t in read) - drop <= d.low_c <= d.high_c
            assert d.high_c <= max(t.high_c for t in read)


@given(readings, readings)
def test_one_more_reading_never_makes_a_known_day_unknown(
    read: list[Temperature], more: list[Temperature]
) -> None:
    before = day_temperatures(read, LISBON, day(9), day(18), LATER)
    after = day_temperatures([*read, *more], LISBON, day(9), day(18), LATER)
    assert all(b is not None for a, b in zip(before, after, strict=True) if a is not None)
