"""What the water should be, by the stage of what lives in it, and where the numbers come from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from types import MappingProxyType

from intake.science.treatment import Source

STAGES = ("eggs", "hatchlings", "fry", "juvenile", "adult")
"""Life stages, youngest first."""

TARGET_UNITS = MappingProxyType(
    {
        "temp": "C",
        "ph": "",
        "kh": "meq/L",
        "gh": "meq/L",
        "nh3_n": "mg/L as N",
        "no2": "mg/L as NO2",
        "no3": "mg/L as NO3",
        "oxygen": "mg/L",
        "chlorine": "mg/L",
        "salt": "g/L",
        "co2": "mg/L",
    }
)
"""What a target can be set for, and the unit its limits are in (pH has none)."""


@dataclass(frozen=True, slots=True)
class WaterLimit:
    """One target: the ends of the range (None: open) in `unit`, and who says so.

    `brief_high` is a higher end that is bearable for a short time only (None: not stated).
    """

    quantity: str
    low: Decimal | None
    high: Decimal | None
    unit: str
    source: Source
    brief_high: Decimal | None = None
    text: str = ""


@dataclass(frozen=True, slots=True)
class Threshold:
    """A number a decision turns on, in `unit`, and who says so."""

    name: str
    value: Decimal
    unit: str
    source: Source
    text: str = ""


@dataclass(frozen=True, slots=True)
class WaterTargets:
    """Water targets for every stage, and the thresholds receiving a bag is decided on."""

    version: str = ""
    stages: Mapping[str, tuple[WaterLimit, ...]] = field(default_factory=dict)
    thresholds: Mapping[str, Threshold] = field(default_factory=dict)
    path: str = ""
    sha256: str = ""

    def limit(self, stage: str, quantity: str) -> WaterLimit | None:
        """The target for this stage and quantity, or None where the file sets none."""
        return next((x for x in self.stages.get(stage, ()) if x.quantity == quantity), None)
