from __future__ import annotations

import ast
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science import recheck
from intake.science.amount import StatedStrength, bath_amount, counted, daily_amount
from intake.science.dose_checks import Limit
from intake.science.dose_setting import Setting, sold_as
from intake.science.dosing import plan_dose
from intake.science.recheck import SoldAs, agree, bath_again, feed_again
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


def test_a_feed_has_no_water_to_reckon_with() -> None:
    course = praziquantel().courses[1]
    held = Setting(
        ask(praziquantel(), volume=None), course, counted(praziquantel()), Limit(D(75), READ)
    )
    assert held.feed
    with pytest.raises(ValueError, match="only a bath"):
        _ = held.water
