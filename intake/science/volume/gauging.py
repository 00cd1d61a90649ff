"""Water gauged without a tape: by the bucket, by a steady flow, by a salt step."""

from __future__ import annotations

from collections.abc import Mapping

from intake.science.salt import (
    CONDUCTIVITY_SALT_RANGE_G_L,
    conductivity_us_cm_25c,
    salt_g_l_from_conductivity,
)

Values = Mapping[str, float]

MOST_US_CM = conductivity_us_cm_25c(CONDUCTIVITY_SALT_RANGE_G_L[1])
"""The end of the published salt curve [uS/cm at 25 C]."""

FIT_SHARE = 0.02
"""95 % half-width of a volume by conductivity from the curve alone [1].

Simulated in waters of 1.4 to 14 dKH the curve is within 1 to 1.8 % of the truth.
"""


def metered_l(values: Values) -> float:
    """Water that went in by the bucket [L]."""
    return values["bucket"] * values["count"]


def flow_l(values: Values) -> float:
    """Water that ran in [L], from L/min and minutes."""
    return values["rate"] * values["time"]


def by_conductivity_l(values: Values) -> float:
    """Water from salt [g] and the conductivity before and after [uS/cm at 25 C] [L].

    Notes
    -----
    Both readings are turned into salt first and then subtracted. One factor per uS/cm puts the
    volume 3 % high at 0.5 g/L and 10 % high at 3 g/L.
    """
    rise_g_l = _salt_g_l(values["after"]) - _salt_g_l(values["before"])
    return values["salt"] / rise_g_l * values["salt.fit"]


def by_salinity_l(values: Values) -> float:
    """Water from salt [g] and the salt read before and after [g/L] [L]."""
    return values["salt"] / (values["after"] - values["before"])


def _salt_g_l(us_cm_25c: float) -> float:
    # The spread looks a hair beside each reading: beyond an end of the curve that is the end.
    return salt_g_l_from_conductivity(min(max(us_cm_25c, 0.0), MOST_US_CM))
