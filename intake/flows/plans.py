"""A plan's dates before any fish is in, and those of a treatment repeated by the temperature."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from intake.clock import Clock, read_date
from intake.flows.desk import load_protocols
from intake.flows.names import unknown
from intake.flows.plan_treated import treated
from intake.flows.preventives import offer_keys
from intake.flows.reading_options import Reading
from intake.flows.windows_said import window_keys
from intake.science.calendar import planned
from intake.science.figures import figure
from intake.science.hatching import hatch_days, watch_step
from intake.science.plan import Plan, Step
from intake.science.problem import Problem
from intake.science.windows import windows


def dates(typed: Mapping[str, Any]) -> dict[str, Any]:
    """Every task of a plan whose fish go in on a day, and the earliest release.

    Raises
    ------
    Unreadable
        No such plan, parasite, treatment or day; a temperature that cannot be read.
    Refused
        not-in-range, where nothing is known of the parasite at these temperatures.
    """
    shelf = load_protocols()
    r = Reading(typed)
    plan = _named(r, "plan", "PLAN", shelf.plans, "a plan")
    parasite = _named(r, "for", "--for", shelf.parasites, "a parasite with a table")
    treatment = _named(r, "with", "--with", shelf.treatments, "a treatment with a protocol")
    days, nights = r.ends("temp", "temperature"), r.ends("night", "temperature")
    warm = None if days is None else days.high
    cold = None if nights is None else nights.low
    r.need("temp", "night")
    day_0 = read_date(str(typed["start"]), now=Clock().now())
    if isinstance(day_0, Problem):
        r.problems.append(day_0.placed("--start"))
    if warm is not None and cold is not None and cold > warm:
        found = Problem("out-of-range", "the night is warmer than the day", "swap the two")
        r.problems.append(found.placed("--night"))
    r.stop_if_faulty()
    assert plan is not None
    assert warm is not None
    assert isinstance(day_0, date)
    if cold is None:
        assert days is not None
        cold = days.low
        told = figure(warm) if days.exact else f"{figure(cold)} to {figure(warm)}"
        r.notes.assumptions.append(f"nights as warm as the days, {told} C")
    _judge_warmth(r, plan, cold, warm)
    tasks = [
        {
            "date": t.day.isoformat(),
            "from": t.from_.isoformat(),
            "to": t.to.isoformat(),
            "task": t.task,
            "because": t.because,
        }
        for t in planned(plan, day_0, more=_hatching(plan, cold, warm))
    ]
    release, life = day_0 + timedelta(plan.days), []
    if parasite is not None or treatment is not None:
        found_ = treated(r.notes, plan, day_0, parasite, treatment, (cold, warm))
        tasks = sorted([*tasks, *found_.tasks], key=lambda t: str(t["date"]))
        release, life = max(release, found_.release), list(found_.life_cycle)
    mean_c = (cold + warm) / 2
    return {
        "tasks": tasks,
        "earliest_release": release.isoformat(),
        "windows": window_keys(windows([mean_c] * plan.days, plan, ahead=True)),
        "life_cycle": life,
        "used_for": plan.used_for or None,
        "preventive": [offer_keys(p) for p in plan.preventive],
        "left_out": [{"check": c.check, "because": c.because} for c in plan.left_out],
        **r.notes.as_keys(),
    }


def _hatching(plan: Plan, cold: float, warm: float) -> tuple[Step, ...]:
    """Watching eggs hatch at these temperatures, for a plan that has eggs."""
    if plan.hatching is None:
        return ()
    return (watch_step(plan.hatching, hatch_days(plan.hatching, cold, warm)),)


def _named(r: Reading, name: str, path: str, known: Mapping[str, Any], what: str) -> Any:
    if name not in r.typed:
        return None
    if r.typed[name] not in known:
        r.problems.append(unknown(str(r.typed[name]), known, what).placed(path))
        return None
    return known[r.typed[name]]


def _judge_warmth(r: Reading, plan: Plan, cold: float, warm: float) -> None:
    """Says where the days would not count as warm ones."""
    mean = (cold + warm) / 2
    for rule in plan.checks:
        if rule.check != "warm-days" or rule.low_c is None or rule.high_c is None:
            continue
        if not float(rule.low_c) <= mean <= float(rule.high_c):
            r.notes.because.append(
                f"a mean of {figure(mean)} C makes no warm day: those have {figure(rule.low_c)} "
                f"to {figure(rule.high_c)} C, and {rule.days} of them are asked for before release"
            )
