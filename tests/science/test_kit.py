"""What a kit leaves open of a reading: steps, errors, dates and what fools it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.kit import (
    by_error,
    by_steps,
    expired,
    fools,
    in_reading,
    meter_half,
    read_steps,
    steps_for,
)
from intake.science.meter import MeterError, read_error
from intake.science.problem import Problem
from intake.science.quantity import Quantity, dilute, read_quantity

CARD = tuple(Decimal(n) for n in ("0", "0.25", "0.5", "1", "2", "4", "8"))
PH = tuple(Decimal(n) for n in ("6.0", "6.4", "6.8", "7.2"))


def _read(text: str, kind: str = "tan") -> Quantity:
    found = read_quantity(text, kind, basis="N" if kind == "tan" else None)
    assert isinstance(found, Quantity)
    return found


def _ends(text: str, steps: tuple[Decimal, ...] = CARD, kind: str = "tan") -> tuple[object, ...]:
    found = by_steps(_read(text, kind), steps)
    assert isinstance(found, Quantity)
    assert found.band
    return tuple(None if end is None else float(end) for end in (found.low, found.high))


@pytest.mark.parametrize(
    ("typed", "low", "high"),
    [
        ("0 mg/L", 0, 0.25),
        ("0.1 mg/L", 0, 0.25),
        ("0.25 mg/L", 0, 0.5),
        ("1 mg/L", 0.5, 2),
        ("1.5 mg/L", 1, 2),
        ("8 mg/L", 4, None),
    ],
)
def test_a_colour_is_between_its_neighbours(typed: str, low: float, high: float | None) -> None:
    assert _ends(typed) == (low, high)


def test_a_card_that_does_not_begin_at_nothing() -> None:
    # pH has no floor: under the first colour nothing is known below.
    assert _ends("6.0", PH, "ph") == (None, 6.4)
    assert _ends("5.5", PH, "ph") == (None, 6.0)
    assert _ends("6.6", PH, "ph") == (6.4, 6.8)
    assert _ends("7.2", PH, "ph") == (6.8, None)
    coloured = tuple(Decimal(n) for n in ("0.5", "1", "2"))
    assert _ends("0 mg/L", coloured) == _ends("0.3 mg/L", coloured) == (0, 0.5)
    assert _ends("0.5 mg/L", coloured) == (0, 1)


def test_over_the_top_colour_is_a_mistake() -> None:
    found = by_steps(_read("16 mg/L"), CARD)
    assert isinstance(found, Problem)
    assert found.code == "out-of-range"
    assert "dilute" in found.hint


@pytest.mark.parametrize("typed", ["0.3..0.4 mg/L", ">8 mg/L", "<0.25 mg/L", "unreadable",
                                   "4 +/- 0.1 mg/L", "16..20 mg/L"])  # fmt: skip
def test_ends_that_were_typed_stay(typed: str) -> None:
    read = _read(typed)
    assert by_steps(read, CARD) == read
    assert by_error(read, Decimal(3)) == read


@given(st.decimals("0", "8", places=3), st.lists(st.decimals("0", "8", places=2), min_size=2,
                                                 max_size=9, unique=True))  # fmt: skip
def test_the_value_is_inside_and_the_ends_are_steps(value: Decimal, steps: list[Decimal]) -> None:
    rising = tuple(sorted(steps))
    found = by_steps(_read(f"{value:f} mg/L"), rising)
    if value > rising[-1]:
        assert isinstance(found, Problem)
        return
    assert isinstance(found, Quantity)
    assert found.low is not None
    assert found.low <= value
    assert found.high is None or (value < found.high and found.high in rising)
    assert found.low == 0 or found.low in rising
    assert (found.high is None) == (value == rising[-1])


def test_the_sample_is_read_first_and_then_its_dilution_undone() -> None:
    read = by_steps(_read("2 mg/L"), CARD)
    assert isinstance(read, Quantity)
    undone = dilute(read, 4)
    assert [undone.value, undone.low, undone.high] == [8, 4, 16]
    top = by_steps(_read("8 mg/L"), CARD)
    assert isinstance(top, Quantity)
    assert [dilute(top, 4).low, dilute(top, 4).high] == [16, None]


@pytest.mark.parametrize(
    ("basis", "factor"),
    # Molar masses N 14.007, NH3 17.031, NH4 18.039 (IUPAC 2021).
    [("N", 1.0), ("NH3", 14.007 / 17.031), ("NH4", 14.007 / 18.039)],
)
def test_steps_are_counted_as_the_kit_reports(basis: str, factor: float) -> None:
    steps = in_reading(CARD, "tan", basis)
    assert [float(s) for s in steps] == pytest.approx([float(s) * factor for s in CARD], rel=1e-4)


def test_degrees_of_hardness_become_their_unit() -> None:
    # One German degree is 10 mg/L CaO: 2 x 10 / 56.0774 = 0.35665 meq/L.
    assert float(in_reading([Decimal(1)], "kh", None)[0]) == pytest.approx(20 / 56.0774, rel=1e-4)


def test_steps_belong_to_one_test_or_say_which() -> None:
    bare = read_steps("0 0.25 0.5")
    assert not isinstance(bare, Problem)
    assert steps_for("tan", ("ph", "tan"), bare) == CARD[:3]
    assert steps_for("ph", ("ph", "tan"), bare) == ()
    assert steps_for("no2", ("no2",), bare) == CARD[:3]
    named = read_steps("tan: 0 0.25 0.5; ph: 6.0 6.4")
    assert not isinstance(named, Problem)
    assert steps_for("ph", ("ph", "tan"), named) == PH[:2]
    assert steps_for("tan", ("ph", "tan"), named) == CARD[:3]
    comma = read_steps("0 0,25 0,5", comma=True)
    assert comma == bare


@pytest.mark.parametrize(
    ("typed", "code"),
    [("0 1 0.5", "out-of-range"), ("1", "out-of-range"), ("", "out-of-range"),
     ("0 1 1", "out-of-range"), ("tans: 0 1", "no-such-name"), ("0 x", "not-a-number"),
     ("tan: 0 1; tan: 0 2", "out-of-range"), ("0 1e3", "not-a-number")],
)  # fmt: skip
def test_steps_that_do_not_read(typed: str, code: str) -> None:
    found = read_steps(typed)
    assert isinstance(found, Problem)
    assert found.code == code


@pytest.mark.parametrize(
    ("typed", "test", "kind", "error", "half"),
    [
        ("7.6", "ph", "ph", None, 0.1),
        ("7.6", "ph", "ph", "0.05 pH", 0.05),
        ("20 C", "temp", "temperature", None, 0.5),
        ("20 C", "temp", "temperature", "0.2 C", 0.2),
        ("3 g/L", "salt", "salt", "1 %", 0.03),
        ("3 g/L", "salt", "salt", None, 0.06),
        ("3 g/L", "salt", "salt", "2 % + 0.1 g/L", 0.16),
        ("6 dKH", "kh", "alkalinity", None, 0.5 * 0.356634),
        ("6 dKH", "kh", "alkalinity", "1 dKH", 0.356634),
        ("8 mg/L", "oxygen", "oxygen", "0.2 mg/L", 0.2),
        ("8 mg/L", "oxygen", "oxygen", "5 %", 0.4),
    ],
)
def test_a_meter_s_half_width(
    typed: str, test: str, kind: str, error: str | None, half: float
) -> None:
    stated = None if error is None else read_error(error)
    assert stated is None or isinstance(stated, MeterError)
    found = meter_half(_read(typed, kind), test, stated, colours=False)
    assert found is not None
    assert float(found[0]) == pytest.approx(half, rel=1e-4)
    read = by_error(_read(typed, kind), found[0])
    assert read.low is not None
    assert read.high is not None
    assert float(read.high - read.low) == pytest.approx(2 * half, rel=1e-4)


def test_an_error_of_another_unit_says_nothing_of_a_ph() -> None:
    for error in (MeterError(5, "uS/cm"), MeterError(0.2, "C"), MeterError(share=0.02)):
        found = meter_half(_read("7.6", "ph"), "ph", error, colours=False)
        assert found is not None
        assert found[0] == Decimal("0.1")
    wider = meter_half(_read("7.6", "ph"), "ph", None, colours=True)
    assert wider is not None
    assert wider[0] == Decimal("0.2")
    assert meter_half(_read("1 mg/L", "no2"), "no2", None, colours=False) is None


def test_a_low_end_never_falls_under_nothing() -> None:
    assert by_error(_read("0.1 mg/L"), Decimal("0.5")).low == 0


def test_the_printed_day_still_counts() -> None:
    day = date(2026, 11, 25)
    assert not expired(day, day)
    assert expired(day, date(2026, 11, 26))
    assert not expired(None, day)


@pytest.mark.parametrize(
    ("word", "treatment", "yes"),
    [
        ("formalin", "formalin", True),
        ("Formalin", "formalin-malachite", True),
        ("formaldehyde", "formalin", True),
        ("binder", "ammonia-binder", True),
        ("ammonia binder", "ammonia-binder", True),
        ("dechlorinator", "thiosulfate", True),
        ("conditioner", "sulfite-conditioner", True),
        ("copper", "copper-sulfate", True),
        ("binder", "thiosulfate", False),
        ("chloramine", "hypochlorite", False),
        ("", "salt", False),
        ("tea", "salt", False),
    ],
)
def test_words_of_a_leaflet_speak_of_treatments(word: str, treatment: str, yes: bool) -> None:
    assert fools(word, treatment) is yes
