"""Thresholds a water change is judged with; the rule files may set every one of them."""

from __future__ import annotations

from dataclasses import dataclass

from intake.science.blend import MEQ_L_PER_DKH


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
    largest_percent
        The most of the water that is changed at once [%]. Common practice.
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
    kh_wanted_dkh
        KH the water is brought back to [dKH]. Common practice, at least 70 mg/L CaCO3.

    Notes
    -----
    No outcome data exist to tune these; when two sources disagree the more careful is the default.
    """

    nh3_n_mg_l: float = 0.02
    temp_step_c: float = 2.0
    salt_step_g_l: float = 3.0
    ph_step: float = 0.5
    largest_percent: float = 50.0
    acid_ph: float = 7.0
    kh_low_dkh: float = 1.0
    kh_crash_dkh: float = 0.5
    kh_rise_dkh: float = 1.0
    kh_wanted_dkh: float = 4.0

    @property
    def largest_share(self) -> float:
        """The largest share of the water that is changed at once (0 to 1)."""
        return self.largest_percent / 100.0

    @property
    def kh_low_meq_l(self) -> float:
        """`kh_low_dkh` in meq/L."""
        return self.kh_low_dkh * MEQ_L_PER_DKH

    @property
    def kh_crash_meq_l(self) -> float:
        """`kh_crash_dkh` in meq/L."""
        return self.kh_crash_dkh * MEQ_L_PER_DKH

    @property
    def kh_rise_meq_l(self) -> float:
        """`kh_rise_dkh` in meq/L."""
        return self.kh_rise_dkh * MEQ_L_PER_DKH

    @property
    def kh_wanted_meq_l(self) -> float:
        """`kh_wanted_dkh` in meq/L."""
        return self.kh_wanted_dkh * MEQ_L_PER_DKH
