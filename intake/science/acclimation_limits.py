"""Thresholds the acclimation rule is decided with; the rule files may set every one of them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class AcclimationLimits:
    """Limits for bringing fish from a bag into a vessel. NH3 is mg/L as N, uncorrected Emerson.

    Parameters
    ----------
    nh3_peak_n_mg_l
        NH3 the fish may meet at most [mg/L as N].
        Source: UF/IFAS extension sheet FA16 (0.05 mg/L un-ionised may harm).
    nh3_low_n_mg_l
        NH3 under which a drip may be thought of, and the most the vessel may hold [mg/L as N].
        Source: Texas Parks & Wildlife and OATA, 0.02 mg/L un-ionised.
    nh3_exposure_mg_h_l
        NH3 times time while the fish is brought across [mg h/L]: the harm figure for one hour.
        Common practice.
    hours_packed_long
        Packed for longer than this, the bag is floated closed and its water never mixed [h].
        Common practice.
    hours_packed_short
        A drip is thought of only for bags packed for less than this [h]. Common practice
        (2-4 h; the more careful end).
    temp_step_c
        Temperature difference at which fish may change water [C]. Common practice.
    temp_gap_c
        A gap over this is first made smaller at the vessel [C]. Common practice.
    temp_drop_c
        A fish is not put into water colder by more than this [C]: chilling carriers of CyHV-2
        from 22 to 10 C raised the virus fifty-fold (Goodwin et al. 2009, J Fish Dis 32:271);
        the number itself is a judgement, common practice.
    temp_rate_c_per_h
        Fastest change of temperature over ten minutes [C/h]: about what floating a gap of 5 C
        does. Common practice (a hatchery page allows 1 F per minute, 33 C/h).
    ph_gap
        pH gap between bag and vessel over which a drip is thought of. Common practice.
    ph_step
        pH step at the change of water that remains when both are at the vessel's own CO2.
        Common practice (0.5-1.0; the more careful end).
    ph_rate_per_h
        Fastest change of pH over ten minutes [1/h]. Common practice, no study found.
    salt_step_g_l
        Salt step at the change of water [g/L]. Common practice (goldfish survived 8 g/L at once).
    float_min_min, float_max_min
        Shortest and longest float of a closed bag [min]. Common practice.
    drip_min
        Length of a drip that doubles the water [min]. Common practice (30-60).
    co2_half_time_fast_min
        Half-time of CO2 leaving an opened bag the rule is decided at [min]: the fast end.
        Derived from oxygen transfer of gentle air, from memory.
    co2_half_time_air_min
        The same with an airstone running [min].
    binder_kh_spare_dkh, binder_kh_per_tan_dkh
        An ammonia binder needs a bag KH over `spare` + `per_tan` x TAN [dKH, dKH per mg/L as N].
        Derived: one equivalent of alkalinity for each mole bound.

    Notes
    -----
    No outcome data exist to tune these; when two sources disagree the more careful is the default.
    """

    nh3_peak_n_mg_l: float = 0.05
    nh3_low_n_mg_l: float = 0.02
    nh3_exposure_mg_h_l: float = 0.05
    hours_packed_long: float = 8.0
    hours_packed_short: float = 2.0
    temp_step_c: float = 2.0
    temp_gap_c: float = 5.0
    temp_drop_c: float = 3.0
    temp_rate_c_per_h: float = 10.0
    ph_gap: float = 1.0
    ph_step: float = 0.5
    ph_rate_per_h: float = 0.5
    salt_step_g_l: float = 3.0
    float_min_min: int = 10
    float_max_min: int = 60
    drip_min: int = 60
    co2_half_time_fast_min: float = 15.0
    co2_half_time_air_min: float = 6.0
    binder_kh_spare_dkh: float = 1.0
    binder_kh_per_tan_dkh: float = 0.2
