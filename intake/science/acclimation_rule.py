"""Which way across is advised: the stricter of the drip model and the mixed-water rule."""

from __future__ import annotations

from dataclasses import dataclass

from intake.science.acclimation_limits import AcclimationLimits
from intake.science.figures import figure
from intake.science.limits import allowed
from intake.science.show import show

FLOAT_AND_LIFT = "float-and-lift"
DRIP = "drip"
DRIP_WITH_BINDER = "drip-with-binder"
MATCH_WATER = "match-water"


@dataclass(frozen=True, slots=True)
class Judged:
    """What the rule looks at, each at its harshest. NH3 is mg/L as N, uncorrected Emerson.

    Parameters
    ----------
    nh3_now_n_mg_l
        In the closed bag.
    drip_peak_n_mg_l
        Most in an hour of dripping, at the fast end of gas exchange.
    nh3_if_mixed_n_mg_l
        The bag's total ammonia at the vessel's pH and temperature.
    vessel_nh3_n_mg_l
        In the vessel.
    hours_packed
        None where not known [h].
    tan_read, gasping
        Whether the bag's ammonia was tested; whether the fish gasp.
    ph_gap, temp_gap_c, salt_gap_g_l
        Vessel minus bag: of pH the least the readings leave, of temperature and salt the most.
    temp_left_c
        What the longest float leaves of the temperature gap, without sign [C].
    salt_gap_least_g_l
        The least the readings leave of the salt gap; None for the gap itself.
    temp_read
        Whether both temperatures were read.
    """

    nh3_now_n_mg_l: float
    drip_peak_n_mg_l: float
    nh3_if_mixed_n_mg_l: float
    vessel_nh3_n_mg_l: float
    hours_packed: float | None
    tan_read: bool
    gasping: bool
    ph_gap: float
    temp_gap_c: float
    salt_gap_g_l: float
    temp_left_c: float
    salt_gap_least_g_l: float | None = None
    temp_read: bool = True


@dataclass(frozen=True, slots=True)
class Decision:
    """The way across and the sentence that says why, with its number."""

    choice: str
    reason: str


def _urgent(j: Judged, limits: AcclimationLimits) -> str | None:
    """Why the fish must leave the bag at once, if they must."""
    peak = limits.nh3_peak_n_mg_l
    if not allowed(j.nh3_now_n_mg_l, None, peak):
        return (
            f"NH3 in the closed bag may be {figure(j.nh3_now_n_mg_l, 3)} mg/L as N already,"
            f" over the limit {figure(peak)}:"
            " lift the fish across as soon as the temperature allows."
        )
    if j.gasping:
        return (
            f"The fish are gasping, whatever the NH3 of {figure(j.nh3_now_n_mg_l, 3)} mg/L"
            " as N says: lift them across as soon as the temperature allows."
        )
    return None


def _never_mix(j: Judged, limits: AcclimationLimits) -> str | None:
    """Why the bag's water must not meet the vessel's, if it must not."""
    peak = limits.nh3_peak_n_mg_l
    closed = "keep the bag closed and lift the fish across."
    if not allowed(j.drip_peak_n_mg_l, None, peak):
        return (
            f"An hour of dripping could take NH3 to {figure(j.drip_peak_n_mg_l, 3)} mg/L as N,"
            f" over the limit {figure(peak)}: {closed}"
        )
    if not allowed(j.nh3_if_mixed_n_mg_l, None, peak):
        return (
            f"At the vessel's pH the bag would hold {figure(j.nh3_if_mixed_n_mg_l, 3)} mg/L"
            f" NH3 as N, over the limit {figure(peak)}: {closed}"
        )
    if j.hours_packed is None:
        known = "The hours packed are" if j.tan_read else "Neither hours packed nor ammonia are"
        verb = "not known" if j.tan_read else "known"
        return (
            f"{known} {verb}, and over {figure(limits.hours_packed_long)} h a bag is not opened"
            f" slowly: {closed}"
        )
    if not allowed(j.hours_packed, None, limits.hours_packed_long):
        return (
            f"Packed for {figure(j.hours_packed)} h, over {figure(limits.hours_packed_long)} h,"
            f" the bag holds ammonia and CO2: {closed}"
        )
    return None


def _prepare(j: Judged, limits: AcclimationLimits) -> str | None:
    """Why the vessel is brought nearer to the bag first, if it is."""
    if not allowed(-j.temp_gap_c, None, limits.temp_drop_c):
        return (
            f"The vessel is {-j.temp_gap_c:.1f} C colder than the bag, more than"
            f" {figure(limits.temp_drop_c)} C: warm the vessel first, then lift the fish across."
        )
    if not allowed(j.temp_gap_c, None, limits.temp_gap_c):
        return (
            f"The vessel is {j.temp_gap_c:.1f} C warmer than the bag, more than"
            f" {figure(limits.temp_gap_c)} C: bring it nearer first, then lift the fish across."
        )
    return None


def _unread(j: Judged, limits: AcclimationLimits) -> str:
    """Why a bag is floated as long as a bag is, where nobody read a temperature."""
    return (
        f"A temperature was not read, perhaps {abs(j.temp_gap_c):.0f} C apart: float it shut"
        f" {limits.float_max_min} min ({j.temp_left_c:.1f} C may be left), read both, and lift the"
        f" fish across within {figure(limits.temp_step_c)} C."
    )


def _may_drip(j: Judged, limits: AcclimationLimits) -> bool:
    low = limits.nh3_low_n_mg_l
    salt = j.salt_gap_g_l if j.salt_gap_least_g_l is None else j.salt_gap_least_g_l
    gap = not (
        allowed(abs(j.ph_gap), None, limits.ph_gap)
        and allowed(abs(salt), None, limits.salt_step_g_l)
    )
    fresh = j.hours_packed is not None and allowed(j.hours_packed, 0, limits.hours_packed_short)
    calm = allowed(j.drip_peak_n_mg_l, None, low) and allowed(j.nh3_if_mixed_n_mg_l, None, low)
    return gap and fresh and calm and j.tan_read


def choose(j: Judged, limits: AcclimationLimits) -> Decision:
    """The way across that is advised, by the first rule that speaks.

    Notes
    -----
    Order: bag bad already; vessel not fit; bag water must not be mixed; vessel to be prepared;
    drip; else float and lift. Never less strict as the bag's ammonia rises.
    """
    urgent = _urgent(j, limits)
    if urgent:
        return Decision(FLOAT_AND_LIFT, urgent)
    if not allowed(j.vessel_nh3_n_mg_l, None, limits.nh3_low_n_mg_l):
        return Decision(
            MATCH_WATER,
            f"The vessel itself holds {figure(j.vessel_nh3_n_mg_l, 3)} mg/L NH3 as N, over"
            f" {figure(limits.nh3_low_n_mg_l)}: change its water or use another vessel first.",
        )
    never_mix = _never_mix(j, limits)
    if never_mix and allowed(j.temp_left_c, None, limits.temp_step_c):
        return Decision(FLOAT_AND_LIFT, never_mix)
    if not j.temp_read:
        return Decision(FLOAT_AND_LIFT, _unread(j, limits))
    prepare = _prepare(j, limits)
    if prepare:
        return Decision(MATCH_WATER, prepare)
    if _may_drip(j, limits):
        return Decision(
            DRIP,
            f"Dripped for an hour NH3 stays under {figure(limits.nh3_low_n_mg_l)} mg/L as N"
            f" ({figure(j.drip_peak_n_mg_l, 2)}), and pH is {show(abs(j.ph_gap), '', step=0.1)}"
            f" and salt {show(abs(j.salt_gap_g_l), 'g/L', step=0.1)} apart:"
            " a drip makes that slow.",
        )
    if not allowed(abs(j.salt_gap_g_l), None, limits.salt_step_g_l):
        return Decision(
            MATCH_WATER,
            f"Salt is {show(abs(j.salt_gap_g_l), 'g/L', step=0.1)} apart, more than"
            f" {figure(limits.salt_step_g_l)}: bring the vessel nearer first,"
            " then lift the fish across.",
        )
    return Decision(
        FLOAT_AND_LIFT,
        f"Lifted across, the fish skip the NH3 of the opened bag, up to"
        f" {figure(max(j.drip_peak_n_mg_l, j.nh3_if_mixed_n_mg_l), 2)} mg/L as N, and nothing"
        " calls for a drip.",
    )
