"""The ways to bring fish across, each run minute by minute and held against the limits."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from math import ceil, log

from intake.science.acclimation_limits import AcclimationLimits
from intake.science.acclimation_readings import Known, Pair
from intake.science.bag import DRIP_TAU_MIN, FLOAT_TAU_MIN, Fish, Minute, Stage, run
from intake.science.blend import MEQ_L_PER_DKH, Water, at_co2, settled
from intake.science.limits import allowed
from intake.science.span import Span

SLOW_HALF_TIME_MIN = {"still": 120.0, "aerated": 30.0}
"""Slow end of CO2 leaving an opened bag, by its air [min]; derived from lake fits, from memory."""

BINDER_SPARE = 2.0
"""How much more binder than the ammonia in the bag is thought of. Common practice."""

PREPARED_SALT_STEP_G_L = 1.0
"""Salt step left when the vessel is prepared first [g/L]. Common practice (1-2)."""

_WINDOW_MIN = 10

Plan = Callable[[Pair, float], tuple[list[Stage], Water]]
"""From a pair of waters and a half-time of CO2: what is done, and the water the fish end in."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What the fish meet on one way across, for one pair of waters.

    `peak` and `exposure` are NH3 [mg/L as N, mg h/L]; the rates are the fastest over ten minutes
    [C/h, 1/h]; the steps are what is left at the change of water: temperature [C], pH at once,
    pH with both at the vessel's CO2, salt [g/L].
    """

    peak_n_mg_l: float
    exposure_mg_h_l: float
    temp_c_per_h: float
    ph_per_h: float
    temp_step_c: float
    ph_step: float
    ph_step_after_co2: float
    salt_step_g_l: float
    curve: tuple[Minute, ...]


@dataclass(frozen=True, slots=True)
class Option:
    """One way across. The plain NH3 figures are at the fast end of gas exchange, as read; `_low`
    is the slow end with the mildest readings, `_high` the fast end with the harshest. The rates
    are the fastest the readings leave, and `breaks` is judged on the harshest of all. `plan` is
    what is done; `intake.science.bag_band` runs it again for the ends of every minute.
    """

    name: str
    peak_nh3_n_mg_l: float
    peak_nh3_n_mg_l_low: float
    peak_nh3_n_mg_l_high: float
    exposure_mg_h_l: float
    exposure_mg_h_l_low: float
    exposure_mg_h_l_high: float
    fastest_temp_c_per_h: float
    fastest_ph_per_h: float
    minutes: int
    temp_step_c: float
    ph_step: float
    ph_step_after_co2: float
    salt_step_g_l: float
    breaks: tuple[str, ...]
    plan: Plan
    possible: bool = True
    assumes: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    curve: tuple[Minute, ...] = ()


def float_minutes(gap_c: float, limits: AcclimationLimits) -> int:
    """Minutes a closed bag floats until a gap [C] is down to the step allowed, within the caps.

    Notes
    -----
    Newton cooling with a time of 37 min; Lim, Dhert & Sorgeloos 2003.
    """
    wide = abs(gap_c) / limits.temp_step_c
    needed = ceil(FLOAT_TAU_MIN * log(wide) - 1e-9) if wide > 1.0 else 0
    return min(max(needed, limits.float_min_min), limits.float_max_min)


def prepared(pair: Pair, limits: AcclimationLimits) -> Water:
    """The vessel's water brought near the bag's temperature and salt; never colder than the bag.

    Notes
    -----
    KH is left alone: a bag soured by CO2 cannot be matched by blending.
    """
    bag, vessel = pair.bag, pair.vessel
    temp_c = min(max(vessel.temp_c, bag.temp_c), bag.temp_c + limits.temp_step_c)
    low = max(bag.salt_g_l - PREPARED_SALT_STEP_G_L, 0.0)
    salt_g_l = min(max(vessel.salt_g_l, low), bag.salt_g_l + PREPARED_SALT_STEP_G_L)
    return settled(replace(vessel, temp_c=temp_c, salt_g_l=salt_g_l))


def fast_half_time_min(limits: AcclimationLimits, air: str) -> float:
    """Half-time of CO2 the rule is decided at [min], by whether the opened bag is aerated."""
    return limits.co2_half_time_air_min if air == "aerated" else limits.co2_half_time_fast_min


def binder_possible(known: Known, limits: AcclimationLimits) -> bool:
    """Whether the bag's KH bears an ammonia binder, with the least KH and the most ammonia."""
    return all(
        p.bag.alk_meq_l / MEQ_L_PER_DKH
        > limits.binder_kh_per_tan_dkh * p.bag.tan_n_mg_l + limits.binder_kh_spare_dkh
        for p in known.pairs
    )


def _fastest(values: list[float]) -> float:
    window = min(_WINDOW_MIN, len(values) - 1)
    if window < 1:
        return 0.0
    moved = (abs(b - a) for a, b in zip(values, values[window:], strict=False))
    return max(moved) * 60.0 / window


def outcome(pair: Pair, plan: Plan, half_time_min: float, known: Known) -> Outcome:
    """What the fish meet when `plan` is followed with one pair of waters."""
    stages, there = plan(pair, half_time_min)
    fish = Fish(known.fish_mass_kg)
    curve = run(pair.bag, known.volume_l, stages, fish, pair.vessel)
    nh3 = [m.water.nh3_n_mg_l for m in curve]
    last = curve[-1].water
    after_co2 = at_co2(replace(last, temp_c=there.temp_c), there.co2_mg_l).ph
    return Outcome(
        max(*nh3, there.nh3_n_mg_l),
        (sum(nh3) - (nh3[0] + nh3[-1]) / 2.0) / 60.0,
        _fastest([m.water.temp_c for m in curve]),
        _fastest([m.water.ph for m in curve]),
        there.temp_c - last.temp_c,
        there.ph - last.ph,
        there.ph - after_co2,
        there.salt_g_l - last.salt_g_l,
        tuple(curve),
    )


def drip_plan(
    known: Known, limits: AcclimationLimits, drip_ml_min: float | None, *, binder: bool = False
) -> tuple[int, Plan]:
    """Minutes and plan of a drip: until the water has doubled, half an hour at least, `drip_min`
    at most; without a rate, doubled in `drip_min`.
    """
    longest = max(limits.drip_min, 1)
    rate = known.volume_l / longest if drip_ml_min is None else drip_ml_min / 1000.0
    doubled = known.volume_l / rate if rate > 0.0 else float(longest)
    minutes = min(max(ceil(doubled - 1e-9), longest // 2, 1), longest)

    def plan(pair: Pair, half_time_min: float) -> tuple[list[Stage], Water]:
        takes = BINDER_SPARE * known.volume_l * pair.bag.tan_n_mg_l if binder else 0.0
        stage = Stage(
            minutes,
            surroundings_c=pair.vessel.temp_c,
            temp_tau_min=DRIP_TAU_MIN,
            co2_half_time_min=half_time_min,
            drip_l_min=rate,
            binder_takes_n_mg=takes,
        )
        return [stage], pair.vessel

    return minutes, plan


def float_plan(known: Known, limits: AcclimationLimits) -> tuple[int, Plan]:
    """Minutes and plan of a closed float in the vessel as it is."""
    gap = max(abs(p.vessel.temp_c - p.bag.temp_c) for p in known.pairs)
    minutes = float_minutes(gap, limits)

    def plan(pair: Pair, half_time_min: float) -> tuple[list[Stage], Water]:  # noqa: ARG001
        return [Stage(minutes, surroundings_c=pair.vessel.temp_c)], pair.vessel

    return minutes, plan


def match_plan(limits: AcclimationLimits) -> tuple[int, Plan]:
    """Minutes and plan of a short closed float in a vessel prepared for the bag."""
    minutes = limits.float_min_min

    def plan(pair: Pair, half_time_min: float) -> tuple[list[Stage], Water]:  # noqa: ARG001
        ready = prepared(pair, limits)
        return [Stage(minutes, surroundings_c=ready.temp_c)], ready

    return minutes, plan


def _over(values: Iterable[float], limit: float) -> bool:
    return any(not allowed(abs(value), None, limit) for value in values)


def breaks(harshest: Iterable[Outcome], limits: AcclimationLimits) -> tuple[str, ...]:
    """Codes of the limits that any of these outcomes is over."""
    met = tuple(harshest)
    judged = (
        ("nh3-peak", [o.peak_n_mg_l for o in met], limits.nh3_peak_n_mg_l),
        ("nh3-exposure", [o.exposure_mg_h_l for o in met], limits.nh3_exposure_mg_h_l),
        ("temperature-rate", [o.temp_c_per_h for o in met], limits.temp_rate_c_per_h),
        ("temperature-step", [o.temp_step_c for o in met], limits.temp_step_c),
        ("ph-step", [o.ph_step_after_co2 for o in met], limits.ph_step),
        ("ph-rate", [o.ph_per_h for o in met], limits.ph_rate_per_h),
        ("salt-step", [o.salt_step_g_l for o in met], limits.salt_step_g_l),
    )
    return tuple(code for code, values, limit in judged if _over(values, limit))


def _span(nominal: float, mild: Iterable[float], harsh: Iterable[float]) -> Span:
    every = [nominal, *mild, *harsh]
    return Span(min(every), nominal, max(every))


def option(
    name: str, way: tuple[int, Plan], known: Known, limits: AcclimationLimits, air: str
) -> Option:
    """One way across with its figures and what it breaks; steps and notes are added after."""
    minutes, plan = way
    fast = fast_half_time_min(limits, air)
    slow = max(SLOW_HALF_TIME_MIN[air], fast)
    at = outcome(known.nominal, plan, fast, known)
    mild = [outcome(p, plan, slow, known) for p in (known.best or (known.nominal,))]
    harsh = [
        outcome(p, plan, fast, load)
        for load in known.loads
        for p in (known.worst or (known.nominal,))
    ]
    peak = _span(at.peak_n_mg_l, (o.peak_n_mg_l for o in mild), (o.peak_n_mg_l for o in harsh))
    exposure = _span(
        at.exposure_mg_h_l,
        (o.exposure_mg_h_l for o in mild),
        (o.exposure_mg_h_l for o in harsh),
    )
    every = (at, *mild, *harsh)
    return Option(
        name,
        peak.nominal,
        peak.low,
        peak.high,
        exposure.nominal,
        exposure.low,
        exposure.high,
        max(o.temp_c_per_h for o in every),
        max(o.ph_per_h for o in every),
        minutes,
        at.temp_step_c,
        at.ph_step,
        at.ph_step_after_co2,
        at.salt_step_g_l,
        breaks(every, limits),
        plan,
        curve=at.curve,
    )
