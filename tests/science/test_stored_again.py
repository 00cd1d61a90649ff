"""What is stored of a dose is worked out twice; a slip in either working stores nothing.

200 slips at the label in the default run, 5,000 in the full one.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.flows.desk import load_protocols
from intake.science import stored_again
from intake.science.amount import (
    FEED_UNIT,
    StatedStrength,
    counted,
    counted_range,
    daily_target,
    per_volume,
)
from intake.science.problem import Refused
from intake.science.stored_again import added_of, raised_by
from intake.science.treatment import Strength, Treatment
from tests.science.doses import D, peroxide, praziquantel, salt


def test_by_hand() -> None:
    """500 g of salt in 250 L is 2 g/L; 50 mg of 98 % powder is 49 mg, for 1 kg of fish."""
    (whole,) = {counted(salt())}
    assert added_of(salt(), "g/L", [D(500)], [whole]) == (D(500),)
    assert raised_by(salt(), "g/L", D(500), D(250), whole) == 2
    pure = counted(praziquantel(), StatedStrength(D(98), "% w/w"))
    assert raised_by(praziquantel(), FEED_UNIT, D("0.05"), D(1000), pure) == 49


@given(
    amount=st.decimals("0.001", "5000", places=3),
    volume=st.decimals("0.5", "20000", places=3),
    made=st.sampled_from([salt, praziquantel, peroxide]),
)
def test_both_workings_agree(amount: Decimal, volume: Decimal, made: object) -> None:
    treatment: Treatment = made()  # type: ignore[operator]
    unit = "g/L" if treatment.id == "salt" else "mg/L"
    for end in counted_range(treatment, None):
        by_hand = float(amount) * float(end.per_unit) * (1 if unit == "g/L" else 1000)
        raised = raised_by(treatment, unit, amount, volume, end)
        assert float(raised) == pytest.approx(by_hand / float(volume), rel=1e-12)


SLIP = D("1.000000002")
"""Twice what the two workings may differ by."""


@pytest.mark.parametrize(
    ("name", "unit"),
    [("bath_added", "mg/L"), ("daily_target", FEED_UNIT)],
)
def test_a_slip_in_the_first_working_stores_nothing(
    name: str, unit: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    right = getattr(stored_again, name)
    product = counted(praziquantel(), StatedStrength(D(98), "% w/w"))
    assert raised_by(praziquantel(), unit, D(1), D(300), product) > 0
    monkeypatch.setattr(stored_again, name, lambda *a: right(*a) * SLIP)
    with pytest.raises(ArithmeticError, match="differ"):
        raised_by(praziquantel(), unit, D(1), D(300), product)


@pytest.mark.parametrize(
    ("name", "unit"),
    [("raised_again", "mg/L"), ("fed_again", FEED_UNIT)],
)
def test_a_slip_in_the_second_working_stores_nothing(
    name: str, unit: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    right = getattr(stored_again, name)
    product = counted(praziquantel(), StatedStrength(D(98), "% w/w"))
    monkeypatch.setattr(stored_again, name, lambda *a: right(*a) * Fraction(SLIP))
    with pytest.raises(ArithmeticError, match="differ"):
        raised_by(praziquantel(), unit, D(1), D(300), product)
    if unit != FEED_UNIT:
        with pytest.raises(ArithmeticError, match="differ"):
            added_of(praziquantel(), unit, [D(1)], [product])


def test_a_feed_is_the_inverse_of_its_amount() -> None:
    pure = counted(praziquantel(), StatedStrength(D(98), "% w/w"))
    assert daily_target(D("0.05"), D(980), pure) == D("0.05") * D("0.98") * 1_000_000 / D(980)


def slipped(label: Decimal, hand: Random) -> Decimal:
    """A label misread: another decade, a digit more or less, two digits swapped, or a bit off."""
    digits = f"{label:f}"
    kind = hand.randrange(4)
    if kind == 0:
        return label * hand.choice((D(10), D("0.1"), D(100), D("0.01")))
    if kind == 1:
        return D(digits.replace(".", "") + str(hand.randrange(10)))
    if kind == 2:
        return D(digits[::-1].strip(".") or "0")
    return label * (1 + D(hand.choice((-1, 1)) * hand.randint(102, 900)) / 10000)


def labels(treatment: Treatment) -> list[Strength]:
    return [s for s in treatment.strengths if per_volume(StatedStrength(s.value, s.unit), D(1))]


def stopped(count: int) -> tuple[int, int]:
    """How many of so many slips were stopped, a bottle of that treatment being on the shelf."""
    hand, tried, caught = Random(20261125), 0, 0
    treatments = [t for t in load_protocols().treatments.values() if labels(t)]
    while tried < count:
        treatment = hand.choice(treatments)
        form = hand.choice(labels(treatment))
        typed = slipped(form.value, hand)
        if abs(typed / form.value - 1) * 100 <= 1:
            continue
        tried += 1
        bottle = StatedStrength(form.value, form.unit)
        try:
            counted(treatment, StatedStrength(typed, form.unit), bottle)
        except Refused as refusal:
            caught += refusal.code == "strength-mismatch"
    return caught, tried


def test_every_slip_at_the_label_over_1_percent_is_stopped() -> None:
    assert stopped(200) == (200, 200)


@pytest.mark.full
def test_thousands_of_slips_at_the_label_are_stopped() -> None:
    assert stopped(5000) == (5000, 5000)
