from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.figures import beyond, figure, time_text
from intake.science.limits import allowed

D = Decimal


@pytest.mark.parametrize(
    ("value", "limit", "text"),
    [
        ("9.5589", "5", "9.56"),
        ("5.00000001", "5", "5.00000001"),
        ("5.0000000001", "5", "5.0000000001"),
        ("4.9999", "5", "4.9999"),
        ("6", "5", "6"),
        ("1234.5", "1234", "1,234.5"),
    ],
)
def test_what_is_over_is_told_with_enough_digits(value: str, limit: str, text: str) -> None:
    assert beyond(D(value), D(limit)) == text


@given(
    st.decimals("0.001", "10000", places=12),
    st.decimals("0.001", "10000", places=3),
)
def test_what_is_not_allowed_never_reads_like_its_limit(value: Decimal, limit: Decimal) -> None:
    if allowed(value, None, limit):
        return
    told, edge = (D(text.replace(",", "")) for text in (beyond(value, limit), figure(limit, 12)))
    assert told > edge


@pytest.mark.parametrize(
    ("hours", "down", "up"),
    [
        ("0", "less than a minute", "less than a minute"),
        ("0.1656", "9 min", "10 min"),  # 0.0069 days
        ("1", "1 h", "1 h"),
        ("23.999", "23 h 59 min", "24 h"),
        ("24.02", "24 h 1 min", "24 h 2 min"),
        ("47.5", "47 h 30 min", "47 h 30 min"),
        ("48", "2 days", "2 days"),
        ("75.1", "3 days 3 h", "3 days 4 h"),
    ],
)
def test_times_are_said_as_people_say_them(hours: str, down: str, up: str) -> None:
    assert time_text(D(hours)) == down
    assert time_text(D(hours), up=True) == up


@given(st.decimals("0", "10000", places=9))
def test_no_time_is_said_longer_than_it_is(hours: Decimal) -> None:
    """Hours down and up again enclose it, so that 23 h 59 min never reads as 24 h."""
    assert _hours(time_text(hours)) <= hours <= _hours(time_text(hours, up=True))


def _hours(text: str) -> Decimal:
    if text == "less than a minute":
        return D(0)
    per = {"days": D(24), "h": D(1), "min": D(1) / 60}
    words = text.split()
    told = sum(D(n) * per[unit] for n, unit in zip(words[::2], words[1::2], strict=True))
    return D(told).quantize(D("1e-12"))
