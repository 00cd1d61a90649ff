"""Salt in fresh water by weight, by conductivity and by specific gravity (sodium chloride)."""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt

from intake.science.ammonia import require_range
from intake.science.carbonate import NACL_G_PER_MOL

CONDUCTIVITY_SALT_RANGE_G_L = (0.0, 5.85)
"""Where the conductivity curve was fitted: to 0.1 mol/L [g/L]."""

GRAVITY_SALT_RANGE_G_L = (0.0, 10.0)
"""Where the gravity curve was fitted [g/L]."""

CONDUCTIVITY_PER_C = 0.0195
"""Rise of a salt solution's conductivity per degree, of its value at 25 C [1/C]; 1.9-2.0 %."""

TEMP_RANGE_C = (4.0, 35.0)
"""Where the temperature correction is used [C]. Common practice."""

_CLOSE = 1e-13


def conductivity_us_cm_25c(salt_g_l: float) -> float:
    """Conductivity at 25 C [uS/cm] of sodium chloride alone, `salt_g_l` [g/L] 0 to 5.85.

    Raises
    ------
    NotInRange
        Outside `CONDUCTIVITY_SALT_RANGE_G_L`.

    Notes
    -----
    A fit through published conductivities at 0.001 to 0.1 mol/L and 25 C. Source: NCERT
    textbook table of molar conductivities.

    Examples
    --------
    >>> round(conductivity_us_cm_25c(3))
    5694
    """
    require_range("salt", salt_g_l, CONDUCTIVITY_SALT_RANGE_G_L, "g/L")
    return _conductivity(salt_g_l)


def _conductivity(salt_g_l: float) -> float:
    c = salt_g_l / NACL_G_PER_MOL
    root = sqrt(c)
    return 1000.0 * c * (126.45 - 90.0256 * root + 112.5818 * c - 79.0794 * c * root)


def salt_g_l_from_conductivity(us_cm_25c: float) -> float:
    """Salt [g/L] that alone has this conductivity at 25 C [uS/cm], 0 to 10,684.

    Raises
    ------
    NotInRange
        Beyond the fitted curve.

    Notes
    -----
    In tank water the rest of the ions count too: take the difference of two readings.
    """
    low, high = CONDUCTIVITY_SALT_RANGE_G_L
    require_range("conductivity", us_cm_25c, (0.0, _conductivity(high)), "uS/cm")
    return _inverse(_conductivity, us_cm_25c, low, high)


def conductivity_at_25c(us_cm: float, temp_c: float) -> float:
    """A conductivity read without compensation at `temp_c` [C], as it would be at 25 C [uS/cm].

    Raises
    ------
    NotInRange
        Outside `TEMP_RANGE_C`.
    """
    require_range("temperature", temp_c, TEMP_RANGE_C, "C")
    return us_cm / (1.0 + CONDUCTIVITY_PER_C * (temp_c - 25.0))


def gravity_sg_20c(salt_g_l: float) -> float:
    """Specific gravity at 20 C against water at 20 C, `salt_g_l` [g/L] 0 to 10.

    Raises
    ------
    NotInRange
        Outside `GRAVITY_SALT_RANGE_G_L`.

    Notes
    -----
    A curve through values computed with PHREEQC to 5 g/L and the density of a 1 % solution,
    1.0053 g/cm3 at 20 C. A hydrometer with marks of 0.001 cannot see 1 g/L.
    """
    require_range("salt", salt_g_l, GRAVITY_SALT_RANGE_G_L, "g/L")
    return _gravity(salt_g_l)


def _gravity(salt_g_l: float) -> float:
    return 1.0 + salt_g_l * (7.2e-4 - 1.1e-6 * salt_g_l)


def salt_g_l_from_gravity(sg_20c: float) -> float:
    """Salt [g/L] of a specific gravity at 20 C.

    Raises
    ------
    NotInRange
        Under 1, or beyond the fitted curve.
    """
    low, high = GRAVITY_SALT_RANGE_G_L
    require_range("specific gravity", sg_20c, (1.0, _gravity(high)))
    return _inverse(_gravity, sg_20c, low, high)


def percent_w_v(salt_g_l: float) -> float:
    """The same salt in per cent, weight by volume: 10 g/L is 1 %."""
    return salt_g_l / 10.0


def _inverse(rising: Callable[[float], float], value: float, low: float, high: float) -> float:
    """Where a rising function takes a value, by halving."""
    while high - low > _CLOSE * max(1.0, high):
        middle = (low + high) / 2.0
        if rising(middle) < value:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0
