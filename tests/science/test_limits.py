from __future__ import annotations

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.ceilings import CEILINGS, Ceiling, ceiling
from intake.science.limits import allowed, compare, twelve

D = Decimal


@pytest.mark.parametrize(
    ("value", "inside"),
    [
        ("25", True),
        ("25.0000000000", True),
        ("25.0000000001", False),  # the 12th digit
        ("24.9999999999", True),
        ("25.00000000001", True),  # finer than any comparison
        ("1", True),
        ("0.999999999999", False),
        ("0.9999999999999", True),
        ("NaN", False),
        ("sNaN", False),
        ("Infinity", False),
        ("-Infinity", False),
    ],
)
def test_both_ends_are_allowed_and_the_next_digit_is_not(value: str, inside: bool) -> None:
    assert allowed(D(value), D(1), D(25)) is inside


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_not_finite_is_never_allowed(value: float) -> None:
    assert not allowed(value, None, None)
    assert not allowed(1, value, None)
    assert not allowed(1, None, value)


def test_one_end_that_is_not_finite_allows_nothing_whatever_the_other_is() -> None:
    assert allowed(1, 0, math.inf) is False
    assert allowed(1, -math.inf, 2) is False
    assert allowed(math.nan, 0, 2) is False


def test_an_open_end_lets_everything_finite_pass() -> None:
    assert allowed(D("1e30"), 0, None)
    assert allowed(D("-1e30"), None, 0)
    assert not allowed(-1, 0, None)
    assert not allowed(1, None, 0)


def test_one_ulp_of_a_float_is_no_difference_and_a_digit_is() -> None:
    """B25: a float worked back from its own amount is over its limit in one case of twenty."""
    assert allowed(math.nextafter(25.0, 26.0), None, D(25))
    assert not allowed(25.0000000001, None, D(25))


@given(limit=st.floats(1e-6, 1e6), volume=st.floats(1e-3, 1e5))
def test_a_limit_worked_back_through_its_amount_is_met(limit: float, volume: float) -> None:
    assert allowed(limit * volume / volume, None, limit)


@given(
    st.decimals(allow_nan=False, allow_infinity=False, places=6, min_value=-9999, max_value=9999)
)
def test_comparing_is_an_order(value: Decimal) -> None:
    assert compare(value, value) == 0
    assert compare(value, value + 1) == -1
    assert compare(value + 1, value) == 1


def test_comparing_needs_numbers() -> None:
    with pytest.raises(ValueError, match="finite"):
        compare(D("NaN"), 1)
    with pytest.raises(ValueError, match="finite"):
        compare(1, math.inf)


def test_twelve_digits() -> None:
    assert twelve(D("1.23456789012345")) == D("1.23456789012")
    assert twelve(0.1) == D("0.1")


# -- ceilings ------------------------------------------------------------------------------------

LC50 = {
    # goldfish, 96 h: iasj 90258
    "salt": ("g/L", D("10.96")),
    # zebrafish, 96 h: Zuskova et al. 2022, Vet Med 67:579
    "praziquantel": ("mg/L", D("30.4")),
    # goldfish formaldehyde 35 mg/L = about 87 uL/L formalin: EnviroTox 2.0
    "formalin": ("uL/L", D(87)),
    # silver perch at 30 C: Lin 2003
    "methylene-blue": ("mg/L", D("5.8")),
    "trichlorfon": ("mg/L", D("0.92")),
}


@pytest.mark.parametrize("name", LC50)
def test_a_ceiling_without_an_end_is_under_the_published_lc50(name: str) -> None:
    unit, deadly = LC50[name]
    found = ceiling(name, unit, None, ("adult",))
    assert found is not None
    assert found.value < deadly


@pytest.mark.parametrize(
    ("name", "unit", "hours", "stages", "value"),
    [
        ("salt", "g/L", None, ("adult",), "10"),
        ("salt", "g/L", D(10) / 60, ("adult",), "30"),  # UF VM86, Merck: 10 min
        ("salt", "g/L", D("0.17"), ("adult",), "10"),
        ("salt", "mg/L", None, ("adult",), "10000"),
        ("formalin", "uL/L", None, ("adult",), "25"),  # FDA label
        ("formalin", "uL/L", D(1), ("adult",), "250"),
        ("formalin", "uL/L", D("1.001"), ("adult",), "25"),
        ("formalin", "uL/L", D("0.25"), ("eggs",), "2000"),
        ("formalin", "uL/L", D("0.25"), ("eggs", "fry"), "250"),
        ("formalin", "uL/L", D("0.25"), ("adult",), "250"),
        ("praziquantel", "mg/L", D(3), ("adult",), "10"),
        ("copper-sulfate", "mg/L", None, ("adult",), "0.9"),
    ],
)
def test_the_ceiling_for_a_course(
    name: str, unit: str, hours: Decimal | None, stages: tuple[str, ...], value: str
) -> None:
    found = ceiling(name, unit, hours, stages)
    assert found is not None
    assert found.value == D(value)
    assert found.unit == unit


STANDING = """
salt 10 g/L; salt 30 g/L 0.167
formalin 25 uL/L; formalin 250 uL/L 1; formalin 2000 uL/L 0.25 eggs
formalin-malachite 25 uL/L
malachite-green 0.2 mg/L
methylene-blue 5 mg/L
potassium-permanganate 6 mg/L; potassium-permanganate 10 mg/L 1
potassium-permanganate 25 mg/L 0.5
hydrogen-peroxide 6 mg/L; hydrogen-peroxide 100 mg/L 1
hydrogen-peroxide 25 mg/L eggs; hydrogen-peroxide 1000 mg/L 0.25 eggs
chloramine-t 5 mg/L; chloramine-t 20 mg/L 1
praziquantel 10 mg/L
copper-sulfate 0.9 mg/L; copper-chelated 0.23 mg/L
trichlorfon 0.75 mg/L
emamectin 0.05 mg/L; emamectin 0.2 mg/L 3
iodophor 100 mg/L 0.25 eggs
"""
"""Each as its source has it: treatment, most, unit, longest course [h], nothing but eggs."""


def test_no_ceiling_moves_unseen() -> None:
    rows = {tuple(row.split()) for row in STANDING.replace("\n", ";").split(";") if row.strip()}
    held = {
        (
            name,
            f"{one.value}",
            one.unit,
            *([] if one.longest_h is None else [f"{one.longest_h}"]),
            *(["eggs"] if one.eggs_only else []),
        )
        for name, several in CEILINGS.items()
        for one in several
    }
    assert held == rows
    assert sum(map(len, CEILINGS.values())) == len(rows)


def test_a_ceiling_in_another_unit_of_mass_is_the_same_and_keeps_its_source() -> None:
    """Copper 0.9 mg/L is 0.0009 g/L; a volume of product is no mass."""
    found = ceiling("copper-sulfate", "g/L", None, ("adult",))
    assert found is not None
    assert (found.value, found.unit) == (D("0.0009"), "g/L")
    assert found.source == CEILINGS["copper-sulfate"][0].source
    assert ceiling("iodophor", "g/L", D("0.25"), ("eggs",)) == Ceiling(
        D("0.1"), "g/L", D("0.25"), CEILINGS["iodophor"][0].source, eggs_only=True
    )
    assert ceiling("formalin", "mg/L", None, ("adult",)) is None
    assert ceiling("iodophor", "mg/L", D("0.25"), ("adult",)) is None


def test_a_length_under_nothing_is_no_short_course() -> None:
    found = ceiling("formalin", "uL/L", D(-1), ("adult",))
    assert found is not None
    assert found.value == 25


def test_a_feed_or_an_unknown_treatment_has_no_ceiling() -> None:
    assert ceiling("praziquantel", "mg/kg/d", None, ("adult",)) is None
    assert ceiling("my-own", "mg/L", None, ("adult",)) is None


def test_every_ceiling_was_read_in_a_source() -> None:
    for held in CEILINGS.values():
        for one in held:
            assert one.source.mark == "published"
            assert one.source.text
            assert one.value > 0
