"""Bags and vessels the acclimation tests are made of."""

from __future__ import annotations

from intake.science.acclimation_limits import AcclimationLimits
from intake.science.acclimation_readings import BagReading, VesselReading
from intake.science.blend import MEQ_L_PER_DKH
from intake.science.span import Span

LIMITS = AcclimationLimits()
STRICTER = {"drip": 0, "match-water": 1, "float-and-lift": 2}


def bag(
    temp_c: float,
    ph: float,
    kh_dkh: float,
    tan: float | Span,
    salt: float = 0.0,
    hours: float | None = 5.0,
    fish_g: float = 100.0,
) -> BagReading:
    return BagReading(ph, kh_dkh * MEQ_L_PER_DKH, temp_c, tan, salt, 2.0, hours, fish_g)


def vessel(temp_c: float, ph: float, kh_dkh: float, tan: float = 0.0) -> VesselReading:
    return VesselReading(ph, kh_dkh * MEQ_L_PER_DKH, temp_c, tan, 0.0)
