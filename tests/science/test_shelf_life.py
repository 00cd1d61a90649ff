"""Until when a product is good, against a calendar counted day by day and dateutil."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from intake.science.problem import Problem
from intake.science.shelf_life import Keeps, opened_until, past, read_keeps

DAYS = st.dates(date(2020, 1, 1), date(2035, 12, 31))


@pytest.mark.parametrize(
    ("text", "keeps"),
    [
        ("6 months", Keeps(months=6)),
        ("1 month", Keeps(months=1)),
        ("2 years", Keeps(months=24)),
        ("30 days", Keeps(days=30)),
        ("30d", Keeps(days=30)),
        (" 2  weeks ", Keeps(days=14)),
    ],
)
def test_a_label_is_read(text: str, keeps: Keeps) -> None:
    assert read_keeps(text) == keeps


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("6", "not-a-number"),
        ("soon", "not-a-number"),
        ("-3 months", "not-a-number"),
        ("0 days", "out-of-range"),
        ("99 years", "out-of-range"),
    ],
)
def test_what_is_no_time_once_opened(text: str, code: str) -> None:
    found = read_keeps(text)
    assert isinstance(found, Problem)
    assert found.code == code


@given(DAYS, st.integers(0, 240), st.integers(0, 400))
def test_months_are_those_of_the_calendar(opened: date, months: int, days: int) -> None:
    """Against python-dateutil's relativedelta."""
    expected = opened + relativedelta(months=months) + timedelta(days=days)
    assert opened_until(opened, Keeps(months, days)) == expected


@given(DAYS, DAYS, DAYS, st.integers(1, 24))
def test_it_is_past_the_day_after_the_earlier_of_its_ends(
    day: date, expires: date, opened: date, months: int
) -> None:
    keeps = Keeps(months=months)
    good = day <= min(expires, opened_until(opened, keeps))
    assert (past(day, expires, opened, keeps) == "") == good


def test_without_a_date_nothing_is_past() -> None:
    day = date(2026, 11, 25)
    assert past(day, None, None, None) == ""
    assert past(day, None, date(2001, 1, 1), None) == ""
    assert past(day, None, None, Keeps(days=1)) == ""


def test_why_it_is_past() -> None:
    day = date(2026, 11, 25)
    assert past(day, date(2026, 11, 24), None, None) == "past its date, 2026-11-24"
    told = past(day, None, date(2026, 1, 31), Keeps(months=6))
    assert told == "opened 2026-01-31 and past its life since 2026-07-31"
