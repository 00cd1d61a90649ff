from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.limits import allowed
from intake.science.tools import CannotMeasure, Tool, finer_step, measure, stock, whole_steps

D = Decimal
SCALE = Tool("the 0.1 g scale", D("0.1"), "g")
FINE = Tool("the 0.01 g scale", D("0.01"), "g")
SYRINGE = Tool("the 5 mL syringe", D("0.2"), "mL")


def test_seven_tenths_are_seven_steps() -> None:
    """In binary floats floor(0.7 / 0.1) is 6 (safety V9)."""
    assert whole_steps(D("0.7"), D("0.1"), margin="narrow").steps == 7


@pytest.mark.parametrize(
    ("amount", "margin", "steps"),
    [
        ("1.09", "narrow", 10),
        ("1.09", "wide", 11),
        ("1.05", "wide", 10),  # a half goes down
        ("1.0500000001", "wide", 11),
        ("1.0", "narrow", 10),
        ("1.0", "wide", 10),
    ],
)
def test_narrow_goes_down_and_wide_to_the_nearest(amount: str, margin: str, steps: int) -> None:
    measured = whole_steps(D(amount), D("0.1"), margin=margin)
    assert measured.steps == steps
    assert measured.amount == D("0.1") * steps


def test_the_error_is_signed_and_of_the_amount_asked() -> None:
    assert whole_steps(D("0.75"), D("0.1"), margin="narrow").rounding_percent == D("-5") / D(
        "0.75"
    )
    assert whole_steps(D("0.98"), D("0.1"), margin="wide").rounding_percent > 0


def test_rounding_never_passes_what_is_most() -> None:
    assert whole_steps(D("1.09"), D("0.1"), margin="wide", most=D("1.1")).steps == 11
    assert whole_steps(D("1.09"), D("0.1"), margin="wide", most=D("1.0999999999")).steps == 10


@pytest.mark.parametrize(
    ("amount", "passes"), [("0.06", False), ("0.0909090909091", True), ("0.09", False)]
)
def test_rounding_up_is_held_to_a_tenth_too(amount: str, passes: bool) -> None:
    if passes:
        assert measure(D(amount), "g", SCALE, margin="wide").steps == 1
    else:
        with pytest.raises(CannotMeasure):
            measure(D(amount), "g", SCALE, margin="wide")


def test_the_smallest_stock_that_fits_is_the_one_offered() -> None:
    recipe = stock(D("0.02"), FINE, D("0.1"))
    assert recipe is not None
    assert (recipe.solute_g, recipe.water_ml, recipe.draw_ml) == (D("0.2"), D(2000), D(200))
    edge = stock(D("0.4"), FINE, D(350))  # 20 mL of 2 % in 100 mL is the least that is drawn
    assert edge is not None
    assert str(edge) == "0.4 g made up to 100 mL, of which 100 mL go in"
    fine = stock(D("0.04"), FINE, D(350))
    assert fine is not None
    assert (fine.solute_g, fine.water_ml, fine.draw_ml) == (D("0.2"), D(100), D(20))


@pytest.mark.parametrize("amount", ["0.04", "0.05"])
@pytest.mark.parametrize("margin", ["narrow", "wide"])
def test_a_small_dose_on_a_coarse_scale_is_refused_not_zero(amount: str, margin: str) -> None:
    """B23: 0.04 g on a 0.1 g scale."""
    with pytest.raises(CannotMeasure) as refused:
        measure(D(amount), "g", SCALE, margin=margin, solubility_g_l=D(350))
    assert refused.value.code == "cannot-measure"
    assert refused.value.limit == 10
    assert refused.value.stock is not None
    assert "stock" in refused.value.way_out
    assert "0.002 g or finer" in refused.value.way_out


@pytest.mark.parametrize(
    ("amount", "passes"), [("1.111111111111", True), ("1.1112", False), ("1.0989", True)]
)
def test_ten_per_cent_off_is_allowed_and_more_is_refused(amount: str, passes: bool) -> None:
    tool = Tool("a 1 g scale", D(1), "g")
    if passes:
        assert measure(D(amount), "g", tool, margin="narrow").steps == 1
    else:
        with pytest.raises(CannotMeasure):
            measure(D(amount), "g", tool, margin="narrow")


def test_a_scale_in_milligrams_counts_in_its_own_steps() -> None:
    tool = Tool("the 10 mg scale", D(10), "mg")
    measured = measure(D("0.755"), "g", tool, margin="narrow")
    assert (measured.steps, measured.amount) == (75, D("0.75"))


def test_a_syringe_does_not_weigh() -> None:
    """B39: grams where millilitres are wanted need a density."""
    with pytest.raises(CannotMeasure, match="mL"):
        measure(D(5), "g", SYRINGE, margin="wide")


def test_a_drop_of_liquid_is_thinned_first() -> None:
    with pytest.raises(CannotMeasure) as refused:
        measure(D("0.05"), "mL", SYRINGE, margin="narrow")
    assert str(refused.value.stock) == refused.value.way_out[15:].partition(";")[0]
    assert "2 mL made up to 200 mL with water, of which 5 mL go in" in refused.value.way_out


def test_a_stock_dissolves_where_it_can() -> None:
    """Praziquantel: stocks over about 0.1 g/L are suspensions (zenodo 14707969)."""
    recipe = stock(D("0.02"), FINE, D("0.1"))
    assert recipe is not None
    assert not recipe.suspension
    assert recipe.solute_g / recipe.water_ml * 1000 <= D("0.1")
    coarse = stock(D("0.04"), SCALE, D("0.1"))
    assert coarse is not None
    assert coarse.suspension
    assert "does not all dissolve" in str(coarse)


def test_no_stock_of_unknown_solubility_nor_of_a_large_amount() -> None:
    assert stock(D("0.04"), SCALE, None) is None
    assert stock(D(500), SCALE, D(350)) is None
    assert stock(D("0.04"), SYRINGE, D(350)) is None


def test_no_stock_of_more_salt_than_water_takes_up() -> None:
    """Salt dissolves to 359 g/L (from memory): 20 steps of a kilogram are 20 kg, in no bottle."""
    coarse = Tool("the bathroom scale", D(1000), "g")
    assert stock(D(300), coarse, D(359)) is None
    with pytest.raises(CannotMeasure) as refused:
        measure(D(300), "g", coarse, margin="wide", solubility_g_l=D(359))
    assert refused.value.stock is None
    assert refused.value.way_out == "use a tool with a step of 10 g or finer"


def test_what_does_not_dissolve_is_at_most_a_tenth_of_its_stock() -> None:
    kitchen = Tool("the 5 g scale", D(5), "g")
    recipe = stock(D(2), kitchen, D("0.1"))
    assert recipe is not None
    assert recipe.suspension
    assert (recipe.solute_g, recipe.water_ml, recipe.draw_ml) == (D(100), D(1000), D(20))
    assert stock(D(2), Tool("the 20 g scale", D(20), "g"), D("0.1")) is None


def test_a_drop_is_not_thinned_in_a_pond() -> None:
    jug = Tool("the jug", D(50), "mL")
    with pytest.raises(CannotMeasure) as refused:
        measure(D(1), "mL", jug, margin="narrow")
    assert refused.value.way_out == "use a tool with a step of 0.05 mL or finer"


@given(
    amount=st.decimals("0.001", "50000", places=3),
    step=st.sampled_from([D("0.001"), D("0.1"), D(1), D(5), D(50), D(1000)]),
    solubility=st.sampled_from([D("0.1"), D(20), D(359)]),
)
def test_every_stock_can_be_made(amount: Decimal, step: Decimal, solubility: Decimal) -> None:
    recipe = stock(amount, Tool("a scale", step, "g"), solubility)
    if recipe is None:
        return
    assert recipe.water_ml <= 2000
    share = recipe.solute_g / recipe.water_ml
    assert allowed(share, None, max(D("0.1"), solubility / 1000))
    assert recipe.suspension == (share * 1000 > solubility)


@given(
    amount=st.decimals("0.001", "5", places=4),
    step=st.sampled_from([D("0.1"), D("0.01"), D("0.001")]),
)
def test_a_stock_holds_the_amount_within_one_per_cent_and_never_more(
    amount: Decimal, step: Decimal
) -> None:
    recipe = stock(amount, Tool("a scale", step, "g"), D(350))
    if recipe is None:
        return
    drawn = recipe.solute_g * recipe.draw_ml / recipe.water_ml
    assert allowed(drawn, amount * D("0.99"), amount)
    assert (recipe.solute_g / step) % 1 == 0
    assert 20 <= recipe.solute_g / step <= 60
    assert 20 <= recipe.draw_ml <= recipe.water_ml


@given(
    amount=st.decimals("0.001", "1000", places=5),
    step=st.sampled_from([D("0.001"), D("0.01"), D("0.1"), D(1), D("0.2")]),
    margin=st.sampled_from(["narrow", "wide"]),
    room=st.decimals("1", "1.2", places=6),
)
def test_whole_steps_within_a_tenth_and_under_the_limit(
    amount: Decimal, step: Decimal, margin: str, room: Decimal
) -> None:
    """G6: always a whole number of steps, never 0, never over a hard limit."""
    tool, most = Tool("a scale", step, "g"), amount * room
    try:
        measured = measure(amount, "g", tool, margin=margin, most=most)
    except CannotMeasure:
        near = whole_steps(amount, step, margin=margin, most=most)
        assert near.steps == 0 or abs(near.amount - amount) > amount / 10
        return
    assert measured.steps > 0
    assert measured.amount == measured.steps * step
    assert allowed(measured.amount, None, most)
    assert abs(measured.amount - amount) <= amount / 10
    if margin == "narrow":
        assert allowed(measured.amount, None, amount)


@given(st.decimals("0.0001", "9999", places=4))
def test_a_finer_step_is_one_two_or_five_and_fine_enough(amount: Decimal) -> None:
    step = finer_step(amount)
    assert step.normalize().as_tuple().digits in ((1,), (2,), (5,))
    assert amount / 50 <= step <= amount / 20
