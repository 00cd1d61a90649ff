"""Numbers as they are shown and said: no exponent, no 0.00, nothing that reads ten times."""

from __future__ import annotations

import re
from decimal import Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.quantity import Quantity, read_quantity
from intake.science.show import in_words, show, show_quantity, show_range


@pytest.mark.parametrize(
    ("value", "unit", "more", "text"),
    [
        (Decimal("0.75"), "g", {"step": Decimal("0.01")}, "0.75 g"),
        (Decimal("0.50"), "g", {"step": Decimal("0.01")}, "0.5 g"),
        (Decimal("12.34999999"), "g", {"step": Decimal("0.1")}, "12.3 g"),
        (Decimal("12.35"), "g", {"step": Decimal("0.1")}, "12.4 g"),
        (Decimal("0.04"), "g", {"step": Decimal("0.1")}, "0.04 g"),
        (150, "mL", {"step": 50}, "150 mL"),
        (371.6, "L", {"half": 11.3}, "372 ± 11 L"),
        (Decimal("81.0"), "L", {"half": Decimal("3.5")}, "81 ± 3.5 L"),
        (1234, "L", {"half": 112}, "1,234 ± 112 L"),
        (5, "L", {"half": 0}, "5 L"),
        (1250, "L", {}, "1,250 L"),
        (1250, "L", {"group": False}, "1250 L"),
        (Decimal("1250.5"), "L", {"digits": 5, "comma": True}, "1\u00a0250,5 L"),
        (0.004, "mg/L", {}, "0.004 mg/L"),
        (0.0049, "mg/L", {}, "0.0049 mg/L"),
        (1e-05, "g", {}, "0.00001 g"),
        (Decimal("1E-7"), "g", {}, "0.0000001 g"),
        (Decimal("1E+7"), "g", {}, "10,000,000 g"),
        (1234567.0, "g", {}, "1,234,567 g"),
        (0.1 + 0.2, "g", {}, "0.3 g"),
        (1.0, "g", {}, "1 g"),
        (-0.0, "C", {}, "0 C"),
        (-5, "C", {}, "-5 C"),
        (7.45, "", {}, "7.45"),
        (5, "\u00b5g", {}, "5 mcg"),
        (5, "ug/L", {}, "5 mcg/L"),
        (2.675, "g", {}, "2.68 g"),
    ],
)
def test_shown(value: Decimal | float, unit: str, more: dict[str, object], text: str) -> None:
    assert show(value, unit, **more) == text  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("low", "high", "unit", "text"),
    [
        (0.004, 0.006, "mg/L", "0.004 to 0.006 mg/L"),
        (0.00412, 0.00583, "mg/L", "0.0041 to 0.0059 mg/L"),
        (361, 383, "L", "361 to 383 L"),
        (0.9, 1250, "L", "0.9 to 1,250 L"),
        (0, 0.006, "mg/L", "0 to 0.006 mg/L"),
        (None, 0.25, "mg/L", "under 0.25 mg/L"),
        (8, None, "mg/L", "over 8 mg/L"),
        (None, None, "mg/L", "unknown"),
        (2, 2, "mg/L", "2 mg/L"),
        (7.4, 7.8, "", "7.4 to 7.8"),
    ],
)
def test_shown_ranges(low: float | None, high: float | None, unit: str, text: str) -> None:
    assert show_range(low, high, unit) == text


@pytest.mark.parametrize(
    ("typed", "kind", "text"),
    [
        ("40 US gal", "volume", "151 L"),
        ("36 cm +/- 0.5", "length", "36 ± 0.5 cm"),
        ("<0.25 mg/L as N", "tan", "under 0.25 mg/L as N"),
        (">8 mg/L as N", "tan", "over 8 mg/L as N"),
        ("0.5..1 mg/L as N", "tan", "0.5 to 1 mg/L as N"),
        ("7.4..7.8", "ph", "7.4 to 7.8"),
        ("unreadable", "tan", "unreadable"),
    ],
)
def test_a_typed_quantity_is_shown_in_the_unit_it_is_kept_in(
    typed: str, kind: str, text: str
) -> None:
    read = read_quantity(typed, kind)
    assert isinstance(read, Quantity)
    assert show_quantity(read) == text


def test_what_is_no_number_is_never_shown_as_one() -> None:
    for value in (float("nan"), float("inf"), Decimal("NaN")):
        with pytest.raises(ValueError, match="cannot be shown"):
            show(value, "g")
    with pytest.raises(ValueError, match="cannot be shown"):
        show(1, "g", half=float("nan"))


@pytest.mark.parametrize(
    ("number", "unit", "words"),
    [
        ("0.75", "g", "zero point seven five grams"),
        ("7.5", "g", "seven point five grams"),
        ("0.50", "g", "zero point five grams"),
        ("0.05", "mg", "zero point zero five milligrams"),
        ("1", "L", "one litre"),
        ("1.0", "kg", "one kilogram"),
        ("17", "mL", "seventeen millilitres"),
        ("40", "L", "forty litres"),
        ("115", "g", "one hundred and fifteen grams"),
        ("1250", "L", "one thousand two hundred and fifty litres"),
        ("1001", "g", "one thousand and one grams"),
        ("1000001", "g", "one million and one grams"),
        ("21000", "g", "twenty-one thousand grams"),
        ("-3", "C", "minus three C"),
        ("1E+3", "g", "one thousand grams"),
    ],
)
def test_said_in_words(number: str, unit: str, words: str) -> None:
    assert in_words(Decimal(number), unit) == words


def test_what_cannot_be_said_is_refused() -> None:
    for number in (Decimal("NaN"), Decimal("Infinity"), Decimal(10**9)):
        with pytest.raises(ValueError, match="not said"):
            in_words(number, "g")


AMOUNTS = st.decimals(
    min_value=Decimal("1e-9"), max_value=Decimal("1e9"), allow_nan=False, allow_infinity=False
)
# leading zero, no trailing zero, thousands set apart, no exponent, one blank before the unit
LINT = re.compile(r"(0|[1-9][0-9]{0,2}(,[0-9]{3})*)(\.[0-9]*[1-9])? g")


@given(AMOUNTS, st.integers(1, 6))
def test_shown_amounts_keep_to_the_display_rules(value: Decimal, digits: int) -> None:
    text = show(value, "g", digits=digits)
    assert LINT.fullmatch(text), text
    assert text != "0 g"
    shown = Fraction(text.removesuffix(" g").replace(",", ""))
    # rounded at the last figure kept, and no figure before the point is lost
    place = min(Fraction(1), Fraction(10) ** (value.adjusted() - digits + 1))
    assert abs(shown - Fraction(value)) <= max(place, Fraction(0)) / 2


@given(
    st.decimals(min_value=Decimal("0.0001"), max_value=999_999, places=4),
    st.sampled_from(["0.0001", "0.001", "0.01", "0.1", "1"]),
)
def test_what_is_shown_reads_back_to_the_shown_figures(value: Decimal, step: str) -> None:
    text = show(value, "g", step=Decimal(step), group=False)
    read = read_quantity(text, "mass")
    assert isinstance(read, Quantity)
    assert read.value is not None
    assert show(read.value, "g", step=Decimal(step), group=False) == text
    if value >= Decimal(step):
        assert abs(read.value - value) <= Decimal(step) / 2


@given(AMOUNTS.filter(lambda x: x < 999_999 and x > Decimal("1e-8")), st.booleans())
def test_what_is_shown_with_a_comma_reads_back_with_a_comma(value: Decimal, comma: bool) -> None:
    text = show(value, "g", group=False, comma=comma)
    read = read_quantity(text, "mass", comma=comma)
    assert isinstance(read, Quantity), (text, read)
    assert read.value is not None
    assert show(read.value, "g", group=False, comma=comma) == text


@given(AMOUNTS, AMOUNTS)
def test_a_shown_range_holds_what_is_known(one: Decimal, two: Decimal) -> None:
    low, high = sorted((one, two))
    text = show_range(low, high, "g", group=False)
    if low != high:
        ends = [Fraction(end) for end in text.removesuffix(" g").split(" to ")]
        assert ends[0] <= Fraction(low)
        assert ends[1] >= Fraction(high)


def test_showing_does_not_depend_on_the_callers_decimal_settings() -> None:
    with localcontext() as context:
        context.prec = 2
        assert show(Decimal("1234.56"), "L", digits=6) == "1,234.56 L"


WORD_VALUES = {
    "zero": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7,
    "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13,
    "fourteen": 14, "fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18,
    "nineteen": 19, "twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60,
    "seventy": 70, "eighty": 80, "ninety": 90,
}  # fmt: skip


def _heard(words: str) -> Fraction:
    """What a listener writes down."""
    whole_words, _, part_words = words.partition(" point ")
    total = group = 0
    for word in whole_words.replace("-", " ").replace(" and ", " ").split():
        if word == "hundred":
            group *= 100
        elif word in ("thousand", "million"):
            total, group = total + group * (1000 if word == "thousand" else 10**6), 0
        else:
            group += WORD_VALUES[word]
    part = "".join(str(WORD_VALUES[word]) for word in part_words.split())
    return Fraction(total + group) + Fraction(int(part or "0"), 10 ** len(part))


@given(st.decimals(min_value=0, max_value=9_999_999, places=3))
def test_a_listener_writes_down_the_same_number(number: Decimal) -> None:
    words = in_words(number, "g").removesuffix("s").removesuffix(" gram")
    assert _heard(words) == Fraction(number)
