"""How much product brings so much water to a target, and back."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class StatedStrength:
    """A strength read from a label: `value` in `unit`.

    `unit` is one of "%", "% w/w", "% w/v", "mg/mL", "g/100 mL"; a bare "%" is allowed where the
    protocol knows one form only, and for powders.
    """

    value: Decimal
    unit: str
