"""Times of loggers: clocks that are changed, offsets, twelve hours, times to come."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from intake.flows.imports.moments import DAY_FIRST, Moments, read_offset
from intake.science.problem import Problem
from tests.flows.imports.files import LISBON, days, problems, read


def utc(text: str, where: ZoneInfo = LISBON, order: str = DAY_FIRST) -> str:
    found = Moments(where, order).read(text)
    assert isinstance(found, int), found
    return datetime.fromtimestamp(found, UTC).strftime("%Y-%m-%d %H:%M:%S")


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("2026-07-01 12:00", "2026-07-01 11:00:00"),
        ("2026-07-01T12:00:30.250", "2026-07-01 11:00:30"),
        ("20260701T12:00", "2026-07-01 11:00:00"),
        ("2026-7-1 9:05", "2026-07-01 08:05:00"),
        ("1.7.26 12:00", "2026-07-01 11:00:00"),
        ("01/07/2026, 12:00 AM", "2026-06-30 23:00:00"),
        ("01/07/2026 12:00 p.m.", "2026-07-01 11:00:00"),
        ("1-JUL-2026 01:00pm", "2026-07-01 12:00:00"),
        ("July 1, 2026 13:00", "2026-07-01 12:00:00"),
        ("2026-07-01 12:00 +0530", "2026-07-01 06:30:00"),
        ("2026-07-01 12:00 UTC", "2026-07-01 12:00:00"),
        ("2026-07-01 12:00 GMT-03:00", "2026-07-01 15:00:00"),
    ],
)
def test_times_as_they_are_written(typed: str, expected: str) -> None:
    assert utc(typed) == expected


@pytest.mark.parametrize(
    "typed",
    [
        "", "noon", "2026-02-29 10:00", "2026-13-01 10:00", "31/04/2026 10:00", "2026-03-10",
        "10:00", "2026-03-10 24:00", "2026-03-10 10:61", "2026-03-10 13:00 PM",
        "2026-03-10 0:30 AM", "1926-03-10 10:00", "10 Foo 2026 10:00", "2026-03/10 10:00",
        "=NOW()", "\u0661\u0660/03/2026 10:00", "2026-03-10 10:00 +1:00",
        "9999-12-31 23:00", "2026-03-10 10:00+99:00",
    ],
)  # fmt: skip
def test_what_is_no_time_is_said(typed: str) -> None:
    found = Moments(LISBON, DAY_FIRST).read(typed)
    assert isinstance(found, Problem)
    assert found.code == "no-such-time"


def test_an_hour_the_clocks_skip_is_refused_with_the_way_out() -> None:
    """Lisbon goes from 01:00 to 02:00 on 29 March 2026."""
    rows = "Time,Temp C\n" + "".join(f"2026-03-29 0{h}:30,20\n" for h in range(4))
    (problem,) = problems(rows)
    assert (problem.code, problem.line) == ("no-such-time", 3)
    assert "--offset=+00:00" in problem.hint
    found = read(rows, offset="+00:00")
    assert found.days[0].gap_h == 1
    assert found.days[0].last_utc == datetime(2026, 3, 29, 3, 30, tzinfo=UTC)


AUTUMN = ["00:30", "01:00", "01:30", "01:00", "01:30", "02:00"]


@pytest.mark.parametrize("newest_first", [False, True])
def test_the_hour_that_comes_twice_is_told_by_the_order_of_its_rows(newest_first: bool) -> None:
    """Lisbon has 01:00 to 02:00 twice on 25 October 2026."""
    clocks = AUTUMN[::-1] if newest_first else AUTUMN
    found = read("Time,Temp C\n" + "".join(f"2026-10-25 {c},20\n" for c in clocks))
    (day,) = found.days
    assert (day.rows, day.gap_h, found.doubled) == (6, 0.5, 1)
    assert day.first_utc == datetime(2026, 10, 24, 23, 30, tzinfo=UTC)
    assert day.last_utc == datetime(2026, 10, 25, 2, 0, tzinfo=UTC)


def test_a_row_each_hour_tells_both_rounds_of_the_hour() -> None:
    clocks = ("00:30", "01:30", "01:30", "02:30")
    found = read("Time,Temp C\n" + "".join(f"2026-10-25 {c},20\n" for c in clocks))
    assert found.days[0].gap_h == 1


@pytest.mark.parametrize("where", ["America/New_York", "Australia/Lord_Howe", "Africa/Cairo"])
def test_a_year_of_quarter_hours_is_without_a_gap(where: str) -> None:
    """Written by a clock that follows the zone, in the order in which they passed."""
    zone = ZoneInfo(where)
    start = int(datetime(2025, 6, 1, tzinfo=UTC).timestamp())
    clocks = (datetime.fromtimestamp(start + n * 900, zone) for n in range(365 * 96))
    found = read("Time,Temp C\n" + "".join(f"{c:%Y-%m-%d %H:%M},20\n" for c in clocks), where=zone)
    assert {d.gap_h for d in found.days} == {0.25}
    assert sum(d.rows for d in found.days) == 365 * 96
    assert found.doubled == 1


def test_a_day_ends_at_the_rooms_midnight() -> None:
    rows = "Time,Temp C\n2026-07-01 22:59Z,20\n2026-07-01 23:00Z,21\n"
    assert days(read(rows)) == [("2026-07-01", 20, 20, 1), ("2026-07-02", 21, 21, 1)]
    east = days(read(rows, where=ZoneInfo("Asia/Kathmandu")))
    assert east == [("2026-07-02", 20, 21, 2)]


def test_a_heading_that_names_utc_is_believed() -> None:
    rows = "Time (UTC),Temp C\n2026-07-01 23:30,20\n"
    assert days(read(rows))[0][0] == "2026-07-02"
    named = "Date Time GMT+05:30,Temp C\n2026-07-01 23:30,20\n"
    assert days(read(named))[0][0] == "2026-07-01"


def test_rows_to_come_are_refused() -> None:
    now = datetime(2026, 3, 13, 9, 0, tzinfo=UTC)
    rows = "Time,Temp C\n2026-03-13 09:00,20\n2026-03-13 09:01,20\n"
    with pytest.raises(Exception, match="has not come yet, it is 2026-03-13 09:00") as told:
        read(rows, now=now)
    assert [(p.code, p.line) for p in told.value.problems] == [("in-future", 3)]  # type: ignore[attr-defined]


def test_rows_from_before_the_vessel_are_left_out_and_counted() -> None:
    since = datetime(2026, 3, 13, 9, 0, tzinfo=UTC)
    rows = "Time,Temp C\n2000-01-01 00:00,5\n2026-03-13 08:59,30\n2026-03-13 09:00,20\n"
    found = read(rows, since=since)
    assert (days(found), found.before) == ([("2026-03-13", 20, 20, 1)], 2)
    assert f"{found.before_until:%Y-%m-%d %H:%M}" == "2026-03-13 08:59"


@pytest.mark.parametrize(
    ("typed", "seconds"), [("+01:00", 3600), ("-0330", -12600), ("UTC", 0), ("z", 0)]
)
def test_offsets_typed(typed: str, seconds: int) -> None:
    assert read_offset(typed) == seconds


@pytest.mark.parametrize("typed", ["", "1", "+15:00", "Lisbon", "+01:00 or so"])
def test_what_is_no_offset(typed: str) -> None:
    assert isinstance(read_offset(typed), Problem)
