"""Thousands of waters at once, on numpy: the sums of `carbonate` and `blend` on whole arrays.

The only module that needs numpy (extra `arrays`); nothing imports it unless it is asked for.
Every array has the shape its arguments broadcast to, all float64. A water that cannot be is NaN
in every figure, and `flaw` says why: nothing is cut to a range, nothing goes on silently.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from intake.science.ammonia import LN10, N_MG_PER_MMOL
from intake.science.blend import CO2_MG_PER_MMOL
from intake.science.carbonate import (
    AIR_CO2_ATM,
    NACL_G_PER_MOL,
    PH_RANGE,
    SALT_RANGE_G_L,
    TEMP_RANGE_C,
    carbonic_pk_at,
    density_and_permittivity,
)
from intake.science.ion_pairs import CALCIUM_SHARE, pair_log_k_at

Floats = NDArray[np.float64]
Flaws = NDArray[np.uint8]

FLAWS = ("", "not-in-range", "impossible-water")
"""What `flaw` counts: nothing wrong; a reading outside its range or not a number; pH, KH and
total ammonia that cannot be one water."""

_KELVIN = 273.15
_STEPS = 60
_CLOSE = 1e-7


@dataclass(frozen=True, slots=True)
class _Constants:
    """As `carbonate.Constants`, each an array."""

    k1: Floats
    k2: Floats
    kw: Floats
    ka: Floats
    co2_per_atm: Floats
    g1: Floats


@dataclass(frozen=True, slots=True)
class Waters:
    """Many waters; the fields of `blend.Water` as arrays of one shape, and what is wrong.

    Parameters
    ----------
    temp_c, ph, alk_meq_l, dic_mmol_l, tan_n_mg_l, salt_g_l, gh_meq_l
        Temperature [C], pH, alkalinity [meq/L], inorganic carbon [mmol/L], total ammonia
        [mg/L as N], salt [g/L], calcium and magnesium [meq/L]; NaN where `flaw` is not 0.
    flaw
        Place in `FLAWS`.
    """

    temp_c: Floats
    ph: Floats
    alk_meq_l: Floats
    dic_mmol_l: Floats
    tan_n_mg_l: Floats
    salt_g_l: Floats
    gh_meq_l: Floats
    flaw: Flaws

    @property
    def nh3_n_mg_l(self) -> Floats:
        """NH3 [mg/L as N]: uncorrected Emerson, as published tables and limits are stated."""
        pka = 0.09018 + 2729.92 / (self.temp_c + _KELVIN)
        return self.tan_n_mg_l / (1.0 + np.exp(LN10 * (pka - self.ph)))

    @property
    def nh3_activity_n_mg_l(self) -> Floats:
        """NH3 [mg/L as N] with activities: what the water holds, lower as salt rises."""
        ka = _constants(self).ka
        return self.tan_n_mg_l * ka / (ka + np.exp(-LN10 * self.ph))

    @property
    def co2_mg_l(self) -> Floats:
        """Dissolved carbon dioxide [mg/L]."""
        c, a = _constants(self), np.exp(-LN10 * self.ph)
        return self.dic_mmol_l * a * a / (a * (a + c.k1) + c.k1 * c.k2) * CO2_MG_PER_MMOL


def _constants(w: Waters) -> _Constants:
    """The working constants; see `carbonate.constants` and `ion_pairs.paired`."""
    t = w.temp_c + _KELVIN
    lg = np.log(t) / LN10
    ionic = (
        w.salt_g_l / NACL_G_PER_MOL
        + w.alk_meq_l / 1000.0
        + w.tan_n_mg_l / 14006.7
        + 1.5 * w.gh_meq_l / 1000.0
    )
    rho, product = density_and_permittivity(w.temp_c)
    root = np.sqrt(ionic)
    slope = 1.82483e6 * np.sqrt(rho) / (product * np.sqrt(product))
    lg1, lg0 = -slope * (root / (1.0 + root) - 0.3 * ionic), 0.1 * ionic
    pk1, pk2, pkh, pkw = carbonic_pk_at(t, lg)
    hco3, co3 = _paired(w, t, lg, lg1, lg0)
    return _Constants(
        np.exp(LN10 * (lg0 - lg1 - pk1)) * (1.0 + hco3),
        np.exp(LN10 * (-3.0 * lg1 - pk2)) * (1.0 + co3) / (1.0 + hco3),
        np.exp(LN10 * (-lg1 - pkw)),
        np.exp(LN10 * (lg1 - lg0 - 0.09018 - 2729.92 / t)),
        np.exp(LN10 * (-pkh - lg0)),
        np.exp(LN10 * lg1),
    )


def _paired(w: Waters, t: Floats, lg: Floats, lg1: Floats, lg0: Floats) -> tuple[Floats, Floats]:
    nahco3, naco3, cahco3, caco3, mghco3, mgco3 = pair_log_k_at(t, lg)
    sodium = w.salt_g_l / NACL_G_PER_MOL + w.alk_meq_l / 1000.0
    hco3 = sodium * np.exp(LN10 * (nahco3 + 2.0 * lg1 - lg0))
    co3 = sodium * np.exp(LN10 * (naco3 + 4.0 * lg1))
    if np.any(w.gh_meq_l > 0.0):
        calcium = w.gh_meq_l / 2000.0 * CALCIUM_SHARE
        magnesium = w.gh_meq_l / 2000.0 - calcium
        charged, neutral = 4.0 * lg1, 8.0 * lg1 - lg0
        hco3 = hco3 + calcium * np.exp(LN10 * (cahco3 + charged))
        hco3 = hco3 + magnesium * np.exp(LN10 * (mghco3 + charged))
        co3 = co3 + calcium * np.exp(LN10 * (caco3 + neutral))
        co3 = co3 + magnesium * np.exp(LN10 * (mgco3 + neutral))
    return hco3, co3


def waters_from_readings(
    ph: ArrayLike,
    kh_meq_l: ArrayLike,
    temp_c: ArrayLike,
    tan_n_mg_l: ArrayLike = 0.0,
    salt_g_l: ArrayLike = 0.0,
    gh_meq_l: ArrayLike = 0.0,
) -> Waters:
    """Waters as a keeper has read them.

    Parameters
    ----------
    ph, kh_meq_l, temp_c, tan_n_mg_l, salt_g_l, gh_meq_l
        pH (4 to 10.5), KH [meq/L], temperature [C] (0 to 35), total ammonia [mg/L as N], salt
        [g/L] (0 to 5), GH [meq/L]; numbers or arrays that broadcast to one shape.

    Notes
    -----
    Where the scalar `blend.water_from_reading` raises, the water is NaN and `flaw` says why.
    """
    asked = [ph, kh_meq_l, temp_c, tan_n_mg_l, salt_g_l, gh_meq_l]
    read = np.broadcast_arrays(*(np.asarray(one, dtype=np.float64) for one in asked))
    none = (0.0, np.inf)
    bounds = (PH_RANGE, none, TEMP_RANGE_C, none, SALT_RANGE_G_L, none)
    held = np.ones(read[0].shape, dtype=bool)
    for one, (low, high) in zip(read, bounds, strict=True):
        held &= (low <= one) & (one <= high) & np.isfinite(one)
    ph, kh, temp, tan, salt, gh = (np.where(held, one, np.nan) for one in read)
    flaw = np.where(held, 0, FLAWS.index("not-in-range")).astype(np.uint8)
    w = Waters(temp, ph, kh, np.full_like(ph, np.nan), tan, salt, gh, flaw)
    c, a = _constants(w), np.exp(-LN10 * ph)
    carbonate = kh / 1000.0 - c.kw / a - tan / N_MG_PER_MMOL / 1000.0 * c.ka / (c.ka + a)
    carbonate = carbonate + a / c.g1
    impossible = held & ~(carbonate > 0.0)
    r1 = c.k1 / a
    r2 = r1 * c.k2 / a
    dic = carbonate / (r1 + 2.0 * r2) * (1.0 + r1 + r2) * 1000.0
    flaw[impossible] = FLAWS.index("impossible-water")
    return _blanked(replace(w, dic_mmol_l=dic))


def _blanked(w: Waters) -> Waters:
    """NaN in every figure of a water with a flaw."""
    if not np.any(w.flaw):
        return w
    names = (*("temp_c", "ph", "alk_meq_l", "dic_mmol_l"), *("tan_n_mg_l", "salt_g_l", "gh_meq_l"))
    return replace(w, **{n: np.where(w.flaw > 0, np.nan, getattr(w, n)) for n in names})


def _solved(w: Waters, c: _Constants, co2_mol_l: Floats | None) -> Floats:
    """The pH of closed waters, or of waters held at a CO2; see `carbonate.solve_ph`."""
    ph, tan = w.ph, w.tan_n_mg_l / (N_MG_PER_MMOL * 1000.0)
    alk, dic = w.alk_meq_l / 1000.0, w.dic_mmol_l / 1000.0
    k12, four_k2 = c.k1 * c.k2, 4.0 * c.k2
    for _ in range(_STEPS):
        a = np.exp(-LN10 * ph)
        first = c.k1 * a
        if co2_mol_l is None:
            den = a * a + first + k12
            share = dic / den
            grown = share * first * (a * a + four_k2 * a + k12) / den
        else:
            share = co2_mol_l / (a * a)
            grown = share * (first + 4.0 * k12)
        nh3 = tan * c.ka / (c.ka + a)
        hydrogen, hydroxide = a / c.g1, c.kw / a
        short = alk - share * (first + 2.0 * k12) - hydroxide + hydrogen - nh3
        slope = grown + hydroxide + hydrogen + nh3 * a / (c.ka + a)
        step = short / (LN10 * slope)
        ph = ph + np.clip(step, -1.0, 1.0)
        if not np.any(np.abs(step) >= _CLOSE):
            break
    return ph


def blends(a: Waters, b: Waters, share_b: ArrayLike) -> Waters:
    """Waters mixed two by two and kept from the air, `share_b` (0 to 1) of the volume being `b`.

    Parameters
    ----------
    a, b
        Waters of shapes that broadcast to one.
    share_b
        Share of `b` in the volume, 0 to 1; a number or an array. Outside, and where either
        water has a flaw, the blend has one.
    """
    asked = np.asarray(share_b, dtype=np.float64)
    held = (asked >= 0.0) & (asked <= 1.0)
    share = np.where(held, asked, np.nan)

    def part(of_a: Floats, of_b: Floats) -> Floats:
        return of_a * (1.0 - share) + of_b * share

    outside = np.where(held, 0, FLAWS.index("not-in-range")).astype(np.uint8)
    mixed = Waters(
        part(a.temp_c, b.temp_c),
        part(a.ph, b.ph),
        part(a.alk_meq_l, b.alk_meq_l),
        part(a.dic_mmol_l, b.dic_mmol_l),
        part(a.tan_n_mg_l, b.tan_n_mg_l),
        part(a.salt_g_l, b.salt_g_l),
        part(a.gh_meq_l, b.gh_meq_l),
        np.maximum(np.maximum(a.flaw, b.flaw), outside),
    )
    return replace(mixed, ph=_solved(mixed, _constants(mixed), None))


def at_co2(waters: Waters, co2_mg_l: ArrayLike) -> Waters:
    """The waters once their dissolved CO2 is `co2_mg_l` [mg/L]; alkalinity and TAN stay.

    Notes
    -----
    A CO2 under 0, or not a number, is a flaw of its water.
    """
    asked = np.asarray(co2_mg_l, dtype=np.float64)
    held = (asked >= 0.0) & np.isfinite(asked)
    outside = np.where(held, 0, FLAWS.index("not-in-range")).astype(np.uint8)
    able = _blanked(replace(waters, flaw=np.maximum(waters.flaw, outside)))
    co2 = np.where(held, asked, np.nan) / CO2_MG_PER_MMOL / 1000.0
    return _held(able, _constants(able), co2)


def aired(waters: Waters, air_co2_atm: float = AIR_CO2_ATM) -> Waters:
    """The waters in balance with open air: the highest pH they can climb to by themselves."""
    c = _constants(waters)
    return _held(waters, c, c.co2_per_atm * air_co2_atm)


def _held(waters: Waters, c: _Constants, co2_mol_l: Floats) -> Waters:
    ph = _solved(waters, c, co2_mol_l)
    r1 = c.k1 * np.exp(LN10 * ph)
    dic = co2_mol_l * (1.0 + r1 * (1.0 + c.k2 * np.exp(LN10 * ph))) * 1000.0
    return replace(waters, ph=ph, dic_mmol_l=dic)
