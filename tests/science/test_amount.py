from __future__ import annotations

import csv
import math
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.amount import (
    Counted,
    StatedStrength,
    bath_added,
    bath_amount,
    counted,
    counted_range,
    daily_amount,
    daily_target,
    feed_g_per_kg,
    in_course_unit,
    per_volume,
    same_strength,
)
from intake.science.figures import figure
from intake.science.problem import Refused
from intake.science.treatment import Strength, Treatment
from tests.science.doses import D, formalin, peroxide, praziquantel, salt

EXAMPLES = Path(__file__).parents[1] / "data" / "worked_examples.csv"
US_GAL_L = D("3.785411784")
FL_OZ_ML = D("29.5735295625")
POUND_G = D("453.59237")


def product(per_unit: str, unit: str = "g") -> Counted:
    return Counted(StatedStrength(D(100), "% w/w"), unit, D(per_unit))


def near(found: Decimal | float, published: str, percent: float) -> bool:
    return abs(float(found) / float(published) - 1) * 100 <= percent


def published() -> dict[str, dict[str, str]]:
    with EXAMPLES.open(encoding="utf-8", newline="") as file:
        return {row["id"]: row for row in csv.DictReader(file)}


def we05() -> tuple[Decimal, str, float]:
    """88.35 m3 at 200 uL/L of formalin, the product counted."""
    return bath_amount(D(200), "uL/L", D(88350), product("1", "mL")), "17670", 0.02


def we06() -> tuple[Decimal, str, float]:
    """250 US gal at 2 mg/L; the source's factor is rounded by 0.4 %."""
    return bath_amount(D(2), "mg/L", 250 * US_GAL_L, product("1")), "1.9", 0.4


def we12() -> tuple[Decimal, str, float]:
    """0.5 mg/L copper in 15 million US gal from a product of 25 % copper, in pounds."""
    grams = bath_amount(D("0.5"), "mg/L", 15_000_000 * US_GAL_L, product("0.25"))
    return grams / POUND_G, "250", 0.2


def we13() -> tuple[Decimal, str, float]:
    """35 acre-feet at 0.9 lb per acre-foot."""
    acre_ft_l = D("1233481.83754752")
    target = D("0.9") * POUND_G * 1000 / acre_ft_l
    grams = bath_amount(target, "mg/L", 35 * acre_ft_l, product("1"))
    return grams / POUND_G, "31.5", 1e-9


def we18() -> tuple[Decimal, str, float]:
    """1 US fl oz of 5.25 % w/v hypochlorite in 1 US gal."""
    return bath_added(FL_OZ_ML, "mg/L", US_GAL_L, product("0.0525", "mL")), "410", 0.1


def we20() -> tuple[Decimal, str, float]:
    """1,000 US gal at 50 mg/L from 5.25 % w/v, in US fl oz."""
    ml = bath_amount(D(50), "mg/L", 1000 * US_GAL_L, product("0.0525", "mL"))
    return ml / FL_OZ_ML, "122", 0.3


def we33() -> tuple[Decimal, str, float]:
    """A 10 g/L stock for 50 mg/L: mL per litre (100 mg/L takes twice that)."""
    return bath_amount(D(50), "mg/L", D(1), product("0.01", "mL")), "5", 1e-9


def we40() -> tuple[Decimal, str, float]:
    """40 g/m3 in 4 m3."""
    return bath_amount(D(40), "mg/L", D(4000), product("1")), "160", 1e-9


def we41() -> tuple[Decimal, str, float]:
    """40 g/m3 of what is in a 10 % product: product per m3."""
    return bath_amount(D(40), "mg/L", D(1000), product("0.1")), "400", 1e-9


def we46() -> tuple[Decimal, str, float]:
    """1.14 g per lb of feed is 2.51 g/kg, which is 50 mg/kg a day at 2 % of body weight."""
    return feed_g_per_kg(D(50), D(2)), str(D("1.14") * 1000 / POUND_G), 1


def we55() -> tuple[Decimal, str, float]:
    """1.2 mg/L copper sulfate pentahydrate holds 0.305 mg/L copper at 25.45 %."""
    grams = bath_amount(D("0.305"), "mg/L", D(1000), product("0.2545"))
    return grams, "1.2", 0.2


def we59() -> tuple[Decimal, str, float]:
    """1 mg/L in one US gallon, in grams; the printed 0.0038 is rounded by 0.4 %."""
    return bath_amount(D(1), "mg/L", US_GAL_L, product("1")), "0.0038", 0.4


def we61() -> tuple[Decimal, str, float]:
    """Half a volume flushed through leaves 61 %: 39 % is new."""
    return D(str(1 - math.exp(-0.5))), "0.39", 1


def we67() -> tuple[Decimal, str, float]:
    """Label: 100 uL/L formalin is 37 mg/L formaldehyde, 37 g in 100 mL."""
    ml = bath_amount(D(100), "uL/L", D(1000), product("1", "mL"))
    return bath_added(ml, "mg/L", D(1000), product("0.37", "mL")), "37", 1e-9


def we68() -> tuple[Decimal, str, float]:
    """Peroxide 35 % w/w is 396.1 mg/mL at 1.1317 g/mL."""
    found = per_volume(StatedStrength(D(35), "% w/w"), D("1.1317"))
    assert found is not None
    return found, "396.1", 0.01


def we77() -> tuple[Decimal, str, float]:
    """50 mg/L CaCO3 of alkalinity in 100 L from bicarbonate, 50.04 of 84.01 counting."""
    share = product(str(D("50.04") / D("84.01")))
    return bath_amount(D(50), "mg/L", D(100), share), "8.4", 0.1


@pytest.mark.parametrize(
    "example",
    [
        we05, we06, we12, we13, we18, we20, we33, we40, we41,
        we46, we55, we59, we61, we67, we68, we77,
    ],
    ids=lambda f: f.__name__.upper(),
)  # fmt: skip
def test_published_examples_recompute(example: object, request: pytest.FixtureRequest) -> None:
    name = request.node.callspec.id
    assert name in published(), "the example has its source in worked_examples.csv"
    assert callable(example)
    found, printed, percent = example()
    assert near(found, printed, percent)


def test_a_published_slip_is_seen_as_one() -> None:
    """WE66 prints 200 mg/L for 35 mL of 3 to 6 % bleach per US gal: it is 277 to 555.
    WE71 prints 1.9 g for 250 L at 2 mg/L: it is 0.5 g, and 1.9 g is 7.6 mg/L."""
    assert {"WE66", "WE71"} <= set(published())
    weak = bath_added(D(35), "mg/L", US_GAL_L, product("0.03", "mL"))
    strong = bath_added(D(35), "mg/L", US_GAL_L, product("0.06", "mL"))
    assert near(weak, "277", 0.2)
    assert near(strong, "555", 0.1)
    assert bath_amount(D(2), "mg/L", D(250), product("1")) == D("0.5")
    assert bath_added(D("1.9"), "mg/L", D(250), product("1")) == D("7.6")


# -- strengths -----------------------------------------------------------------------------------


def test_the_usual_strength_is_taken_where_none_is_typed() -> None:
    found = counted(praziquantel())
    assert (found.unit, found.per_unit) == ("g", D(1))
    assert str(found.strength) == "100 % w/w"


def test_a_purity_typed_from_the_label_counts() -> None:
    found = counted(praziquantel(), StatedStrength(D(99), "%"))
    assert found.per_unit == D("0.99")


@pytest.mark.parametrize(("value", "fits"), [("90", True), ("89.9", False), ("9.9", False)])
def test_a_slip_of_ten_in_a_purity_stops(value: str, fits: bool) -> None:
    if fits:
        assert counted(praziquantel(), StatedStrength(D(value), "%")).per_unit == D(value) / 100
    else:
        with pytest.raises(Refused) as refused:
            counted(praziquantel(), StatedStrength(D(value), "%"))
        assert refused.value.code == "strength-mismatch"


@pytest.mark.parametrize(
    ("value", "unit", "fits"),
    [
        ("37", "% w/w", True),
        ("37.37", "% w/w", True),  # 1 % off
        ("37.3701", "% w/w", False),
        ("36.63", "% w/w", True),
        ("36.6299", "% w/w", False),
        ("40", "% w/v", True),
        ("40", "g/100 mL", True),
        ("400", "mg/mL", True),
        ("10", "% w/w", False),
        ("37", "%", False),  # by weight or by volume: the label has to say
        ("37", "% w/v", False),
    ],
)
def test_where_the_product_counts_another_strength_stops(
    value: str, unit: str, fits: bool
) -> None:
    """B44: 37 %, 37 g/100 mL and 10 % are three products."""
    strength = StatedStrength(D(value), unit)
    if fits:
        assert counted(formalin(), strength).per_unit == 1
    else:
        with pytest.raises(Refused) as refused:
            counted(formalin(), strength)
        assert refused.value.code == "strength-mismatch"
        assert "label" in refused.value.way_out


@pytest.mark.parametrize(("typed", "fits"), [("99", True), ("99.99", True), ("97.9", False)])
def test_typed_and_recorded_bottle_agree_within_one_per_cent(typed: str, fits: bool) -> None:
    bottle = StatedStrength(D(99), "% w/w")
    if fits:
        assert (
            counted(praziquantel(), StatedStrength(D(typed), "%"), bottle).per_unit
            == D(typed) / 100
        )
    else:
        with pytest.raises(Refused, match="on the shelf"):
            counted(praziquantel(), StatedStrength(D(typed), "%"), bottle)


def test_a_bottle_by_volume_is_compared_by_volume() -> None:
    assert (
        counted(
            formalin(), StatedStrength(D(400), "mg/mL"), StatedStrength(D(40), "% w/v")
        ).per_unit
        == 1
    )
    with pytest.raises(Refused, match="on the shelf"):
        counted(formalin(), StatedStrength(D(37), "% w/w"), StatedStrength(D(40), "% w/v"))


@given(st.decimals("1", "60", places=1), st.sampled_from(["0.1", "10", "1.2011", "3.785"]))
def test_seeded_strength_slips_against_the_bottle_all_stop(value: Decimal, slip: str) -> None:
    """G10: a strength mistyped against the bottle's record is caught every time."""
    bottle = StatedStrength(value, "% w/w")
    with pytest.raises(Refused) as refused:
        counted(praziquantel(), StatedStrength(value * D(slip), "% w/w"), bottle)
    assert refused.value.code == "strength-mismatch"


def test_peroxide_bottles_are_eleven_point_seven_fold_apart() -> None:
    """3 % against 35 %: U5, mL = mg/L x L / 30 and / 396."""
    weak = counted(peroxide(), StatedStrength(D(3), "% w/v"))
    strong = counted(peroxide(), StatedStrength(D(35), "% w/w"))
    by_label = counted(peroxide(), StatedStrength(D("396.1"), "mg/mL"))
    ml = [bath_amount(D(30), "mg/L", D(100), p) for p in (weak, strong, by_label)]
    assert ml[0] == 100
    assert near(ml[1], str(3000 / 396.1), 0.01)
    assert near(ml[2], str(3000 / 396.1), 0.01)


def test_weight_strength_of_a_liquid_needs_its_density() -> None:
    treatment = peroxide()
    bare = Strength("35 %", D(35), "% w/w", D("0.35"), "liquid", usual=True)
    object.__setattr__(treatment, "strengths", (bare,))
    with pytest.raises(Refused, match="density"):
        counted(treatment, StatedStrength(D(35), "% w/w"))


def test_an_unknown_strength_spans_every_form_sold() -> None:
    low, likely, high = counted_range(peroxide(), None)
    assert (low.per_unit, likely.per_unit) == (D("0.03"), D("0.03"))
    assert high.per_unit == D("0.35") * D("1.1317")
    low, likely, high = counted_range(peroxide(), StatedStrength(D(3), "% w/v"))
    assert low == likely == high
    assert counted_range(peroxide(), StatedStrength(D(12), "% w/v"))[2].per_unit == high_of()


def high_of() -> Decimal:
    return D("0.35") * D("1.1317")


def test_a_protocol_without_forms_follows_the_label_alone() -> None:
    treatment = salt()
    object.__setattr__(treatment, "strengths", ())
    assert counted(treatment, StatedStrength(D(50), "% w/w")).per_unit == D("0.5")
    liquid = counted(treatment, StatedStrength(D(25), "mg/mL"))
    assert (liquid.unit, liquid.per_unit) == ("mL", D("0.025"))
    with pytest.raises(Refused, match="label"):
        counted(treatment)
    with pytest.raises(Refused, match="label"):
        counted(treatment, StatedStrength(D(0), "% w/w"))


def liquid_of(value: str, unit: str, density: str | None = None) -> Treatment:
    """A protocol that knows one liquid form alone."""
    held = None if density is None else D(density)
    form = Strength("one", D(value), unit, D("0.35"), "liquid", density_g_ml=held, usual=True)
    return replace(peroxide(), strengths=(form,))


def test_a_bare_per_cent_is_taken_only_where_one_form_is_known() -> None:
    """35 % of a liquid sold by weight and by volume is not one strength: the label has to say."""
    with pytest.raises(Refused) as refused:
        counted(peroxide(), StatedStrength(D(35), "%"))
    assert refused.value.code == "strength-mismatch"
    one = liquid_of("35", "% w/w", "1.1317")
    assert counted(one, StatedStrength(D(35), "%")).per_unit == D("0.35") * D("1.1317")
    two = replace(
        praziquantel(),
        strengths=(
            *praziquantel().strengths,
            Strength("half", D(50), "% w/w", D("0.5"), "powder"),
        ),
    )
    assert counted(two, StatedStrength(D(50), "%")).per_unit == D("0.5")


def test_one_known_form_by_weight_takes_a_label_by_volume_through_its_density() -> None:
    """21 CFR 529.1150: 35 % w/w is 396.1 mg/mL; 35 mg/mL is another product altogether."""
    one = liquid_of("35", "% w/w", "1.1317")
    assert near(counted(one, StatedStrength(D("396.1"), "mg/mL")).per_unit, "0.3961", 0.01)
    with pytest.raises(Refused):
        counted(one, StatedStrength(D(35), "mg/mL"))
    with pytest.raises(Refused):
        counted(liquid_of("40", "mg/mL"), StatedStrength(D(40), "%"))


def test_a_powder_has_no_strength_by_volume() -> None:
    """100 mg/mL is not 100 %: a stock solution typed for its powder would be a tenth."""
    for unit in ("mg/mL", "% w/v"):
        with pytest.raises(Refused) as refused:
            counted(praziquantel(), StatedStrength(D(100), unit))
        assert refused.value.code == "strength-mismatch"


def test_the_share_is_of_what_the_bottle_says_and_one_per_cent_itself_is_the_same() -> None:
    def per_cent(value: str) -> StatedStrength:
        return StatedStrength(D(value), "%")

    assert same_strength(per_cent("99"), per_cent("100"))
    assert not same_strength(per_cent("98.99"), per_cent("100"))
    assert same_strength(per_cent("101"), per_cent("100"))
    assert not same_strength(per_cent("101.01"), per_cent("100"))
    assert counted(praziquantel(), per_cent("99"), per_cent("100")).per_unit == D("0.99")
    with pytest.raises(Refused) as refused:
        counted(praziquantel(), per_cent("95"), per_cent("100"))
    assert (refused.value.limit, refused.value.value) == (100, 95)


def test_the_span_of_an_unknown_strength_does_not_hang_on_the_order_of_the_forms() -> None:
    treatment = replace(peroxide(), strengths=peroxide().strengths[::-1])
    low, likely, high = counted_range(treatment, None)
    assert [one.per_unit for one in (low, likely, high)] == [D("0.03"), D("0.03"), high_of()]
    assert [str(one.strength) for one in (low, likely, high)] == [
        "3 % w/v",
        "3 % w/v",
        "35 % w/w",
    ]


def test_without_forms_an_unknown_strength_counts_as_all_of_it() -> None:
    """The careful side of what was given: nothing is stronger than the pure powder."""
    treatment = replace(salt(), strengths=())
    whole = product("1")
    assert counted_range(treatment, None) == (whole, whole, whole)


def test_a_label_alone_says_its_unit_and_may_not_be_next_to_nothing() -> None:
    treatment = replace(salt(), strengths=())
    half = StatedStrength(D(50), "%")
    assert counted(treatment, half) == Counted(half, "g", D("0.5"))
    least = StatedStrength(D("0.000001"), "% w/w")
    assert counted(treatment, least).per_unit == D("0.00000001")
    with pytest.raises(Refused, match="label"):
        counted(treatment, StatedStrength(D("0.00000099"), "% w/w"))
    with pytest.raises(ValueError, match="not a strength"):
        counted(treatment, StatedStrength(D(5), "% v/v"))


# -- arithmetic ----------------------------------------------------------------------------------


def test_units_of_a_target() -> None:
    assert in_course_unit(D("0.002"), "g/L", "mg/L") == 2
    assert in_course_unit(D(2000), "mg/L", "g/L") == 2
    assert in_course_unit(D(2), "mg/L", "uL/L") is None
    assert in_course_unit(D(2), "uL/L", "uL/L") == 2


def test_a_feed_target_has_no_amount_for_so_much_water() -> None:
    with pytest.raises(ValueError, match="not a concentration"):
        bath_amount(D(50), "mg/kg/d", D(100), product("1"))


def test_a_feed_dose_goes_by_the_fish() -> None:
    per_day = daily_amount(D(50), D(120), product("0.5"))
    assert per_day == D("0.012")
    assert daily_target(per_day, D(120), product("0.5")) == 50


@given(
    target=st.decimals("0.01", "100", places=3),
    volume=st.decimals("1", "20000", places=2),
    share=st.decimals("0.01", "1", places=4),
    unit=st.sampled_from(["g/L", "mg/L", "uL/L"]),
)
def test_the_amount_grows_with_the_volume_and_leads_back(
    target: Decimal, volume: Decimal, share: Decimal, unit: str
) -> None:
    one = Counted(StatedStrength(D(100), "% w/w"), "g", share)
    amount = bath_amount(target, unit, volume, one)
    assert near(bath_amount(target, unit, 2 * volume, one), str(2 * amount), 1e-12)
    halves = sum(bath_amount(target, unit, volume / 2, one) for _ in range(2))
    assert near(halves, str(amount), 1e-12)
    assert near(bath_added(amount, unit, volume, one), str(target), 1e-12)


@pytest.mark.parametrize(
    ("value", "text"),
    [("0.70", "0.7"), ("1250.5", "1,250.5"), ("1E+3", "1,000"), ("1E-7", "0.0000001"), ("0", "0")],
)
def test_a_figure_has_no_exponent_and_no_idle_zero(value: str, text: str) -> None:
    """G5, B26."""
    assert figure(D(value)) == text
