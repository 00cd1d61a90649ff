"""Ammonia from feed, and the KH a filter uses to turn it into nitrate."""

from __future__ import annotations

from intake.science.ammonia import N_MG_PER_MMOL, require_range

TAN_N_G_PER_G_PROTEIN = 0.092
"""Ammonia from a mass of protein fed [g N/g]: 0.16 N in protein, of which 0.80 x 0.80 x 0.90 is
eaten, digested and given off. Source: Timmons & Ebeling, from memory. An upper estimate: sea bream
gave off about half of it, perch a third."""

KH_MEQ_PER_MMOL_TAN = 2.0
"""Alkalinity used for each mole of ammonium that becomes nitrate [eq/mol].
Source: NH4+ + 2 O2 -> NO3- + 2 H+ + H2O; published as 7.14 g CaCO3 for each g of N, and measured
at 6.3 to 7.4 in attached growth (US EPA 1975, in a secondary copy)."""

HOURS_A_DAY = 24.0


def tan_per_day_n_mg_l(feed_g_d: float, protein_share: float, volume_l: float) -> float:
    """Ammonia a day's feed adds to the water [mg/L as N a day], an upper estimate.

    Parameters
    ----------
    feed_g_d
        Feed eaten in a day [g], 0 or more.
    protein_share
        Protein in the feed, from its label (0 to 1).
    volume_l
        Water [L], more than 0.

    Raises
    ------
    NotInRange
        For a value outside its range.

    Notes
    -----
    All that is fed is taken as eaten or rotting, which comes to the same.
    Source: Timmons & Ebeling, from memory.

    Examples
    --------
    >>> round(tan_per_day_n_mg_l(5, 0.35, 200), 3)
    0.805
    """
    require_range("feed", feed_g_d, (0.0, float("inf")), "g a day")
    require_range("protein", protein_share, (0.0, 1.0))
    require_range("volume", volume_l, (1e-9, float("inf")), "L")
    return feed_g_d * protein_share * TAN_N_G_PER_G_PROTEIN * 1000.0 / volume_l


def kh_used_meq_l(tan_n_mg_l: float) -> float:
    """KH [meq/L] used when so much ammonia [mg/L as N] becomes nitrate.

    Notes
    -----
    Ammonia given off by fish may bring back up to half of it; nothing is counted on that.

    Examples
    --------
    >>> round(kh_used_meq_l(1000) * 50.04 / 1000, 2)
    7.15
    """
    return KH_MEQ_PER_MMOL_TAN * tan_n_mg_l / N_MG_PER_MMOL


def kh_days_left(kh_meq_l: float, tan_per_day_n_mg_l: float, down_to_meq_l: float) -> float | None:
    """Days until KH has fallen to `down_to_meq_l` [meq/L], None where none is used.

    Parameters
    ----------
    kh_meq_l
        KH now [meq/L].
    tan_per_day_n_mg_l
        Ammonia the filter turns over [mg/L as N a day]; all that is made, where it is cycled.
    down_to_meq_l
        The KH that is counted down to [meq/L].

    Notes
    -----
    No change and no top-up on the way. 0 where KH is there or under it already.
    """
    if kh_meq_l <= down_to_meq_l:
        return 0.0
    used = kh_used_meq_l(tan_per_day_n_mg_l)
    return None if used <= 0.0 else (kh_meq_l - down_to_meq_l) / used
