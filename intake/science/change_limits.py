"""Thresholds a water change is judged with; the rule files may set every one of them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ChangeLimits:
    """Limits for changing water. NH3 is mg/L as N, uncorrected Emerson.

    Parameters
    ----------
    nh3_n_mg_l
        NH3 the water may hold at most [mg/L as N].
        Source: Texas Parks & Wildlife and OATA, 0.02 mg/L un-ionised.
    temp_step_c
        How far one change may move the temperature [C]. Common practice.
    salt_step_g_l
        How far one change may move the salt [g/L]. Common practice.
    ph_step
        How far one change may move the pH. Common practice.
    largest_share
        The largest share of the water that is changed at once (0 to 1). Common practice.
    acid_ph
        Under this pH ammonia hides as ammonium, and the water is raised with care. Common
        practice: at pH 7 and 20 C one part in 250 is NH3.
    kh_low_dkh
        KH under which the pH is no longer held, and which days left are counted down to [dKH].
        Common practice.
    kh_crash_dkh
        KH at which the pH falls [dKH]. Common practice.
    kh_rise_dkh
        How much KH is raised in a day at most [dKH]. Common practice.
    kh_wanted_meq_l
        KH the water is brought back to [meq/L]. Common practice, 70 mg/L CaCO3.

    Notes
    -----
    No outcome data exist to tune these; when two sources disagree the more careful is the default.
    """

    nh3_n_mg_l: float = 0.02
    temp_step_c: float = 2.0
    salt_step_g_l: float = 3.0
    ph_step: float = 0.5
    largest_share: float = 0.5
    acid_ph: float = 7.0
    kh_low_dkh: float = 1.0
    kh_crash_dkh: float = 0.5
    kh_rise_dkh: float = 1.0
    kh_wanted_meq_l: float = 70.0 / 50.04
