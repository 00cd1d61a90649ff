"""Un-ionised ammonia from total ammonia, pH and temperature."""

from __future__ import annotations

from math import exp, log

from intake.science.figures import figure
from intake.science.problem import Refused
from intake.science.span import Span

TEMP_RANGE_C = (0.0, 50.0)
"""Where the equation is used [C]. Source: Emerson et al. 1975."""

PH_RANGE = (4.0, 11.0)
"""Where the equation is used; outside it is no water for fish. Common practice."""

N_PER_NH3 = 14.0067 / 17.0305
"""Mass of nitrogen in a mass of NH3. Source: IUPAC atomic weights."""

N_PER_NH4 = 14.0067 / 18.0385
"""Mass of nitrogen in a mass of NH4+. Source: IUPAC atomic weights."""

N_PER_BASIS = {"N": 1.0, "NH3": N_PER_NH3, "NH4": N_PER_NH4}
"""What a total ammonia reading is multiplied with to be mg/L as N, by what the kit reports."""

N_MG_PER_MMOL = 14.0067
"""Mass of a millimole of nitrogen [mg]. Source: IUPAC atomic weights."""

LN10 = log(10.0)
_KELVIN = 273.15


class NotInRange(Refused):
    """A value outside the range an equation or table holds in (refusal `not-in-range`)."""

    def __init__(self, what: str, value: float, low: float, high: float, unit: str) -> None:
        shown = f" {unit}" if unit else ""
        super().__init__(
            "not-in-range",
            f"{what} {figure(value)}{shown} is outside {figure(low)} to {figure(high)}{shown},"
            " where the equation holds",
            limit=low if value < low else high,
            value=value,
            unit=unit,
            source="range of the equation",
            way_out=f"Check the reading; give {what} from {figure(low)} to {figure(high)}{shown}.",
        )


def require_range(what: str, value: float, bounds: tuple[float, float], unit: str = "") -> None:
    """Refuses a value outside `bounds` (both ends belong).

    Raises
    ------
    NotInRange
        When `value` is outside, or not a number.
    """
    low, high = bounds
    if not low <= value <= high:
        raise NotInRange(what, value, low, high, unit)


def pka_ammonia(temp_c: float) -> float:
    """Acid constant of ammonium in pure water, as -log10.

    Parameters
    ----------
    temp_c
        Water temperature [C], 0 to 50.

    Raises
    ------
    NotInRange
        Outside `TEMP_RANGE_C`.

    Notes
    -----
    Source: Emerson, Russo, Lund & Thurston 1975, J Fish Res Board Can 32:2379.

    Examples
    --------
    >>> round(pka_ammonia(25), 4)
    9.2464
    """
    require_range("temperature", temp_c, TEMP_RANGE_C, "C")
    return 0.09018 + 2729.92 / (temp_c + _KELVIN)


def nh3_fraction(ph: float, temp_c: float) -> float:
    """Share of total ammonia that is NH3, as the published tables and limits are stated.

    Parameters
    ----------
    ph
        pH as read, 4 to 11.
    temp_c
        Water temperature [C], 0 to 50.

    Raises
    ------
    NotInRange
        Outside `PH_RANGE` or `TEMP_RANGE_C`.

    Notes
    -----
    Uncorrected for salt, which only lowers it (12 % at 1 g/L): an upper bound in fresh water.
    Source: Emerson et al. 1975.

    Examples
    --------
    >>> round(nh3_fraction(7.0, 20), 4)
    0.0039
    """
    require_range("pH", ph, PH_RANGE)
    return 1.0 / (1.0 + exp(LN10 * (pka_ammonia(temp_c) - ph)))


def nh3_fraction_at_solved_ph(ph: float, temp_c: float) -> float:
    """`nh3_fraction` without its pH range, for a pH that was worked out and not read."""
    return 1.0 / (1.0 + exp(LN10 * (0.09018 + 2729.92 / (temp_c + _KELVIN) - ph)))


def nh3_n_mg_l(tan_n_mg_l: float, ph: float, temp_c: float) -> float:
    """NH3 [mg/L as N] of a total ammonia [mg/L as N], uncorrected Emerson 1975."""
    return tan_n_mg_l * nh3_fraction(ph, temp_c)


def nh3_span_n_mg_l(tan_n_mg_l: Span, ph: Span, temp_c: Span) -> Span:
    """NH3 [mg/L as N] of readings with ends: it rises with each, so ends belong to ends."""
    return Span(
        nh3_n_mg_l(tan_n_mg_l.low, ph.low, temp_c.low),
        nh3_n_mg_l(tan_n_mg_l.nominal, ph.nominal, temp_c.nominal),
        nh3_n_mg_l(tan_n_mg_l.high, ph.high, temp_c.high),
    )


def as_nh3_mg_l(nh3_n_mg_l: float) -> float:
    """NH3 [mg/L of NH3] of the same amount stated as N [mg/L]."""
    return nh3_n_mg_l / N_PER_NH3
