"""Water gauged without a tape: by the bucket, by a steady flow, by a salt step."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf

from intake.science.salt import (
    CONDUCTIVITY_PER_C,
    CONDUCTIVITY_SALT_RANGE_G_L,
    conductivity_us_cm_25c,
    salt_g_l_from_conductivity,
)
from intake.science.spread import Size

_NEAR_END_G_L = 0.99 * CONDUCTIVITY_SALT_RANGE_G_L[1]

Values = Mapping[str, float]

MOST_US_CM = conductivity_us_cm_25c(CONDUCTIVITY_SALT_RANGE_G_L[1])
"""The end of the published salt curve [uS/cm at 25 C]."""

_END_G_L_PER_US_CM = (CONDUCTIVITY_SALT_RANGE_G_L[1] - _NEAR_END_G_L) / (
    MOST_US_CM - conductivity_us_cm_25c(_NEAR_END_G_L)
)

FIT_SHARE = 0.02
"""95 % half-width of a volume by conductivity from the curve alone [1].

Simulated in waters of 1.4 to 14 dKH the curve is within 1 to 1.8 % of the truth.
"""

SLOPE_PER_C = Size(CONDUCTIVITY_PER_C, 0.0005)
"""Rise of conductivity per degree, of its value at 25 C [1/C]: 1.9 to 2.0 % of sodium chloride."""


def _by_rise_l(salt_g: float, rise_g_l: float) -> float:
    # No rise, which only the spread asks for: water without end.
    return salt_g / rise_g_l if rise_g_l > 0 else inf


def metered_l(values: Values) -> float:
    """Water that went in by the bucket [L]."""
    return values["bucket"] * values["count"]


def flow_l(values: Values) -> float:
    """Water that ran in [L], from L/min and minutes."""
    return values["rate"] * values["time"]


def by_conductivity_l(values: Values) -> float:
    """Water from salt [g] and the conductivity before and after [uS/cm or the meter's ppm] [L].

    Notes
    -----
    Both readings are turned into salt first and then subtracted. One factor per uS/cm puts the
    volume 3 % high at 0.5 g/L and 10 % high at 3 g/L.
    """
    rise_g_l = _salt_g_l(at_25c(values, "after")) - _salt_g_l(at_25c(values, "before"))
    return _by_rise_l(values["salt"], rise_g_l) * values["salt.fit"]


def at_25c(values: Values, name: str) -> float:
    """The reading ``before`` or ``after`` as conductivity at 25 C [uS/cm].

    Notes
    -----
    Over the meter's factor where it reads ppm; over 1 + slope x (t - 25 C) where the water's
    temperature [C] says that the meter does not compensate.
    """
    us_cm = values[name] / values.get("factor", 1.0)
    temp_c = values.get(f"{name}_temp")
    if temp_c is None:
        return us_cm
    return us_cm / (1.0 + values["salt.slope"] * (temp_c - 25.0))


def by_salinity_l(values: Values) -> float:
    """Water from salt [g] and the salt read before and after [g/L] [L]."""
    return _by_rise_l(values["salt"], values["after"] - values["before"])


def _salt_g_l(us_cm_25c: float) -> float:
    # The spread looks beside each reading: beyond the end of the curve it goes on straight.
    beyond_us_cm = max(0.0, us_cm_25c - MOST_US_CM)
    on_curve_us_cm = min(max(us_cm_25c, 0.0), MOST_US_CM)
    return salt_g_l_from_conductivity(on_curve_us_cm) + beyond_us_cm * _END_G_L_PER_US_CM
