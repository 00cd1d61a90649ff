"""A bag against the vessel waiting for it: what opening it does, and how to bring fish across."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import exp

from intake.science.acclimation_doubt import MostUseful, most_useful
from intake.science.acclimation_gaps import fill_gaps
from intake.science.acclimation_limits import AcclimationLimits
from intake.science.acclimation_options import (
    Option,
    drip_plan,
    fast_half_time_min,
    float_plan,
    match_plan,
    option,
    outcome,
)
from intake.science.acclimation_readings import BagReading, Known, Pair, VesselReading
from intake.science.acclimation_rule import (
    DRIP,
    DRIP_WITH_BINDER,
    FLOAT_AND_LIFT,
    MATCH_WATER,
    Judged,
    choose,
)
from intake.science.acclimation_steps import with_binder, worded
from intake.science.ammonia import nh3_fraction_at_solved_ph
from intake.science.bag import FLOAT_TAU_MIN
from intake.science.blend import Water, aired, at_co2, at_temperature, blend
from intake.science.figures import figure
from intake.science.peak import highest
from intake.science.problem import Warn
from intake.science.span import Span

SHARES = tuple(step / 10.0 for step in range(11))
"""Shares of vessel water a blend is looked at first; the highest is sought between them."""


@dataclass(frozen=True, slots=True)
class WorstBlend:
    """The share of vessel water that makes the most NH3 [mg/L as N] once in balance with air."""

    share: float
    nh3_n_mg_l: float
    nh3_n_mg_l_low: float
    nh3_n_mg_l_high: float


@dataclass(frozen=True, slots=True)
class Acclimation:
    """Everything said of a bag and a vessel. NH3 is mg/L as N, uncorrected Emerson.

    `_low` and `_high` are the ends the readings leave; equal to the value where all are exact.
    Steps are vessel minus bag. `alkalinity_ratio` is vessel over bag, None for a bag of no KH.
    """

    nh3_now_n_mg_l: float
    nh3_now_n_mg_l_low: float
    nh3_now_n_mg_l_high: float
    nh3_likely_n_mg_l: float
    nh3_likely_n_mg_l_low: float
    nh3_likely_n_mg_l_high: float
    nh3_opened_n_mg_l: float
    nh3_opened_n_mg_l_low: float
    nh3_opened_n_mg_l_high: float
    worst_blend: WorstBlend
    nh3_if_mixed_n_mg_l: float
    drip_peak_n_mg_l: float
    ph_step_total: float
    ph_step_after_co2: float
    salt_step_g_l: float
    alkalinity_ratio: float | None
    float_min: int
    options: tuple[Option, ...]
    choice: str
    reason: str
    assumed: tuple[str, ...]
    warnings: tuple[Warn, ...]
    because: tuple[str, ...]
    known: Known
    most_useful: MostUseful | None = None

    def option(self, name: str) -> Option:
        """The option of that name."""
        return next(o for o in self.options if o.name == name)


def nh3_likely_n_mg_l(pair: Pair) -> float:
    """NH3 of the bag once opened, at the vessel's own CO2, at its own or the vessel's
    temperature, whichever gives more.
    """
    return _at_both(pair, pair.bag, lambda water: at_co2(water, pair.vessel.co2_mg_l))


def nh3_opened_n_mg_l(pair: Pair) -> float:
    """NH3 of the bag in balance with open air, at its own or the vessel's temperature,
    whichever gives more.
    """
    return _at_both(pair, pair.bag, aired)


def worst_blend(pair: Pair) -> tuple[float, float]:
    """Share of vessel water with the most NH3 in balance with air, and that NH3; each blend at
    its own or the vessel's temperature, whichever gives more. Not monotone in the share.
    """

    def own(share: float) -> float:
        return aired(blend(pair.bag, pair.vessel, share)).nh3_n_mg_l

    def vessels(share: float) -> float:
        there = at_temperature(blend(pair.bag, pair.vessel, share), pair.vessel.temp_c)
        return aired(there).nh3_n_mg_l

    return max(
        (highest(of, SHARES, within=3e-4) for of in (own, vessels)), key=lambda found: found[1]
    )


def _at_both(pair: Pair, water: Water, opened: Callable[[Water], Water]) -> float:
    warm = max(water.temp_c, pair.vessel.temp_c)
    cool = min(water.temp_c, pair.vessel.temp_c)
    return max(opened(at_temperature(water, t)).nh3_n_mg_l for t in (cool, warm))


def _spread(known: Known, of: Callable[[Pair], float]) -> Span:
    at = of(known.nominal)
    every = [at, *(of(pair) for pair in (*known.best, *known.worst))]
    return Span(min(every), at, max(every))


def _if_mixed(pair: Pair) -> float:
    vessel = pair.vessel
    return pair.bag.tan_n_mg_l * nh3_fraction_at_solved_ph(vessel.ph, vessel.temp_c)


def _drip_peak(known: Known, limits: AcclimationLimits, air: str, drip: Option) -> float:
    """The most an hour's doubling drip may give, or the drip asked for if that gives more."""
    _, plan = drip_plan(known, limits, None)
    fast = fast_half_time_min(limits, air)
    standard = (
        outcome(pair, plan, fast, load).peak_n_mg_l
        for load in known.loads
        for pair in (known.nominal, *known.worst)
    )
    return max(drip.peak_nh3_n_mg_l_high, *standard)


def _judged(known: Known, limits: AcclimationLimits, now: Span, drip_peak: float) -> Judged:
    gap = known.temp_gap_c
    cold = -gap.low > limits.temp_drop_c
    return Judged(
        nh3_now_n_mg_l=now.high,
        drip_peak_n_mg_l=drip_peak,
        nh3_if_mixed_n_mg_l=_spread(known, _if_mixed).high,
        vessel_nh3_n_mg_l=_spread(known, lambda pair: pair.vessel.nh3_n_mg_l).high,
        hours_packed=known.hours_packed,
        tan_read=known.tan_read,
        gasping=known.gasping,
        ph_gap=known.ph_gap.nearest,
        temp_gap_c=gap.low if cold else gap.high if gap.high > 0.0 else gap.low,
        salt_gap_g_l=known.salt_gap_g_l.widest,
        temp_left_c=abs(gap.widest) * exp(-limits.float_max_min / FLOAT_TAU_MIN),
        salt_gap_least_g_l=known.salt_gap_g_l.nearest,
        temp_read=known.temp_read,
    )


def _options(
    known: Known, limits: AcclimationLimits, drip_ml_min: float | None, air: str
) -> tuple[Option, ...]:
    usual = known.volume_l * 1000.0 / max(limits.drip_min, 1)
    rate = usual if drip_ml_min is None else drip_ml_min
    binder_way = drip_plan(known, limits, drip_ml_min, binder=True)

    lifted = option(FLOAT_AND_LIFT, float_plan(known, limits), known, limits, air)
    dripped = option(DRIP, drip_plan(known, limits, drip_ml_min), known, limits, air)
    bound = option(DRIP_WITH_BINDER, binder_way, known, limits, air)
    matched = option(MATCH_WATER, match_plan(limits), known, limits, air)
    lifted, dripped, bound, matched = (
        worded(o, known, limits, rate) for o in (lifted, dripped, bound, matched)
    )
    return lifted, dripped, with_binder(bound, dripped, known, limits), matched


def _warnings(known: Known, limits: AcclimationLimits) -> tuple[Warn, ...]:
    drop = -known.temp_gap_c.low
    if drop <= limits.temp_drop_c:
        return ()
    text = (
        f"the vessel may be {drop:.1f} C colder than the bag: chilling raised CyHV-2 in carriers"
        " fifty-fold within a day (Goodwin et al. 2009); warm the vessel first"
    )
    return (Warn("cold-shock", text),)


def acclimate(
    bag: BagReading,
    vessel: VesselReading,
    limits: AcclimationLimits | None = None,
    *,
    drip_ml_min: float | None = None,
    air: str = "still",
) -> Acclimation:
    """What opening a bag does and which way across is advised.

    Parameters
    ----------
    bag, vessel
        Readings; what is missing of the bag is taken from ranges and named in `assumed`.
    limits
        Thresholds; None for the shipped defaults.
    drip_ml_min
        The drip that would be used [mL/min]; None for one that doubles the water in its time.
    air
        "still" or "aerated": what would be done with the opened bag.

    Raises
    ------
    NotInRange, ImpossibleWater
        For readings outside their range, or that cannot be one water.

    Notes
    -----
    Decided at the fast end of gas exchange with the harshest readings. Thresholds are common
    practice; no outcome data exist for goldfish, and no goldfish bag was ever measured against
    this model.
    """
    limits = limits or AcclimationLimits()
    known = fill_gaps(bag, vessel)
    now = _spread(known, lambda pair: pair.bag.nh3_n_mg_l)
    options = _options(known, limits, drip_ml_min, air)
    drip_peak = _drip_peak(known, limits, air, options[1])
    judged = _judged(known, limits, now, drip_peak)
    answer = _answer(known, limits, options, now, judged)
    useful = most_useful(bag, vessel, known, nh3_opened_n_mg_l)
    if useful is None:
        return answer
    return replace(answer, because=(*answer.because, useful.text), most_useful=useful)


def _answer(
    known: Known,
    limits: AcclimationLimits,
    options: tuple[Option, ...],
    now: Span,
    judged: Judged,
) -> Acclimation:
    likely = _spread(known, nh3_likely_n_mg_l)
    opened = _spread(known, nh3_opened_n_mg_l)
    share, most = worst_blend(known.nominal)
    blends = [most, *(worst_blend(pair)[1] for pair in (*known.best, *known.worst))]
    here, there = known.nominal.bag, known.nominal.vessel
    after_co2 = at_co2(at_temperature(here, there.temp_c), there.co2_mg_l).ph
    decision = choose(judged, limits)
    return Acclimation(
        *(now.nominal, now.low, now.high),
        *(likely.nominal, likely.low, likely.high),
        *(opened.nominal, opened.low, opened.high),
        worst_blend=WorstBlend(share, most, min(blends), max(blends)),
        nh3_if_mixed_n_mg_l=judged.nh3_if_mixed_n_mg_l,
        drip_peak_n_mg_l=judged.drip_peak_n_mg_l,
        ph_step_total=there.ph - here.ph,
        ph_step_after_co2=there.ph - after_co2,
        salt_step_g_l=there.salt_g_l - here.salt_g_l,
        alkalinity_ratio=there.alk_meq_l / here.alk_meq_l if here.alk_meq_l > 0.0 else None,
        float_min=options[0].minutes,
        options=options,
        choice=decision.choice,
        reason=decision.reason,
        assumed=known.assumed,
        warnings=_warnings(known, limits),
        because=_because(known, opened, limits),
        known=known,
    )


def _because(known: Known, opened: Span, limits: AcclimationLimits) -> tuple[str, ...]:
    said = ["decided as if CO2 leaves an opened bag as fast as it may"]
    if known.assumed:
        said.append("where a reading is missing, the end of its range that harms decides")
    if opened.high > limits.nh3_peak_n_mg_l:
        said.append(
            f"opened and left to the air the bag could reach {figure(opened.high, 2)} mg/L"
            f" NH3 as N with no new ammonia, limit {figure(limits.nh3_peak_n_mg_l)}"
        )
    return tuple(said)
