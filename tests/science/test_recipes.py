"""Stocks and dilutions: measurable, dissolved or said not to be, never more than the amount."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.limits import allowed
from intake.science.recipes import Dilution, Stock, dilution, recipe_of, stock_of

D = Decimal
STEPS = st.sampled_from([D("0.01"), D("0.1"), D("0.2"), D("0.5"), D(1), D(5)])


@given(st.decimals("0.001", "100", places=4), STEPS)
def test_a_dilution_holds_the_amount_within_one_per_cent_and_never_more(
    amount: Decimal, step: Decimal
) -> None:
    made = dilution(amount, step)
    if made is None:
        return
    drawn = made.part_ml * made.draw_ml / made.whole_ml
    assert allowed(drawn, amount * D("0.99"), amount)
    for measured in (made.part_ml, made.draw_ml):
        assert (measured / step) % 1 == 0
        assert measured / step >= 10
    assert made.draw_ml <= made.whole_ml <= 2000


@pytest.mark.parametrize(
    ("amount", "step", "said"),
    [
        ("4.5", "1", "10 mL made up to 100 mL with water, of which 45 mL go in"),
        ("0.05", "0.1", "1 mL made up to 20 mL with water, of which 1 mL go in"),
        ("0.3", "0.1", "1 mL made up to 5 mL with water, of which 1.5 mL go in"),
    ],
)
def test_dilutions_worked_out_by_hand(amount: str, step: str, said: str) -> None:
    """4.5 mL, a tenth: 45 mL. 0.05 mL of 1 in 20: 1 mL. 0.3 mL of 1 in 5: 1.5 mL."""
    assert str(dilution(D(amount), D(step))) == said


def test_no_dilution_that_no_bottle_holds() -> None:
    assert dilution(D("0.0001"), D(1)) is None
    assert dilution(D(1), D(50)) is None


@given(
    st.decimals("0.001", "50", places=4),
    st.sampled_from([D("0.001"), D("0.01"), D("0.1"), D(1)]),
    STEPS,
    st.sampled_from([D("0.1"), D(20), D(359)]),
)
def test_a_stock_is_drawn_in_steps_of_the_syringe(
    amount: Decimal, scale: Decimal, syringe: Decimal, solubility: Decimal
) -> None:
    made = stock_of(amount, scale, solubility, syringe)
    if made is None:
        return
    assert (made.draw_ml / syringe) % 1 == 0
    assert made.draw_ml / syringe >= 20
    assert made.draw_ml <= made.water_ml
    drawn = made.solute_g * made.draw_ml / made.water_ml
    assert allowed(drawn, amount * D("0.99"), amount)
    share_g_l = made.solute_g / made.water_ml * 1000
    assert made.suspension == (not allowed(share_g_l, None, solubility))
    if made.suspension:
        assert allowed(share_g_l, None, D(100))


def test_a_finer_syringe_makes_a_smaller_stock_enough() -> None:
    whole = stock_of(D("0.04"), D("0.1"), D(350), D(1))
    tenths = stock_of(D("0.04"), D("0.1"), D(350), D("0.1"))
    assert whole is not None
    assert tenths is not None
    assert (whole.water_ml, tenths.water_ml) == (D(1000), D(100))


def test_the_way_is_told_step_by_step() -> None:
    solid = Stock(D(2), D(100), D(20)).steps("salt")
    assert solid[0] == "weigh 2 g of salt"
    assert "fill up to 100 mL" in solid[1]
    assert "clear" in solid[1]
    assert solid[2] == "draw 20 mL: it holds 0.4 g, the dose"
    cloudy = Stock(D(2), D(100), D(20), suspension=True).steps("praziquantel")
    assert "does not all dissolve" in cloudy[1]
    assert cloudy[2].startswith("shake again and draw at once 20 mL")
    thin = Dilution(D(10), D(100), D(45)).steps("formalin")
    assert thin[0] == "put 90 mL of water into a clean bottle"
    assert "10 mL of formalin into it, 1 part in 10" in thin[1]
    assert thin[2] == "draw 45 mL: it holds 4.5 mL, the dose"
    assert "date" in solid[-1] == thin[-1]


def test_a_recipe_is_of_the_kind_the_amount_is() -> None:
    assert isinstance(recipe_of(D("0.04"), "g", D("0.1"), D(350)), Stock)
    assert isinstance(recipe_of(D("0.05"), "mL", D("0.1"), D(350)), Dilution)
    assert recipe_of(D("0.04"), "g", D("0.1"), None) is None
