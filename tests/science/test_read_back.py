"""A number said digit by digit, and found in somebody's words."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.read_back import digits_of, numbers_in, read_back, said_in

DIGITS = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"]
AMOUNTS = st.decimals(Decimal("0.001"), Decimal(100_000), places=3)


@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [
        ("50", "mg/kg/d", "5 0 mg/kg/d: five, zero"),
        ("0.2", "mg/L", "0 . 2 mg/L: zero, point, two"),
        ("100.00", "mg/L", "1 0 0 mg/L: one, zero, zero"),
        ("1E+2", "g/L", "1 0 0 g/L: one, zero, zero"),
    ],
)
def test_every_digit_is_said(value: str, unit: str, said: str) -> None:
    assert read_back(Decimal(value), unit) == said


@given(AMOUNTS)
def test_what_was_said_is_the_number_again(value: Decimal) -> None:
    said = read_back(value, "mg/L").partition(": ")[2].split(", ")
    figures = "".join("." if word == "point" else str(DIGITS.index(word)) for word in said)
    assert Decimal(figures) == value
    assert "".join(digits_of(value)) == figures


@given(AMOUNTS)
def test_a_slip_of_ten_never_sounds_the_same(value: Decimal) -> None:
    assert read_back(value, "mg/L") != read_back(value * 10, "mg/L")


@pytest.mark.parametrize(
    ("words", "value", "found"),
    [
        ("50 mg/kg once a day for 10 days", "50", True),
        ("50 mg/kg once a day for 10 days", "5", False),
        ("50mg/kg", "50", True),
        ("give 0,5 mg/L", "0.5", True),
        ("give 1,000 mg", "1000", True),
        ("twenty milligrams a litre", "20", True),
        ("a hundred", "100", True),
        ("batch 2026-11-05, all of them", "500", False),
        ("1.2.3", "1.2", False),
        ("as we spoke", "15", False),
    ],
)
def test_whether_words_say_a_number(words: str, value: str, found: bool) -> None:
    assert said_in(Decimal(value), words) is found


@given(AMOUNTS, st.sampled_from(("{} mg/L", "give {}mg/kg daily", "dose: {}.")))
def test_a_number_put_into_words_is_found(value: Decimal, words: str) -> None:
    plain = "".join(digits_of(value))
    assert said_in(value, words.format(plain))


@given(st.text(max_size=60))
def test_any_words_are_read_without_a_fault(words: str) -> None:
    assert all(number.is_finite() for number in numbers_in(words))
