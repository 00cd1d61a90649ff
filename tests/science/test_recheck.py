from __future__ import annotations

import ast
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science import recheck
from intake.science.amount import (
    StatedStrength,
    bath_added,
    bath_amount,
    counted,
    daily_amount,
)
from intake.science.dose_checks import Limit
from intake.science.dose_setting import Setting, sold_as
from intake.science.dosing import plan_dose
from intake.science.recheck import (
    SoldAs,
    agree,
    bath_again,
    fed_again,
    feed_again,
    raised_again,
)
from intake.science.stored_again import raised_by
from intake.science.treatment import Strength
from tests.science.doses import READ, D, ask, litres, peroxide, praziquantel


def test_the_second_working_shares_no_code_with_the_first() -> None:
    tree = ast.parse(Path(recheck.__file__).read_text(encoding="utf-8"))
    imported = [n.module or "" for n in ast.walk(tree) if isinstance(n, ast.ImportFrom)]
    imported += [a.name for n in ast.walk(tree) if isinstance(n, ast.Import) for a in n.names]
    assert set(imported) == {"__future__", "dataclasses", "decimal", "fractions"}


@pytest.mark.parametrize(
    ("off", "same"), [("0", True), ("1e-9", True), ("1.0001e-9", False), ("-1.0001e-9", False)]
)
def test_a_billionth_of_the_amount_is_the_same(off: str, same: bool) -> None:
    again = Fraction(620)
    assert agree(Decimal(620) * (1 + Decimal(off)), again) is same


POWDER = SoldAs("powder", D(100), "% w/w", D(1), None, D(98), "% w/w")
WEAK = SoldAs("liquid", D(3), "% w/v", D("0.03"), None, D(3), "% w/v")
FORMALIN = SoldAs("liquid", D(37), "% w/w", D(1), None, D(37), "% w/w")
STRONG = SoldAs("liquid", D(35), "% w/w", D("0.35"), D("1.1317"), D("396.095"), "mg/mL")


@pytest.mark.parametrize("amount", ["0.001", "0.000000001"])
def test_a_small_amount_has_no_more_room_than_a_large_one(amount: str) -> None:
    assert agree(D(amount) * D("1.0000000005"), Fraction(amount))
    assert not agree(D(amount) * D("1.0000000015"), Fraction(amount))


def test_next_to_nothing_and_nothing_are_the_same() -> None:
    """Under a billionth of a billionth of a gram two workings of nothing do not differ."""
    assert agree(D("5E-19"), Fraction(0))
    assert not agree(D("2E-18"), Fraction(0))


def test_by_hand() -> None:
    assert bath_again(D(2), D(0), D(310), "g/L", POWDER, by_product=True) == 620
    assert bath_again(D(2), D("0.5"), D(196), "mg/L", POWDER, by_product=False) == Fraction(3, 10)
    assert bath_again(D(15), D(0), D(310), "uL/L", FORMALIN, by_product=True) == Fraction(465, 100)
    assert bath_again(D(30), D(0), D(100), "mg/L", WEAK, by_product=False) == 100
    strong = bath_again(D(30), D(0), D(100), "mg/L", STRONG, by_product=False)
    assert float(strong) == pytest.approx(3000 / 396.095)
    assert bath_again(D(2), D(3), D(310), "g/L", POWDER, by_product=True) == 0
    assert feed_again(D(50), D(980), POWDER, by_product=False) == Fraction(5, 100)


@given(
    target=st.decimals("0.01", "30", places=4),
    already=st.decimals("0", "30", places=4),
    volume=st.decimals("0.5", "20000", places=3),
    value=st.decimals("91", "109", places=2),
    unit=st.sampled_from(["mg/L", "g/L"]),
)
def test_both_workings_agree_for_powders(
    target: Decimal, already: Decimal, volume: Decimal, value: Decimal, unit: str
) -> None:
    sold = SoldAs("powder", D(100), "% w/w", D(1), None, value, "% w/w")
    product = counted(praziquantel(), StatedStrength(value, "% w/w"))
    amount = bath_amount(max(target - already, Decimal(0)), unit, volume, product)
    assert agree(amount, bath_again(target, already, volume, unit, sold, by_product=False))
    fed = daily_amount(target, volume, product)
    assert agree(fed, feed_again(target, volume, sold, by_product=False))


@pytest.mark.parametrize(
    ("value", "unit"), [("3", "% w/v"), ("31", "mg/mL"), ("35", "% w/w"), ("390", "mg/mL")]
)
@given(volume=st.decimals("1", "9000", places=2))
def test_both_workings_agree_for_liquids(value: str, unit: str, volume: Decimal) -> None:
    answer = plan_dose(
        ask(
            peroxide(),
            volume=litres(str(volume)),
            strength=StatedStrength(D(value), unit),
        )
    )
    per_ml = {"% w/v": 10.0, "mg/mL": 1.0, "% w/w": 11.317}[unit] * float(value)
    assert float(answer.amount) == pytest.approx(20 * float(volume) / per_ml, rel=1e-9)


def test_a_slip_in_the_first_working_is_a_fault_not_a_dose(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def slipped(*_: object) -> Decimal:
        return Decimal("1.21")

    monkeypatch.setattr("intake.science.dose_setting.bath_amount", slipped)
    with pytest.raises(ArithmeticError, match="differ"):
        plan_dose(ask(praziquantel()))


@pytest.mark.parametrize(
    ("label", "unit", "told"),
    [
        ("396.1", "mg/mL", ("liquid", D(35), "% w/w", D("0.35"), D("396.1"), "mg/mL")),
        ("3", "% w/v", ("liquid", D(3), "% w/v", D("0.03"), D(3), "% w/v")),
    ],
)
def test_the_second_working_is_told_the_form_and_the_label_as_they_stand(
    label: str, unit: str, told: tuple[object, ...]
) -> None:
    sold = sold_as(counted(peroxide(), StatedStrength(D(label), unit)))
    assert (
        sold.state, sold.form_value, sold.form_unit, sold.counts_as, sold.label_value,
        sold.label_unit,
    ) == told  # fmt: skip


def test_a_bare_per_cent_on_a_label_is_meant_as_the_form_is_sold() -> None:
    sold = sold_as(counted(praziquantel(), StatedStrength(D(99), "%")))
    assert (sold.state, sold.label_value, sold.label_unit) == ("powder", D(99), "% w/w")


@pytest.mark.parametrize(
    ("label", "state", "raised"),
    [
        (StatedStrength(D(50), "% w/w"), "powder", "10"),
        (StatedStrength(D(25), "mg/mL"), "liquid", "0.5"),
        (StatedStrength(D(5), "% w/v"), "liquid", "1"),
    ],
)
def test_a_label_without_a_form_is_worked_back_alike(
    label: StatedStrength, state: str, raised: str
) -> None:
    """2 g of half strength in 100 L are 10 mg/L; 2 mL of 25 mg/mL half a mg/L."""
    product = counted(replace(praziquantel(), strengths=()), label)
    sold = sold_as(product)
    assert sold.state == state
    again = raised_again(D(2), D(100), "mg/L", sold, False)
    assert again == Fraction(raised)
    assert agree(bath_added(D(2), "mg/L", D(100), product), again)


def test_a_feed_has_no_water_to_reckon_with() -> None:
    course = praziquantel().courses[1]
    held = Setting(
        ask(praziquantel(), volume=None), course, counted(praziquantel()), Limit(D(75), READ)
    )
    assert held.feed
    with pytest.raises(ValueError, match="only a bath"):
        _ = held.water


SPIRIT = SoldAs("liquid", D(96), "% v/v", D("0.96"), None, D(93), "% v/v")
"""Spirit of 96 % by volume in the protocol, 93 % on this label."""
POWDER = SoldAs("powder", D(100), "% w/w", D(1), None, D(98), "% w/w")


@pytest.mark.parametrize(
    ("amount", "unit", "sold", "by_product", "raised"),
    [
        # 10 mL of 93 % are 9.3 mL in 100 L; where the product itself counts, 9.6 of its form
        ("10", "uL/L", SPIRIT, False, "93"),
        ("10", "uL/L", SPIRIT, True, "96"),
        # 2 g of 98 % in 100 L are 19.6 mg/L
        ("2", "mg/L", POWDER, False, "19.6"),
        ("2", "g/L", POWDER, False, "0.0196"),
        ("2", "mg/L", POWDER, True, "20"),
    ],
)
def test_both_ways_of_the_second_working_by_hand(
    amount: str, unit: str, sold: SoldAs, by_product: bool, raised: str
) -> None:
    assert raised_again(D(amount), D(100), unit, sold, by_product) == Fraction(raised)
    assert bath_again(D(raised), D(0), D(100), unit, sold, by_product) == Fraction(amount)
    assert bath_again(D(raised) + 3, D(3), D(100), unit, sold, by_product) == Fraction(amount)


def test_grams_in_a_hundred_millilitres_are_read_as_by_volume() -> None:
    """3 g in 100 mL is 3 % by volume: 10 mL of it bring 3 mg/L to 100 L."""
    sold = SoldAs("liquid", D(3), "% w/v", D("0.03"), None, D(3), "g/100 mL")
    assert raised_again(D(10), D(100), "mg/L", sold, False) == 3


def test_a_feed_by_hand_there_and_back() -> None:
    """10 mg of 98 % for 200 g of fish are 49 mg/kg."""
    assert feed_again(D(49), D(200), POWDER, False) == Fraction("0.01")
    assert fed_again(D("0.01"), D(200), POWDER, False) == 49


def test_a_label_by_weight_without_a_density_brings_nothing_by_volume() -> None:
    """No density is never taken for that of water: the second working then fails the first."""
    bare = SoldAs("liquid", D(35), "% w/w", D("0.35"), None, D(35), "% w/w")
    assert raised_again(D(10), D(100), "mg/L", bare, False) == 0


def test_a_label_a_little_under_its_form_is_stored_as_it_was_dosed() -> None:
    """Spirit of 93 % where the protocol has 96 %: worked back it is what it was worked out for."""
    form = Strength("spirit", D(96), "% v/v", D("0.96"), "liquid", usual=True)
    treatment = replace(peroxide(), strengths=(form,))
    label = counted(treatment, StatedStrength(D(93), "% v/v"))
    assert raised_by(treatment, "uL/L", D(10), D(100), label) == 93
