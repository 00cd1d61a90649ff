"""The way out of a pH crash, in sentences and in the keys of an answer."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import takewhile
from typing import Any

from intake.science.blend import MEQ_L_PER_DKH
from intake.science.crash_plan import HOURS_BETWEEN_CHANGES, CrashPlan, CrashStep
from intake.science.figures import beyond, figure
from intake.science.show import show


def first_changes(plan: CrashPlan) -> list[CrashStep]:
    """The changes before KH is raised for the first time."""
    return list(takewhile(lambda step: not step.raises_kh, plan.steps))


def plan_lines(plan: CrashPlan) -> tuple[str, ...]:
    """What to do, in its order, a sentence each."""
    return tuple(_lines(plan))


def short_lines(plan: CrashPlan) -> tuple[str, ...]:
    """The same in few words, as it stands beside a field."""
    out, raised = first_changes(plan), [s for s in plan.steps if s.raises_kh]
    lines = ["no feed, no bicarbonate yet, no more air than runs now unless fish gasp"]
    if out:
        first = out[0]
        times = (
            "once" if len(out) == 1 else f"{len(out)} times, every {HOURS_BETWEEN_CHANGES:.0f} h"
        )
        lines.append(f"{show(first.change_l, 'L')} out, {times}; in: {new_water(first)}")
    if raised:
        lines.append(
            f"then {show(plan.kh_rise_g, 'g')} of bicarbonate a day, 1 dKH, to "
            f"{dkh(plan.steps[-1].after.mixed.alk_meq_l)}; soft changes between"
        )
    lines.append("test TAN and KH before every step")
    return tuple(lines)


def _lines(plan: CrashPlan) -> Iterator[str]:
    yield (
        "no feed, no large tap change, no bicarbonate yet: each raises the pH, and with it the "
        "share of ammonia that harms"
    )
    yield _air(plan)
    if not plan.steps:
        return
    out = first_changes(plan)
    if out:
        yield from _changes(out)
    raised = [step for step in plan.steps if step.raises_kh]
    if raised:
        yield (
            f"then KH up by at most 1 dKH a day: {show(plan.kh_rise_g, 'g')} of sodium "
            "bicarbonate a day, dissolved first, in small parts; the same soft water changes "
            "between, with new water of the KH the vessel then has"
        )
    if plan.reaches:
        last = plan.steps[-1]
        yield (
            f"after {figure(last.hours / 24 + 0.5, 2)} days KH is "
            f"{dkh(last.after.mixed.alk_meq_l)}, and NH3 at most "
            f"{figure(last.after.worst.nh3_n_mg_l, 2)} mg/L as N even in open air"
        )
    else:
        yield (
            "changes alone do not bring KH back: the fish make ammonia as fast as it is taken "
            "out; fewer fish in this water, or a filter that works in another vessel"
        )
    yield "test total ammonia and KH before every step, and go by what they say"


def _air(plan: CrashPlan) -> str:
    alone, limit = plan.air_alone, plan.limit_n_mg_l
    says = f"pH {figure(alone.ph, 3)} and NH3 {beyond(alone.nh3_n_mg_l, limit, 2)} mg/L as N"
    if plan.air_breaks:
        return (
            f"air as it runs now, no more: strong air alone takes it to {says}, limit "
            f"{figure(limit)}; where fish gasp, more air all the same, want of oxygen kills sooner"
        )
    return f"air on: by itself it takes the water to {says}, limit {figure(limit)}"


def _changes(out: list[CrashStep]) -> Iterator[str]:
    first, last = out[0], out[-1]
    times = "once" if len(out) == 1 else f"{len(out)} times, every {HOURS_BETWEEN_CHANGES:.0f} h"
    yield (
        f"change {show(first.change_l, 'L')} {times}, for soft water of KH "
        f"{dkh(first.after.mixed.alk_meq_l)} and {figure(first.after.mixed.temp_c, 3)} C: "
        f"{new_water(first)}"
    )
    tan = last.after.mixed.tan_n_mg_l
    yield f"total ammonia then reads about {figure(tan, 2)} mg/L as N; if it does not, go on so"


def new_water(step: CrashStep) -> str:
    """What the new water of a change is made of."""
    parts = []
    if step.soft_l:
        parts.append(f"{show(step.soft_l, 'L', digits=4)} of rain or reverse osmosis water")
    if step.tap_l:
        parts.append(f"{show(step.tap_l, 'L')} of tap water, without its chlorine")
    if step.bicarbonate_g:
        parts.append(f"{show(step.bicarbonate_g, 'g')} of sodium bicarbonate stirred in")
    if step.salt_g:
        parts.append(f"{show(step.salt_g, 'g')} of salt, as in the vessel")
    return ", ".join(parts)


def dkh(meq_l: float) -> str:
    """A KH in the degrees a keeper tests it in."""
    return f"{figure(meq_l / MEQ_L_PER_DKH, 2)} dKH"


def instead_keys(plan: CrashPlan) -> dict[str, Any]:
    """The plan as keys with their units."""
    out = first_changes(plan)
    first = out[0] if out else None
    return {
        "change_percent": 100.0 * plan.share,
        "change_l": first.change_l if first else None,
        "every_h": HOURS_BETWEEN_CHANGES,
        "times": len(out),
        "soft_l": first.soft_l if first else None,
        "tap_l": first.tap_l if first else None,
        "new_water_kh_meq_l": plan.new_kh_meq_l,
        "bicarbonate_per_day_g": plan.kh_rise_g,
        "reaches": plan.reaches,
        "steps": [_step(step) for step in plan.steps],
    }


def _step(step: CrashStep) -> dict[str, Any]:
    after = step.after
    return {
        "after_h": step.hours,
        "change_l": step.change_l or None,
        "soft_l": step.soft_l or None,
        "tap_l": step.tap_l or None,
        "bicarbonate_g": step.bicarbonate_g or None,
        "salt_g": step.salt_g or None,
        "ph": after.likely.ph,
        "kh_meq_l": after.mixed.alk_meq_l,
        "tan_n_mg_l": after.mixed.tan_n_mg_l,
        "nh3_n_mg_l": after.likely.nh3_n_mg_l,
        "nh3_n_mg_l_worst": after.worst.nh3_n_mg_l,
    }
