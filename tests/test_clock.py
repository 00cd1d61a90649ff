"""Times as keepers type them; the changes of the clocks are those of the public tz database."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake import clock
from intake.clock import Clock
from intake.science.problem import Problem

NOW = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
LISBON = ZoneInfo("Europe/Lisbon")
NEW_YORK = ZoneInfo("America/New_York")


def read(text: str, where: ZoneInfo = LISBON, now: datetime = NOW) -> datetime:
    found = clock.read_time(text, where, now=now)
    assert isinstance(found, datetime), found
    return found


def problem(text: str, where: ZoneInfo = LISBON, now: datetime = NOW) -> Problem:
    found = clock.read_time(text, where, now=now)
    assert isinstance(found, Problem), found
    return found


@pytest.mark.parametrize(
    ("text", "utc"),
    [
        ("2026-11-25 18:40", "2026-11-25T18:40:00Z"),
        ("2026-07-25 18:40", "2026-07-25T17:40:00Z"),
        ("2026-07-25T18:40", "2026-07-25T17:40:00Z"),
        ("2026-07-25 18:40:59", "2026-07-25T17:40:59Z"),
        ("2026-07-25 18:40Z", "2026-07-25T18:40:00Z"),
        ("2026-07-25 18:40+05:30", "2026-07-25T13:10:00Z"),
        ("2026-07-25 18:40-03:00", "2026-07-25T21:40:00Z"),
        ("  2026-07-25 18:40 ", "2026-07-25T17:40:00Z"),
        ("2024-02-29", "2024-02-29T00:00:00Z"),
        ("2026-07-25", "2026-07-24T23:00:00Z"),
        ("2000-01-01 00:00", "2000-01-01T00:00:00Z"),
        ("2028-12-31 23:59", "2028-12-31T23:59:00Z"),
    ],
)
def test_a_time_in_the_rooms_zone_or_with_its_offset(text: str, utc: str) -> None:
    assert clock.utc_text(read(text)) == utc
    assert clock.from_utc_text(utc) == read(text)


@pytest.mark.parametrize(
    ("text", "last"),
    [
        ("2026-02-29", "2026-02-28"),
        ("2026-02-30", "2026-02-28"),
        ("2024-02-30", "2024-02-29"),
        ("2100-02-29", "2100-02-28"),
        ("2026-04-31 08:00", "2026-04-30"),
        ("2026-12-32", "2026-12-31"),
        ("2026-01-00", "2026-01-31"),
    ],
)
def test_a_day_that_does_not_exist_names_the_months_last(text: str, last: str) -> None:
    found = problem(text, now=datetime(2099, 1, 1, tzinfo=UTC) if text[:4] == "2100" else NOW)
    assert found.code == "no-such-time"
    assert last in found.hint


@pytest.mark.parametrize(
    "text",
    [
        *("2026-13-01", "2026-00-10", "01/02/2026", "1.5", "10", "May", "tomorrow", "today", ""),
        *("20260228", "2026-W09-6", "2026-059", "26-02-28", "2026-2-28", "2026-02-28 8:00"),
        *("2026-02-28 24:00", "2026-02-28 12:60", "2026-02-28 12:00:60", "2026-02-28 12"),
        *("2026-02-28 12:00 +01:00", "2026-02-28 12:00+0100", "2026-02-28 12:00+01"),
        *("2026-02-28 12:00+15:00", "2026-02-28 12:00+01:60", "2026-02-28  12:00"),
        *("0226-02-28", "1926-02-28", "1999-12-31", "2029-01-01", "2206-02-28"),
        *("２０２６-02-28", "2026-02-2٨", "2026-02-28\x00", "2026-02-28 12:00\n2026-02-28"),
        *("-2026-02-28", "+2026-02-28", "2026-02-28 12:00:00.5", "x" * 100_000),
    ],
)
def test_anything_else_is_a_problem_that_shows_little_of_it(text: str) -> None:
    found = problem(text)
    assert found.code == "no-such-time"
    assert found.hint
    assert len(found.text) < 120


def test_a_date_has_no_time_and_no_offset() -> None:
    assert clock.read_date("2026-11-25", now=NOW) == date(2026, 11, 25)
    for text in (
        "2026-11-25 08:00",
        "2026-11-25Z",
        "2026-11-25+05:00",
        "2026-02-29",
        "25-11-2026",
    ):
        found = clock.read_date(text, now=NOW)
        assert isinstance(found, Problem)
        assert found.code == "no-such-time"


SKIPPED = [
    ("America/New_York", "2026-03-08 02:30", "2026-03-08 03:30"),
    ("Europe/Lisbon", "2026-03-29 01:30", "2026-03-29 02:30"),
    ("Australia/Lord_Howe", "2026-10-04 02:15", "2026-10-04 02:45"),
    ("Asia/Beirut", "2026-03-29 00:00", "2026-03-29 01:00"),
    ("Africa/Cairo", "2026-04-24 00:30", "2026-04-24 01:30"),
    ("America/Havana", "2026-03-08 00:15", "2026-03-08 01:15"),
    ("America/Santiago", "2026-09-06 00:00", "2026-09-06 01:00"),
    ("Pacific/Apia", "2011-12-30 12:00", "2011-12-31 12:00"),
]
"""(zone, a wall time the clocks go forward over, the same instant by the clocks after it)."""


@pytest.mark.parametrize(("zone", "skipped", "after"), SKIPPED)
def test_a_time_the_clocks_go_forward_over(zone: str, skipped: str, after: str) -> None:
    found = problem(skipped, ZoneInfo(zone))
    assert found.code == "no-such-time"
    assert after in found.hint
    assert read(after, ZoneInfo(zone)).astimezone(ZoneInfo(zone)).isoformat(" ")[:16] == after


TWICE = [
    ("America/New_York", "2026-11-01 01:30", ("-04:00", "-05:00"), 60),
    ("Europe/Lisbon", "2026-10-25 01:30", ("+01:00", "+00:00"), 60),
    ("Australia/Lord_Howe", "2026-04-05 01:45", ("+11:00", "+10:30"), 30),
    ("America/Havana", "2026-11-01 00:30", ("-04:00", "-05:00"), 60),
    ("Africa/Cairo", "2026-10-29 23:30", ("+03:00", "+02:00"), 60),
]


@pytest.mark.parametrize(("zone", "text", "offsets", "apart_min"), TWICE)
def test_a_time_that_comes_twice_needs_its_offset(
    zone: str, text: str, offsets: tuple[str, str], apart_min: int
) -> None:
    found = problem(text, ZoneInfo(zone))
    assert found.code == "ambiguous-time"
    assert all(text + offset in found.hint for offset in offsets)
    first, second = (read(text + offset, ZoneInfo(zone)) for offset in offsets)
    assert second - first == timedelta(minutes=apart_min)
    for moment in (first, second):
        assert moment.astimezone(ZoneInfo(zone)).isoformat(" ")[:16] == text


@pytest.mark.parametrize(
    ("zone", "day", "begins"),
    [
        ("Asia/Beirut", "2026-03-29", "2026-03-29 01:00"),
        ("Africa/Cairo", "2026-04-24", "2026-04-24 01:00"),
        ("America/Havana", "2026-03-08", "2026-03-08 01:00"),
        ("America/Santiago", "2026-09-06", "2026-09-06 01:00"),
        ("Europe/Lisbon", "2026-03-29", "2026-03-29 00:00"),
    ],
)
def test_a_date_begins_where_its_midnight_would_be(zone: str, day: str, begins: str) -> None:
    where = ZoneInfo(zone)
    moment = read(day, where)
    assert moment.astimezone(where).isoformat(" ")[:16] == begins
    assert (moment - timedelta(seconds=1)).astimezone(where).date() < date.fromisoformat(day)


def test_a_midnight_that_comes_twice_is_the_first() -> None:
    where = ZoneInfo("America/Havana")
    assert clock.utc_text(read("2026-11-01", where)) == "2026-11-01T04:00:00Z"


def test_a_day_that_a_zone_left_out_does_not_exist_there() -> None:
    """Samoa went from 29 to 31 December 2011 when it changed sides of the date line."""
    where = ZoneInfo("Pacific/Apia")
    assert problem("2011-12-30", where).code == "no-such-time"
    assert read("2011-12-31", where) - read("2011-12-29", where) == timedelta(days=1)
    assert clock.read_date("2011-12-30", now=NOW) == date(2011, 12, 30)


ZONES = sorted({zone for zone, *_ in SKIPPED} | {zone for zone, *_ in TWICE} | {"UTC"})
MOMENTS = st.datetimes(datetime(2001, 1, 1), datetime(2028, 12, 30)).map(  # noqa: DTZ001
    lambda moment: moment.replace(second=0, microsecond=0, tzinfo=UTC)
)


@given(MOMENTS, st.sampled_from(ZONES))
def test_every_minute_is_read_back_from_its_wall_time_and_offset(
    moment: datetime, zone: str
) -> None:
    where = ZoneInfo(zone)
    wall = moment.astimezone(where).isoformat(" ")
    typed = wall[:16] + wall[19:]
    assert read(typed, where) == moment
    plain = clock.read_time(wall[:16], where, now=NOW)
    assert plain == moment or (isinstance(plain, Problem) and plain.code == "ambiguous-time")
    assert clock.local_date(moment, where).isoformat() == wall[:10]
    assert clock.from_utc_text(clock.utc_text(moment)) == moment


@given(st.text(max_size=30))
def test_no_text_breaks_the_reader(text: str) -> None:
    assert isinstance(clock.read_time(text, LISBON, now=NOW), datetime | Problem)
    assert isinstance(clock.read_date(text, now=NOW), date | Problem)


@pytest.mark.parametrize(
    "name", ["Europe/Lissabon", "", "../etc/passwd", "/etc/localtime", "Europe", "\x00", "\udc80"]
)
def test_a_zone_that_is_not_one(name: str) -> None:
    found = clock.zone(name)
    assert isinstance(found, Problem)
    assert found.code == "no-such-name"


def test_the_clock_can_be_told_and_counts_whole_seconds() -> None:
    told = Clock(datetime(2026, 11, 25, 13, 0, 7, 900_000, tzinfo=LISBON))
    assert told.now() == datetime(2026, 11, 25, 13, 0, 7, tzinfo=UTC)
    now = Clock().now()
    assert now.tzinfo is UTC
    assert now.microsecond == 0


def test_this_computers_zone_is_a_zone() -> None:
    assert not isinstance(clock.zone(clock.local_zone_name()), Problem)
