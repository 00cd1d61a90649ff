"""What the water should be, by the stage of what lives in it, and where the numbers come from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from types import MappingProxyType
from typing import cast

from intake.science.acclimation_limits import AcclimationLimits
from intake.science.change_limits import ChangeLimits
from intake.science.course_parts import Source
from intake.science.oxygen_use import DANGER_MG_L, TARGET_MG_L

STAGES = ("eggs", "hatchlings", "fry", "juvenile", "adult")
"""Life stages, youngest first."""


@dataclass(frozen=True, slots=True)
class ThresholdName:
    """Which limit a threshold sets, on the way across or at a change of water, and its unit.

    One that sets neither is asked for by its name.
    """

    limit: str
    unit: str
    change: str = ""


THRESHOLDS = MappingProxyType(
    {
        "nh3-peak": ThresholdName("nh3_peak_n_mg_l", "mg/L as N"),
        "nh3-low": ThresholdName("nh3_low_n_mg_l", "mg/L as N", "nh3_n_mg_l"),
        "nh3-exposure": ThresholdName("nh3_exposure_mg_h_l", "mg h/L"),
        "hours-packed-long": ThresholdName("hours_packed_long", "h"),
        "hours-packed-short": ThresholdName("hours_packed_short", "h"),
        "temperature-step": ThresholdName("temp_step_c", "C apart", "temp_step_c"),
        "temperature-gap": ThresholdName("temp_gap_c", "C apart"),
        "temperature-drop": ThresholdName("temp_drop_c", "C apart"),
        "temperature-rate": ThresholdName("temp_rate_c_per_h", "C/h"),
        "ph-gap": ThresholdName("ph_gap", "pH apart"),
        "ph-step": ThresholdName("ph_step", "pH apart", "ph_step"),
        "ph-rate": ThresholdName("ph_rate_per_h", "pH/h"),
        "salt-step": ThresholdName("salt_step_g_l", "g/L", "salt_step_g_l"),
        "float-shortest": ThresholdName("float_min_min", "min"),
        "float-longest": ThresholdName("float_max_min", "min"),
        "drip": ThresholdName("drip_min", "min"),
        "co2-half-time-fast": ThresholdName("co2_half_time_fast_min", "min"),
        "co2-half-time-air": ThresholdName("co2_half_time_air_min", "min"),
        "binder-kh-spare": ThresholdName("binder_kh_spare_dkh", "dKH"),
        "binder-kh-per-tan": ThresholdName("binder_kh_per_tan_dkh", "dKH per mg/L as N"),
        "change-largest": ThresholdName("", "%", "largest_percent"),
        "acid-ph": ThresholdName("", "pH", "acid_ph"),
        "kh-low": ThresholdName("", "dKH", "kh_low_dkh"),
        "kh-crash": ThresholdName("", "dKH", "kh_crash_dkh"),
        "kh-rise": ThresholdName("", "dKH a day", "kh_rise_dkh"),
        "kh-wanted": ThresholdName("", "dKH", "kh_wanted_dkh"),
        "oxygen-danger": ThresholdName("", "mg/L"),
    }
)
"""Every threshold a water file may set, by the name it has there."""


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
    """Water targets for every stage, and the thresholds a bag and a change are decided on."""

    version: str = ""
    stages: Mapping[str, tuple[WaterLimit, ...]] = field(default_factory=dict)
    thresholds: Mapping[str, Threshold] = field(default_factory=dict)
    path: str = ""
    sha256: str = ""

    def limit(self, stage: str, quantity: str) -> WaterLimit | None:
        """The target for this stage and quantity, or None where the file sets none."""
        return next((x for x in self.stages.get(stage, ()) if x.quantity == quantity), None)

    def oxygen_danger_mg_l(self) -> float:
        """Oxygen at which fish hang at the surface [mg/L]: this file's, else the default."""
        found = self.thresholds.get("oxygen-danger")
        return DANGER_MG_L if found is None else float(found.value)

    def oxygen_target_mg_l(self, stages: Iterable[str]) -> float:
        """Oxygen fish of these stages are kept at [mg/L]: the highest one of them asks."""
        found = (self.limit(stage, "oxygen") for stage in stages)
        lows = [float(x.low) for x in found if x is not None and x.low is not None]
        return max(lows, default=TARGET_MG_L)

    def acclimation(self) -> AcclimationLimits:
        """The limits receiving a bag is decided with: this file's, and the defaults for the rest.

        Raises
        ------
        KeyError
            A threshold has a name that is not in `THRESHOLDS`.
        """
        defaults = AcclimationLimits()
        given = {THRESHOLDS[name].limit: t.value for name, t in self.thresholds.items()}
        kept = {
            limit: int(value) if isinstance(getattr(defaults, limit), int) else float(value)
            for limit, value in given.items()
            if limit
        }
        # int stands for both: a mapping cannot say which key holds which of the two.
        return replace(defaults, **cast(dict[str, int], kept))

    def change(self) -> ChangeLimits:
        """The limits a change of water is judged with: this file's, defaults for the rest.

        Raises
        ------
        KeyError
            A threshold has a name that is not in `THRESHOLDS`.
        """
        given = {THRESHOLDS[name].change: float(t.value) for name, t in self.thresholds.items()}
        return replace(ChangeLimits(), **{limit: v for limit, v in given.items() if limit})
