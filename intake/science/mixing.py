"""Treatments that never meet in the same water, nor on the same fish within days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Present:
    """Another treatment in this water: the high end of what is left, in `unit`.

    `planned` is true where it is not there yet but is to go in together with the dose.
    """

    treatment: str
    high: Decimal
    unit: str
    planned: bool = False


@dataclass(frozen=True, slots=True)
class Recent:
    """Another treatment this water, or fish now in it, met; `where` names the water."""

    treatment: str
    at_utc: datetime
    where: str = ""
