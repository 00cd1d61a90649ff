"""Carbonate held in pairs with sodium, calcium and magnesium.

A pair is still alkalinity and still carbon, but neither free bicarbonate nor free carbonate, so
it shifts the pH and the CO2 a reading stands for.
"""

from __future__ import annotations

from math import exp, log
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from intake.science.ammonia import LN10

if TYPE_CHECKING:
    from intake.science.arrays import Floats

Number = TypeVar("Number", float, "Floats")
"""A number, or an array of them: the sums are the same."""

CALCIUM_SHARE = 5.0 / 7.0
"""Calcium in calcium plus magnesium, by mole: a GH test does not tell them apart. 5 to 2 is
common practice for tap water. Where it is anything from all calcium to equal parts, blends stay
within 0.042 pH of PHREEQC (95 % of them within 0.007)."""

_KELVIN = 273.15
_AT_25_C = 1.0 / 298.15
# van 't Hoff: kcal/mol to log10 and kelvin, with R 8.31446 J/mol/K and 4.184 J/cal.
_KELVIN_PER_KCAL = 4184.0 / (8.31446 * LN10)


class PairLogK(NamedTuple):
    """log10 of the association constants of the pairs, in pure water [kg/mol]."""

    nahco3: float
    naco3: float
    cahco3: float
    caco3: float
    mghco3: float
    mgco3: float


def pair_log_k(temp_c: float) -> PairLogK:
    """The association constants of the metals with bicarbonate and carbonate at `temp_c` [C].

    Notes
    -----
    Source: phreeqc.dat, the database of PHREEQC 3 (USGS). Sodium: log K -0.25 and 1.27 at 25 C,
    delta H -1 and 8.91 kcal/mol. Calcium: Plummer & Busenberg 1982, Geochim Cosmochim Acta
    46:1011. There CaHCO3+ and MgHCO3+ are formed from CO3-2 and H+, here from HCO3-: less
    the fit of HCO3- that is in `carbonic_pk`.

    Examples
    --------
    >>> [round(log_k, 2) for log_k in pair_log_k(25)]
    [-0.25, 1.27, 1.11, 3.23, 1.07, 2.98]
    """
    t = temp_c + _KELVIN
    return PairLogK(*pair_log_k_at(t, log(t) / LN10))


def pair_log_k_at(t: Number, lg: Number) -> tuple[Number, Number, Number, Number, Number, Number]:
    """`pair_log_k` of a temperature [K] and its log10, or of an array of each."""
    inverse = 1.0 / t
    cooler = _KELVIN_PER_KCAL * (inverse - _AT_25_C)
    return (
        -0.25 + cooler,
        1.27 - 8.91 * cooler,
        1209.120 + 0.31294045 * t - 34765.05 * inverse - 478.782 * lg,
        -1228.732 - 0.299440 * t + 35512.75 * inverse + 485.818 * lg,
        -59.2150 + 2537.455 * inverse + 20.92298 * lg,
        0.9910 + 0.00667 * t,
    )


def paired(
    temp_c: float, lg1: float, lg0: float, sodium_mol_l: float, gh_mol_l: float
) -> tuple[float, float]:
    """Bicarbonate, and carbonate, held in pairs for each one that is free.

    Parameters
    ----------
    temp_c
        Water temperature [C].
    lg1, lg0
        log10 of the activity coefficient of an ion of charge one and of a neutral species.
    sodium_mol_l, gh_mol_l
        Sodium, and calcium plus magnesium in `CALCIUM_SHARE` [mol/L].

    Notes
    -----
    The metals are taken as all free, though carbonate takes some of the calcium in hard water
    near pH 9. Blends of random waters up to pH 8.8 and GH 15 meq/L stay within 0.021 pH of
    PHREEQC; in return alkalinity and carbon keep their closed form, with one root.
    """
    k = pair_log_k(temp_c)
    calcium = gh_mol_l * CALCIUM_SHARE
    magnesium = gh_mol_l - calcium
    # log g of charge two is four times that of one (Davies), of the pair by its own charge.
    lg_charged = 4.0 * lg1
    lg_neutral = 8.0 * lg1 - lg0
    return (
        sodium_mol_l * exp(LN10 * (k.nahco3 + 2.0 * lg1 - lg0))
        + calcium * exp(LN10 * (k.cahco3 + lg_charged))
        + magnesium * exp(LN10 * (k.mghco3 + lg_charged)),
        sodium_mol_l * exp(LN10 * (k.naco3 + lg_charged))
        + calcium * exp(LN10 * (k.caco3 + lg_neutral))
        + magnesium * exp(LN10 * (k.mgco3 + lg_neutral)),
    )
