"""The way out of a pH crash: ammonia out with soft water first, then KH up a little a day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from intake.science.ammonia import N_MG_PER_MMOL
from intake.science.blend import Water, aired, at_co2, blend
from intake.science.change_limits import ChangeLimits
from intake.science.limits import allowed
from intake.science.ph_crash import SHARES, bicarbonate_g, stirred_in
from intake.science.water_change import AfterChange, three_states

HOURS_BETWEEN_CHANGES = 12.0
"""Time between two of the plan's steps [h]. Common practice."""

LONGEST_PLAN_DAYS = 30
"""A plan that is not done by then is said not to reach its end. Common practice."""

_IDLE_STEPS = 4
# A step that lowers ammonia by less than a fiftieth is as good as none.
_LESS = 0.98
_NOTHING_MEQ_L = 1e-9


@dataclass(frozen=True, slots=True)
class CrashStep:
    """One step of the way out of a crash.

    Parameters
    ----------
    hours
        From now [h].
    change_l, tap_l, soft_l
        Water changed [L], and how much of the new water is tap and how much rain or RO water.
    bicarbonate_g, salt_g
        Sodium bicarbonate and salt [g]: stirred into the new water of a change, so that its KH
        and salt are the vessel's; where nothing is changed, into the vessel.
    after
        The water afterwards, in the three states a change is judged in.
    """

    hours: float
    change_l: float
    tap_l: float
    soft_l: float
    bicarbonate_g: float
    salt_g: float
    after: AfterChange

    @property
    def raises_kh(self) -> bool:
        """Whether it is the step that brings KH up."""
        return self.change_l == 0.0


@dataclass(frozen=True, slots=True)
class CrashPlan:
    """The way out: ammonia out with soft water first, then KH up a little a day.

    Parameters
    ----------
    steps
        In their order.
    reaches
        Whether they bring KH to what is wanted with NH3 under its limit in open air.
    share
        Of the water, for each change.
    new_kh_meq_l
        KH of the new water of the first change [meq/L]: the vessel's own.
    kh_rise_g
        Sodium bicarbonate that brings this volume up by the most KH a day may bring [g].
    air_alone
        The water as it stands once open air has taken its CO2.
    air_breaks
        Whether that alone puts NH3 over the limit.
    limit_n_mg_l
        NH3 it was made for [mg/L as N].
    """

    steps: tuple[CrashStep, ...]
    reaches: bool
    share: float
    new_kh_meq_l: float
    kh_rise_g: float
    air_alone: Water
    air_breaks: bool
    limit_n_mg_l: float


def crash_plan(
    volume_l: float,
    water: Water,
    tap: Water | None = None,
    limits: ChangeLimits | None = None,
    tan_per_day_n_mg_l: float = 0.0,
) -> CrashPlan:
    """The way out of a crash: changes with soft water of the vessel's own KH, then KH up.

    Parameters
    ----------
    volume_l
        Water in the vessel [L].
    water, tap
        As read, and the tap's (None: not known), which is let into the soft water until its KH
        is the vessel's; where the tap is no harder than the vessel it is all of the new water.
    limits
        What is judged with.
    tan_per_day_n_mg_l
        Ammonia the fish still make, unfed [mg/L as N a day].

    Notes
    -----
    A step every 12 h. KH is raised, by at most `kh_rise_dkh` in 24 h, only where NH3 in open
    air, with what the fish make until the next step, stays at or under the limit; otherwise
    water is changed. New water has the vessel's temperature and salt and is in balance with
    air. Common practice, each step checked by the solver.
    """
    limits = limits or ChangeLimits()
    waters = [None] if tap is None else [tap, None]
    plans = [_plan(volume_l, water, w, limits, tan_per_day_n_mg_l) for w in waters]
    return next((p for p in plans if p.reaches), plans[0])


def _plan(
    volume_l: float, water: Water, tap: Water | None, limits: ChangeLimits, made_a_day: float
) -> CrashPlan:
    steps = tuple(_steps(volume_l, water, tap, limits, made_a_day))
    last = steps[-1].after.likely if steps else water
    air_alone = aired(water)
    return CrashPlan(
        steps,
        _done(last, limits),
        _gentle_share(water, _new_water(water, tap), limits),
        _new_water(water, tap).alk_meq_l,
        bicarbonate_g(volume_l, limits.kh_rise_meq_l),
        air_alone,
        not allowed(air_alone.nh3_n_mg_l, None, limits.nh3_n_mg_l),
        limits.nh3_n_mg_l,
    )


def _steps(
    volume_l: float, water: Water, tap: Water | None, limits: ChangeLimits, made_a_day: float
) -> Iterator[CrashStep]:
    made = made_a_day * HOURS_BETWEEN_CHANGES / 24.0
    share = _gentle_share(water, _new_water(water, tap), limits)
    there, raised_at, lowest, idle = water, -24.0, water.tan_n_mg_l, 0
    for n in range(round(LONGEST_PLAN_DAYS * 24.0 / HOURS_BETWEEN_CHANGES)):
        hours = n * HOURS_BETWEEN_CHANGES
        there = _grown(there, made) if n else there
        if _done(there, limits) or idle > _IDLE_STEPS:
            return
        may_rise = hours - raised_at >= 24.0
        if not (may_rise and _may_rise(there, made, limits)):
            step = _change(volume_l, there, water.co2_mg_l, tap, share, hours)
            there = step.after.likely
            yield step
        if may_rise and _may_rise(there, made, limits):
            step = _rise(volume_l, there, water.co2_mg_l, _rise_meq_l(there, limits), hours)
            there, raised_at, idle = step.after.likely, hours, 0
            yield step
        idle = 0 if there.tan_n_mg_l < lowest * _LESS else idle + 1
        lowest = min(lowest, there.tan_n_mg_l)


def _rise_meq_l(water: Water, limits: ChangeLimits) -> float:
    most = limits.kh_rise_meq_l
    return min(most, limits.kh_wanted_meq_l - water.alk_meq_l)


def _done(water: Water, limits: ChangeLimits) -> bool:
    kh_there = allowed(water.alk_meq_l, limits.kh_wanted_meq_l, None)
    worst = three_states(water, water.co2_mg_l).worst
    return kh_there and allowed(worst.nh3_n_mg_l, None, limits.nh3_n_mg_l)


def _grown(water: Water, made_n_mg_l: float) -> Water:
    """The water with what the fish made meanwhile, its CO2 as it was."""
    more = replace(
        water,
        tan_n_mg_l=water.tan_n_mg_l + made_n_mg_l,
        alk_meq_l=water.alk_meq_l + made_n_mg_l / N_MG_PER_MMOL,
    )
    return at_co2(more, water.co2_mg_l)


def _may_rise(water: Water, made: float, limits: ChangeLimits) -> bool:
    """Whether KH is short and can be raised with NH3 under the limit until the next step."""
    rise = _rise_meq_l(water, limits)
    if rise <= 0.0:
        return False
    then = three_states(stirred_in(_grown(water, made), rise), water.co2_mg_l)
    return allowed(then.worst.nh3_n_mg_l, None, limits.nh3_n_mg_l)


def _rise(volume_l: float, water: Water, co2_mg_l: float, rise: float, hours: float) -> CrashStep:
    after = three_states(stirred_in(water, rise), co2_mg_l)
    return CrashStep(hours, 0.0, 0.0, 0.0, bicarbonate_g(volume_l, rise), 0.0, after)


def _change(
    volume_l: float, water: Water, co2_mg_l: float, tap: Water | None, share: float, hours: float
) -> CrashStep:
    new = _new_water(water, tap)
    after = three_states(blend(water, new, share), co2_mg_l)
    out_l = volume_l * share
    tap_share = _tap_share(water, tap)
    lacks = new.alk_meq_l - (tap.alk_meq_l * tap_share if tap is not None else 0.0)
    salt = max(0.0, new.salt_g_l - (tap.salt_g_l * tap_share if tap is not None else 0.0))
    return CrashStep(
        hours,
        out_l,
        out_l * tap_share,
        out_l * (1.0 - tap_share),
        bicarbonate_g(out_l, lacks) if lacks > _NOTHING_MEQ_L else 0.0,
        out_l * salt,
        after,
    )


def _tap_share(water: Water, tap: Water | None) -> float:
    """How much of the new water is tap, so that its KH is the vessel's."""
    if tap is None or tap.alk_meq_l <= 0.0:
        return 0.0
    return min(1.0, max(0.0, water.alk_meq_l) / tap.alk_meq_l)


def _new_water(water: Water, tap: Water | None) -> Water:
    """Soft water with the vessel's KH, temperature and salt, in balance with air."""
    share = _tap_share(water, tap)
    alk = max(0.0, water.alk_meq_l)
    if tap is None:
        return aired(Water(water.temp_c, 7.0, alk, alk, 0.0, water.salt_g_l))
    salt = max(water.salt_g_l, tap.salt_g_l * share)
    gh = tap.gh_meq_l * share
    return aired(Water(water.temp_c, 7.0, alk, alk, tap.tan_n_mg_l * share, salt, gh))


def _gentle_share(water: Water, new: Water, limits: ChangeLimits) -> float:
    """The largest share in steps of 5 % that moves the pH by no more than one change may."""
    found = SHARES[0]
    for share in SHARES:
        if not allowed(share, None, limits.largest_share):
            break
        if allowed(blend(water, new, share).ph - water.ph, None, limits.ph_step):
            found = share
    return found
