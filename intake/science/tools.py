"""Amounts in whole steps of the keeper's scale or syringe."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Tool:
    """A scale or syringe and its smallest step, in `unit` (g, mg or mL)."""

    name: str
    step: Decimal
    unit: str


@dataclass(frozen=True, slots=True)
class Stock:
    """A stock to draw a small amount from: `solute_g` [g] made up to `water_ml` [mL].

    `draw_ml` [mL] of it hold the amount. `suspension`: it does not all dissolve; shake.
    """

    solute_g: Decimal
    water_ml: Decimal
    draw_ml: Decimal
    suspension: bool = False


@dataclass(frozen=True, slots=True)
class Measured:
    """An amount in whole steps; `rounding_percent` is negative where it is less than asked."""

    amount: Decimal
    steps: int
    rounding_percent: Decimal
