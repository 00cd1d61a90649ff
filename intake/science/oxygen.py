"""Oxygen water holds in balance with air."""

from __future__ import annotations

from math import exp

from intake.science.ammonia import require_range

TEMP_RANGE_C = (0.0, 40.0)
"""Where the equation holds [C]. Source: Benson & Krause 1984."""

SALINITY_RANGE_G_KG = (0.0, 40.0)
"""Where the equation holds [g/kg]. Source: Benson & Krause 1984."""

PRESSURE_RANGE_ATM = (0.5, 1.1)
"""Where the pressure correction is used [atm]. Common practice."""

ALTITUDE_RANGE_M = (-500.0, 5000.0)
"""Where the altitude formula is used [m]. Common practice."""

_KELVIN = 273.15


def pressure_atm(altitude_m: float) -> float:
    """Usual station pressure [atm] at an altitude [m], -500 to 5000.

    Raises
    ------
    NotInRange
        Outside `ALTITUDE_RANGE_M`.

    Notes
    -----
    Source: standard atmosphere, from memory; checked against a printed table to 600 m.
    """
    require_range("altitude", altitude_m, ALTITUDE_RANGE_M, "m")
    return float((1.0 - 2.25577e-5 * altitude_m) ** 5.25588)


def saturation_mg_l(
    temp_c: float, salinity_g_kg: float = 0.0, station_pressure_atm: float = 1.0
) -> float:
    """Dissolved oxygen in balance with moist air [mg/L].

    Parameters
    ----------
    temp_c
        Water temperature [C], 0 to 40.
    salinity_g_kg
        Salinity [g/kg], 0 to 40; in fresh water g/L of salt is the same within 1 %.
    station_pressure_atm
        Pressure where the water stands, not reduced to sea level [atm], 0.5 to 1.1.

    Raises
    ------
    NotInRange
        Outside those ranges.

    Notes
    -----
    Source: Benson & Krause 1984, Limnol Oceanogr 29:620.

    Examples
    --------
    >>> round(saturation_mg_l(20), 3)
    9.092
    """
    require_range("temperature", temp_c, TEMP_RANGE_C, "C")
    require_range("salinity", salinity_g_kg, SALINITY_RANGE_G_KG, "g/kg")
    require_range("pressure", station_pressure_atm, PRESSURE_RANGE_ATM, "atm")
    t = temp_c + _KELVIN
    at_one_atm = exp(
        -139.34411
        + 1.575701e5 / t
        - 6.642308e7 / t**2
        + 1.243800e10 / t**3
        - 8.621949e11 / t**4
        - salinity_g_kg * (0.017674 - 10.754 / t + 2140.7 / t**2)
    )
    p = station_pressure_atm
    vapour = exp(11.8571 - 3840.70 / t - 216961.0 / t**2)
    # theta takes degrees Celsius while everything else here takes kelvin.
    theta = 0.000975 - 1.426e-5 * temp_c + 6.436e-8 * temp_c**2
    correction = p * (1.0 - vapour / p) * (1.0 - theta * p) / ((1.0 - vapour) * (1.0 - theta))
    return at_one_atm * correction
