"""The amount of a dose worked out a second time, in fractions, from the stored inputs alone.

It shares no code with the first working: a slip in one of the two shows as a difference.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

AGREE = Fraction(1, 10**9)
"""How far the two workings may differ, as a share of the amount. Source: the project's own
figure for its dose core, 0 disagreements over 1e-9."""


@dataclass(frozen=True, slots=True)
class SoldAs:
    """One form of the product as its protocol has it, and the strength on this label."""

    state: str
    form_value: Decimal
    form_unit: str
    counts_as: Decimal
    density_g_ml: Decimal | None
    label_value: Decimal
    label_unit: str


def bath_again(
    target: Decimal,
    already: Decimal,
    volume_l: Decimal,
    unit: str,
    sold: SoldAs,
    by_product: bool,
) -> Fraction:
    """The product [g or mL] for a bath: total milligrams (microlitres) over those per unit."""
    wanted = Fraction(target) - Fraction(already)
    if wanted <= 0:
        return Fraction(0)
    total_milli = wanted * Fraction(volume_l)
    if unit == "g/L":
        total_milli *= 1000
    elif unit == "uL/L":
        return total_milli / 1000 / Fraction(sold.counts_as) / _purity(sold, by_product)
    return total_milli / _milligrams_per_unit(sold, by_product)


def _purity(sold: SoldAs, by_product: bool) -> Fraction:
    """How many times as strong as the protocol's form the label is, by volume."""
    return Fraction(1) if by_product else Fraction(sold.label_value) / Fraction(sold.form_value)


def feed_again(
    target_mg_kg_d: Decimal, fish_mass_g: Decimal, sold: SoldAs, by_product: bool
) -> Fraction:
    """The product [g or mL] for one day's feed: milligrams for so many kilograms of fish."""
    fish_kg = Fraction(fish_mass_g) / 1000
    return Fraction(target_mg_kg_d) * fish_kg / _milligrams_per_unit(sold, by_product)


def raised_again(
    amount: Decimal, volume_l: Decimal, unit: str, sold: SoldAs, by_product: bool
) -> Fraction:
    """By how much [`unit`] the product [g or mL] raises so much water, back from the amount."""
    if unit == "uL/L":
        counts = Fraction(sold.counts_as) * _purity(sold, by_product)
        return Fraction(amount) * 1000 * counts / Fraction(volume_l)
    raised_mg_l = Fraction(amount) * _milligrams_per_unit(sold, by_product) / Fraction(volume_l)
    return raised_mg_l / 1000 if unit == "g/L" else raised_mg_l


def fed_again(amount: Decimal, fish_mass_g: Decimal, sold: SoldAs, by_product: bool) -> Fraction:
    """What the product [g or mL] of one day gives so much fish [mg/kg/d], back from the amount."""
    milligrams = Fraction(amount) * _milligrams_per_unit(sold, by_product)
    return milligrams / (Fraction(fish_mass_g) / 1000)


def _milligrams_per_unit(sold: SoldAs, by_product: bool) -> Fraction:
    counts = Fraction(sold.counts_as) * 1000
    if by_product:
        return counts
    if sold.state != "liquid":
        return counts * Fraction(sold.label_value) / Fraction(sold.form_value)
    label = _mg_ml(sold.label_value, sold.label_unit, sold.density_g_ml)
    form = _mg_ml(sold.form_value, sold.form_unit, sold.density_g_ml)
    weight = sold.form_unit in ("%", "% w/w")
    return counts * label / form * (Fraction(sold.density_g_ml or 0) if weight else 1)


def _mg_ml(value: Decimal, unit: str, density_g_ml: Decimal | None) -> Fraction:
    per_unit = {"mg/mL": Fraction(1), "% w/v": Fraction(10), "g/100 mL": Fraction(10)}
    times = per_unit.get(unit, Fraction(10) * Fraction(density_g_ml or 1))
    return Fraction(value) * times


def agree(first: Decimal, again: Fraction) -> bool:
    """Whether the two workings are the same within a billionth of the amount."""
    return abs(Fraction(first) - again) <= AGREE * max(abs(again), Fraction(1, 10**9))
