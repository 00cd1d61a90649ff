"""Waters as a keeper reads them, blended, aired and warmed; pH is solved, never averaged."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import exp

from intake.science.ammonia import (
    LN10,
    N_MG_PER_MMOL,
    nh3_fraction_at_solved_ph,
    require_range,
)
from intake.science.carbonate import (
    AIR_CO2_ATM,
    PH_RANGE,
    SALT_RANGE_G_L,
    TEMP_RANGE_C,
    Constants,
    co2_at,
    dic_at,
    dic_from_reading,
    solve_ph,
    solve_ph_at_co2,
    water_constants,
)

CO2_MG_PER_MMOL = 44.0095
"""Mass of a millimole of carbon dioxide [mg]. Source: IUPAC atomic weights."""

MEQ_L_PER_DKH = 0.356634
"""One German degree of carbonate hardness [meq/L]: 10 mg/L CaO."""

_AT_LEAST_NONE = (0.0, float("inf"))


@dataclass(frozen=True, slots=True)
class Water:
    """A water with everything its pH follows from.

    Parameters
    ----------
    temp_c
        Temperature [C].
    ph
        pH as read, or as solved from the rest.
    alk_meq_l
        Alkalinity, ammonia included, as a KH test finds it [meq/L].
    dic_mmol_l
        Dissolved inorganic carbon [mmol/L].
    tan_n_mg_l
        Total ammonia [mg/L as N].
    salt_g_l
        Salt [g/L NaCl].
    gh_meq_l
        Calcium and magnesium [meq/L], taken as 5 to 2 by mole.
    """

    temp_c: float
    ph: float
    alk_meq_l: float
    dic_mmol_l: float
    tan_n_mg_l: float = 0.0
    salt_g_l: float = 0.0
    gh_meq_l: float = 0.0

    @property
    def constants(self) -> Constants:
        """The equilibrium constants at this temperature and these salts."""
        return water_constants(
            self.temp_c, self.salt_g_l, self.alk_meq_l, self.tan_n_mg_l, self.gh_meq_l
        )

    @property
    def co2_mg_l(self) -> float:
        """Dissolved carbon dioxide [mg/L]."""
        return co2_at(self.dic_mmol_l, self.ph, self.constants) * CO2_MG_PER_MMOL

    @property
    def nh3_n_mg_l(self) -> float:
        """NH3 [mg/L as N]: uncorrected Emerson, as published tables and limits are stated."""
        return self.tan_n_mg_l * nh3_fraction_at_solved_ph(self.ph, self.temp_c)

    @property
    def nh3_activity_n_mg_l(self) -> float:
        """NH3 [mg/L as N] with activities: what the water holds, lower as salt rises."""
        ka = self.constants.ka
        return self.tan_n_mg_l * ka / (ka + exp(-LN10 * self.ph))


def water_from_reading(
    ph: float,
    kh_meq_l: float,
    temp_c: float,
    tan_n_mg_l: float = 0.0,
    salt_g_l: float = 0.0,
    gh_meq_l: float = 0.0,
) -> Water:
    """The water a keeper has read.

    Parameters
    ----------
    ph, kh_meq_l, temp_c, tan_n_mg_l, salt_g_l, gh_meq_l
        pH (4 to 10.5), KH [meq/L], temperature [C] (0 to 35), total ammonia [mg/L as N],
        salt [g/L] (0 to 5), GH [meq/L].

    Raises
    ------
    NotInRange
        For a value outside its range.
    ImpossibleWater
        When ammonia and hydroxide would use up the KH.
    """
    require_range("pH", ph, PH_RANGE)
    require_range("temperature", temp_c, TEMP_RANGE_C, "C")
    require_range("salt", salt_g_l, SALT_RANGE_G_L, "g/L")
    require_range("KH", kh_meq_l, _AT_LEAST_NONE, "meq/L")
    require_range("total ammonia", tan_n_mg_l, _AT_LEAST_NONE, "mg/L as N")
    require_range("GH", gh_meq_l, _AT_LEAST_NONE, "meq/L")
    c = water_constants(temp_c, salt_g_l, kh_meq_l, tan_n_mg_l, gh_meq_l)
    tan = tan_n_mg_l / N_MG_PER_MMOL / 1000.0
    dic = dic_from_reading(kh_meq_l / 1000.0, tan, ph, c) * 1000.0
    return Water(temp_c, ph, kh_meq_l, dic, tan_n_mg_l, salt_g_l, gh_meq_l)


def settled(water: Water) -> Water:
    """The same water with its pH solved from everything else, nothing gained or lost."""
    ph = solve_ph(
        water.alk_meq_l / 1000.0,
        water.dic_mmol_l / 1000.0,
        water.tan_n_mg_l / N_MG_PER_MMOL / 1000.0,
        water.constants,
        water.ph,
    )
    return replace(water, ph=ph)


def blend(a: Water, b: Water, share_b: float) -> Water:
    """Two waters mixed, `share_b` (0 to 1) of the volume being `b`, kept from the air.

    Notes
    -----
    Alkalinity, carbon, total ammonia, salts and heat mix by volume; the pH is solved.

    Raises
    ------
    NotInRange
        For a share outside 0 to 1.
    """
    require_range("share", share_b, (0.0, 1.0))

    def part(of_a: float, of_b: float) -> float:
        return of_a * (1.0 - share_b) + of_b * share_b

    return settled(
        Water(
            part(a.temp_c, b.temp_c),
            part(a.ph, b.ph),
            part(a.alk_meq_l, b.alk_meq_l),
            part(a.dic_mmol_l, b.dic_mmol_l),
            part(a.tan_n_mg_l, b.tan_n_mg_l),
            part(a.salt_g_l, b.salt_g_l),
            part(a.gh_meq_l, b.gh_meq_l),
        )
    )


def at_temperature(water: Water, temp_c: float) -> Water:
    """The same water warmed or cooled to `temp_c` [C], kept from the air."""
    require_range("temperature", temp_c, TEMP_RANGE_C, "C")
    return settled(replace(water, temp_c=temp_c))


def at_co2(water: Water, co2_mg_l: float) -> Water:
    """The same water once its dissolved CO2 is `co2_mg_l` [mg/L]; alkalinity and TAN stay."""
    c = water.constants
    co2 = co2_mg_l / CO2_MG_PER_MMOL / 1000.0
    ph = solve_ph_at_co2(
        water.alk_meq_l / 1000.0, co2, water.tan_n_mg_l / N_MG_PER_MMOL / 1000.0, c, water.ph
    )
    return replace(water, ph=ph, dic_mmol_l=dic_at(co2, ph, c) * 1000.0)


def aired(water: Water, air_co2_atm: float = AIR_CO2_ATM) -> Water:
    """The same water in balance with open air: the highest pH it can climb to by itself."""
    co2_mg_l = water.constants.co2_per_atm * air_co2_atm * 1000.0 * CO2_MG_PER_MMOL
    return at_co2(water, co2_mg_l)
