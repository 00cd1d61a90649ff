"""Thiosulfate for chlorine and chloramine, and the ammonia chloramine leaves behind."""

from __future__ import annotations

THIOSULFATE_MG_PER_MG_CHLORINE = {
    "thiosulfate-pentahydrate": 7.0003,
    "thiosulfate-anhydrous": 4.4597,
}
"""Mass of thiosulfate for each mass of chlorine (as Cl2), the pathway that needs the most
(tetrathionate). Source: stoichiometry; Hach TE213 (2017) gives 7.0 for the pentahydrate."""

TAN_N_MG_PER_MG_CHLORAMINE = 0.1975
"""Ammonia freed by breaking monochloramine [mg N per mg as Cl2]. Source: stoichiometry."""


def thiosulfate_g(volume_l: float, total_chlorine_mg_l: float, using: str) -> float:
    """Thiosulfate [g] that takes all chlorine out of `volume_l` [L].

    Parameters
    ----------
    volume_l
        Water [L].
    total_chlorine_mg_l
        Free and combined chlorine together, as Cl2 [mg/L].
    using
        A key of `THIOSULFATE_MG_PER_MG_CHLORINE`.

    Raises
    ------
    KeyError
        For another form.

    Notes
    -----
    Chloramine is broken more slowly; test total chlorine before fish meet the water.

    Examples
    --------
    >>> round(thiosulfate_g(100, 1.0, "thiosulfate-pentahydrate"), 2)
    0.7
    """
    return volume_l * total_chlorine_mg_l * THIOSULFATE_MG_PER_MG_CHLORINE[using] / 1000.0


def tan_freed_n_mg_l(combined_chlorine_mg_l: float) -> float:
    """Total ammonia [mg/L as N] left when chloramine [mg/L as Cl2] has been broken."""
    return combined_chlorine_mg_l * TAN_N_MG_PER_MG_CHLORAMINE
