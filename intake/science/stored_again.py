"""What a dose is about to be stored with, worked back from its amount a second time."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from intake.science.amount import FEED_UNIT, PRODUCT_BASES, Counted, bath_added, daily_target
from intake.science.dose_setting import sold_as
from intake.science.recheck import agree, fed_again, raised_again
from intake.science.treatment import Treatment


def added_of(
    treatment: Treatment, unit: str, amounts: Sequence[Decimal], products: Sequence[Counted]
) -> tuple[Decimal, ...]:
    """What each amount [g or mL] of each product adds, in `unit` times litres.

    Raises
    ------
    ArithmeticError
        A second working in fractions differs: a fault of the program, nothing is to be stored.
    """
    by_product = treatment.basis in PRODUCT_BASES
    found = []
    for amount, product in zip(amounts, products, strict=True):
        added = bath_added(amount, unit, Decimal(1), product)
        again = raised_again(amount, Decimal(1), unit, sold_as(product), by_product)
        _same(added, again, unit)
        found.append(added)
    return tuple(found)


def raised_by(
    treatment: Treatment, unit: str, amount: Decimal, size: Decimal, product: Counted
) -> Decimal:
    """By how much an amount [g or mL] raises so many litres, or what it gives so many g of fish.

    Parameters
    ----------
    size
        The water [L]; of a feed the mass of the fish [g].

    Raises
    ------
    ArithmeticError
        As `added_of`.
    """
    by_product, sold = treatment.basis in PRODUCT_BASES, sold_as(product)
    if unit == FEED_UNIT:
        raised = daily_target(amount, size, product)
        _same(raised, fed_again(amount, size, sold, by_product), unit)
    else:
        raised = bath_added(amount, unit, size, product)
        _same(raised, raised_again(amount, size, unit, sold, by_product), unit)
    return raised


def _same(first: Decimal, again: Fraction, unit: str) -> None:
    if not agree(first, again):
        raise ArithmeticError(
            f"two workings of one stored dose differ: {first} and {float(again)} {unit}"
        )
