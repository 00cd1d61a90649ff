"""The carbonate system of fresh water up to 5 g/L salt, with ammonia in the alkalinity.

Amounts are mol/L (eq/L for alkalinity) in here; `intake.science.blend` speaks in a keeper's units.
"""

from __future__ import annotations

from math import exp, log, sqrt
from typing import NamedTuple

from intake.science.ammonia import LN10
from intake.science.figures import beyond, figure
from intake.science.ion_pairs import Number, paired
from intake.science.problem import Refused

TEMP_RANGE_C = (0.0, 35.0)
"""Where the constants were compared with other published fits [C]."""

PH_RANGE = (4.0, 10.5)
"""pH from which carbonate can be worked out; beyond, KH says next to nothing of it."""

SALT_RANGE_G_L = (0.0, 5.0)
"""Salt up to which the activity equation was compared with PHREEQC [g/L]."""

AIR_CO2_ATM = 420e-6
"""Carbon dioxide in open air [atm], about the yearly mean of 2023; from memory."""

NACL_G_PER_MOL = 58.44
"""Source: IUPAC atomic weights."""

_KELVIN = 273.15
_STEPS = 60
# Newton doubles its digits: after a step this small the pH is right to about 1e-13.
_CLOSE = 1e-7


class ImpossibleWater(Refused):
    """pH, KH and total ammonia that cannot be one water (refusal `not-in-range`)."""

    def __init__(self, ph: float, alk_meq_l: float, used_meq_l: float) -> None:
        super().__init__(
            "not-in-range",
            f"no such water: at pH {figure(ph, 3)} ammonia and hydroxide alone hold"
            f" {figure(used_meq_l, 4)} meq/L of alkalinity, the KH is"
            f" {beyond(alk_meq_l, used_meq_l, 4)} meq/L",
            limit=used_meq_l,
            value=alk_meq_l,
            unit="meq/L",
            source="alkalinity balance",
            way_out="Test pH, KH and total ammonia again; one of them is off.",
        )


class Constants(NamedTuple):
    """Constants for a = 10^-pH (activity) with all else as concentration, and what uses them.

    Bicarbonate and carbonate are counted with what sodium, calcium and magnesium hold of them.
    """

    k1: float
    k2: float
    kw: float
    ka: float
    co2_per_atm: float
    g1: float


def carbonic_pk(temp_c: float) -> tuple[float, float, float, float]:
    """pK1, pK2, pKH (CO2, mol/kg/atm) and pKw in pure water at `temp_c` [C].

    Notes
    -----
    Source: Plummer & Busenberg 1982, Geochim Cosmochim Acta 46:1011.

    Examples
    --------
    >>> [round(pk, 4) for pk in carbonic_pk(25)]
    [6.3519, 10.3289, 1.4679, 13.9995]
    """
    t = temp_c + _KELVIN
    return carbonic_pk_at(t, log(t) / LN10)


def carbonic_pk_at(t: Number, lg: Number) -> tuple[Number, Number, Number, Number]:
    """`carbonic_pk` of a temperature [K] and its log10, or of an array of each."""
    inverse = 1.0 / t
    square = inverse * inverse
    return (
        356.3094 + 0.06091964 * t - 21834.37 * inverse - 126.8339 * lg + 1684915.0 * square,
        107.8871 + 0.03252849 * t - 5151.79 * inverse - 38.92561 * lg + 563713.9 * square,
        -108.3865 - 0.01985076 * t + 6919.53 * inverse + 40.45154 * lg - 669365.0 * square,
        283.971 + 0.05069842 * t - 13323.0 * inverse - 102.24447 * lg + 1119669.0 * square,
    )


def debye_huckel_a(temp_c: float) -> float:
    """Debye-Hückel slope A of water [(kg/mol)^0.5].

    Notes
    -----
    Density: Tilton & Taylor's form as used in limnology; permittivity: Malmberg & Maryott 1956;
    from memory, checked against a published table.
    """
    rho, product = density_and_permittivity(temp_c)
    return 1.82483e6 * sqrt(rho) / (product * sqrt(product))


def density_and_permittivity(temp_c: Number) -> tuple[Number, Number]:
    """Density of water [g/mL], and permittivity x temperature [K], of a temperature [C] or an
    array of them.
    """
    eps = 87.740 + temp_c * (-0.40008 + temp_c * (9.398e-4 - 1.410e-6 * temp_c))
    cool = temp_c - 3.9863
    rho = 1.0 - (temp_c + 288.9414) * (cool * cool) / (508929.2 * (temp_c + 68.12963))
    return rho, eps * (temp_c + _KELVIN)


def log_g1(temp_c: float, ionic_mol_l: float) -> float:
    """log10 of the activity coefficient of an ion of charge one (Davies 1962)."""
    root = sqrt(ionic_mol_l)
    return -debye_huckel_a(temp_c) * (root / (1.0 + root) - 0.3 * ionic_mol_l)


def ionic_strength_mol_l(
    salt_g_l: float, alk_meq_l: float, tan_n_mg_l: float, gh_meq_l: float = 0.0
) -> float:
    """Ionic strength [mol/L] of salt [g/L], alkalinity, total ammonia and hardness.

    Notes
    -----
    Calcium and magnesium are taken with chloride beside the sodium alkalinity; common practice.
    """
    return (
        salt_g_l / NACL_G_PER_MOL
        + abs(alk_meq_l) / 1000.0
        + tan_n_mg_l / 14006.7
        + 1.5 * gh_meq_l / 1000.0
    )


def constants(
    temp_c: float, ionic_mol_l: float, sodium_mol_l: float = 0.0, gh_mol_l: float = 0.0
) -> Constants:
    """The working constants at a temperature [C], an ionic strength and metals [mol/L].

    Parameters
    ----------
    temp_c, ionic_mol_l
        Temperature [C] and ionic strength [mol/L].
    sodium_mol_l, gh_mol_l
        Sodium, and calcium plus magnesium [mol/L]: what can pair with carbonate.
    """
    t = temp_c + _KELVIN
    pk1, pk2, pkh, pkw = carbonic_pk(temp_c)
    lg1 = log_g1(temp_c, ionic_mol_l)
    lg0 = 0.1 * ionic_mol_l
    hco3_pairs, co3_pairs = paired(temp_c, lg1, lg0, sodium_mol_l, gh_mol_l)
    with_hco3 = 1.0 + hco3_pairs
    return Constants(
        exp(LN10 * (lg0 - lg1 - pk1)) * with_hco3,
        exp(LN10 * (-3.0 * lg1 - pk2)) * (1.0 + co3_pairs) / with_hco3,
        exp(LN10 * (-lg1 - pkw)),
        exp(LN10 * (lg1 - lg0 - 0.09018 - 2729.92 / t)),
        exp(LN10 * (-pkh - lg0)),
        exp(LN10 * lg1),
    )


def water_constants(
    temp_c: float,
    salt_g_l: float,
    alk_meq_l: float,
    tan_n_mg_l: float,
    gh_meq_l: float = 0.0,
) -> Constants:
    """The working constants of a water, from what a keeper measures.

    Notes
    -----
    Sodium is the salt's and the alkalinity's, as in `ionic_strength_mol_l`.
    """
    return constants(
        temp_c,
        ionic_strength_mol_l(salt_g_l, alk_meq_l, tan_n_mg_l, gh_meq_l),
        salt_g_l / NACL_G_PER_MOL + max(alk_meq_l, 0.0) / 1000.0,
        gh_meq_l / 2000.0,
    )


def solve_ph(alk: float, dic: float, tan: float, c: Constants, start_ph: float = 7.5) -> float:
    """The pH of a closed water from its alkalinity [eq/L], DIC and total ammonia [mol/L].

    Notes
    -----
    Alkalinity rises with pH all the way, so there is one root; Newton from `start_ph`, steps of
    at most one pH. A start near the answer saves steps and does not change the answer.
    """
    k1, k12, kw, ka, g1 = c.k1, c.k1 * c.k2, c.kw, c.ka, c.g1
    ph = start_ph
    for _ in range(_STEPS):
        a = exp(-LN10 * ph)
        den = a * (a + k1) + k12
        share = dic / den
        nh3 = tan * ka / (ka + a)
        hydrogen = a / g1
        hydroxide = kw / a
        short = alk - share * (k1 * a + 2.0 * k12) - hydroxide + hydrogen - nh3
        slope = (
            share * k1 * a * (a * a + 4.0 * c.k2 * a + k12) / den
            + hydroxide
            + hydrogen
            + nh3 * a / (ka + a)
        )
        step = short / (LN10 * slope)
        ph += -1.0 if step < -1.0 else min(step, 1.0)
        if -_CLOSE < step < _CLOSE:
            break
    return ph


def solve_ph_at_co2(
    alk: float, co2: float, tan: float, c: Constants, start_ph: float = 7.5
) -> float:
    """The pH of a water held at a CO2 [mol/L], from alkalinity [eq/L] and TAN [mol/L]."""
    ph = start_ph
    for _ in range(_STEPS):
        a = exp(-LN10 * ph)
        r1 = c.k1 / a
        r2 = r1 * c.k2 / a
        nh3 = tan * c.ka / (c.ka + a)
        hydrogen = a / c.g1
        hydroxide = c.kw / a
        short = alk - co2 * (r1 + 2.0 * r2) - hydroxide + hydrogen - nh3
        slope = co2 * (r1 + 4.0 * r2) + hydroxide + hydrogen + nh3 * a / (c.ka + a)
        step = short / (LN10 * slope)
        ph += -1.0 if step < -1.0 else min(step, 1.0)
        if -_CLOSE < step < _CLOSE:
            break
    return ph


def co2_at(dic: float, ph: float, c: Constants) -> float:
    """Dissolved CO2 [mol/L] of a DIC [mol/L] at a pH."""
    a = exp(-LN10 * ph)
    return dic * a * a / (a * (a + c.k1) + c.k1 * c.k2)


def dic_at(co2: float, ph: float, c: Constants) -> float:
    """DIC [mol/L] of a dissolved CO2 [mol/L] at a pH."""
    r1 = c.k1 * exp(LN10 * ph)
    return co2 * (1.0 + r1 * (1.0 + c.k2 * exp(LN10 * ph)))


def dic_from_reading(alk: float, tan: float, ph: float, c: Constants) -> float:
    """DIC [mol/L] of a water read: alkalinity [eq/L], total ammonia [mol/L] and pH.

    Raises
    ------
    ImpossibleWater
        When ammonia and hydroxide alone hold more alkalinity than there is.
    """
    a = exp(-LN10 * ph)
    used = c.kw / a + tan * c.ka / (c.ka + a)
    carbonate = alk - used + a / c.g1
    if carbonate <= 0.0:
        raise ImpossibleWater(ph, alk * 1000.0, used * 1000.0)
    r1 = c.k1 / a
    r2 = r1 * c.k2 / a
    return carbonate / (r1 + 2.0 * r2) * (1.0 + r1 + r2)
