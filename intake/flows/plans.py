"""A plan's dates before any fish is in, and those of a treatment repeated by the temperature."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from intake.clock import Clock, read_date
from intake.flows.desk import load_protocols
from intake.flows.names import unknown
from intake.flows.reading_options import Reading
from intake.flows.windows_said import window_keys
from intake.science.calendar import planned
from intake.science.figures import figure
from intake.science.lifecycle import PARASITES, DoseWindow, repeats, wait_days
from intake.science.plan import Plan
from intake.science.problem import Problem
from intake.science.treatment import Course, Treatment
from intake.science.windows import windows

FIRST_DAY = 3
"""Day of a first treatment where the plan asks for no slide: the fish have settled by then
(common practice)."""


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
    parasite = _named(r, "for", "--for", {p: p for p in PARASITES}, "a parasite with a table")
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
    tasks = [_task(t.day, t.from_, t.to, t.task, t.because) for t in planned(plan, day_0)]
    release = day_0 + timedelta(plan.days)
    if parasite is not None or treatment is not None:
        more, last = _treated(r, plan, day_0, parasite, treatment, cold, warm)
        tasks = sorted([*tasks, *more], key=lambda t: str(t["date"]))
        release = max(release, last)
    mean_c = (cold + warm) / 2
    return {
        "tasks": tasks,
        "earliest_release": release.isoformat(),
        "windows": window_keys(windows([mean_c] * plan.days, plan, ahead=True)),
        **r.notes.as_keys(),
    }


def _named(r: Reading, name: str, path: str, known: Mapping[str, Any], what: str) -> Any:
    if name not in r.typed:
        return None
    if r.typed[name] not in known:
        r.problems.append(unknown(str(r.typed[name]), known, what).placed(path))
        return None
    return known[r.typed[name]]


def _task(day: date, first: date, last: date, task: str, because: str) -> dict[str, Any]:
    return {
        "date": day.isoformat(),
        "from": first.isoformat(),
        "to": last.isoformat(),
        "task": task,
        "because": because,
    }


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


def _treated(
    r: Reading,
    plan: Plan,
    day_0: date,
    parasite: str | None,
    treatment: Treatment | None,
    cold: float,
    warm: float,
) -> tuple[list[dict[str, Any]], date]:
    """The tasks of a treatment and its repeats, and the day its wait is over."""
    first = min((s.from_day for s in plan.steps if s.kind == "slide"), default=FIRST_DAY)
    r.notes.assumptions.append(f"the first treatment is on day {first}, after the first slides")
    course = treatment.courses[0] if treatment is not None else None
    look_day = None
    if parasite is not None:
        found = repeats(parasite, cold, warm)
        windows, look_day, source = found.windows, found.look_day, found.source
    else:
        assert course is not None
        windows, source = _by_protocol(course)
    _judge_interval(r, windows, treatment, course)
    what = f"Treat against {parasite}" if parasite else "Treat"
    by = f" with {treatment.title}, course {course.name}" if treatment and course else ""
    start = day_0 + timedelta(first)
    told = [_task(start, start, start, f"{what}{by}, the first time", source)]
    for n, w in enumerate(windows, 2):
        a, b = start + timedelta(w.from_day), start + timedelta(w.to_day)
        told.append(_task(a, a, b, f"{what}{by}, time {n}", f"{w.because}; {source}"))
    if look_day is not None:
        day = start + timedelta(look_day)
        told.append(_task(day, day, day, f"Skin scrape and gill clip: {parasite}?", source))
    rule = next((c.days for c in plan.checks if c.check == "since-treatment"), 0)
    wait = max(rule, wait_days(parasite, cold) if parasite else 0)
    last = start + timedelta(max((w.to_day for w in windows), default=0))
    r.notes.because.append(f"{wait} days are waited after the last treatment on {last}")
    return told, last + timedelta(wait)


def _by_protocol(course: Course) -> tuple[tuple[DoseWindow, ...], str]:
    """The repeats a course asks for itself, whatever it is given against."""
    repeat = course.repeat
    if repeat is None:
        return (), "; ".join(dict.fromkeys(s.text for s in course.sources))
    days = [round(float(repeat.every_h) * n / 24) for n in range(1, max(repeat.times, 1))]
    because = repeat.text or f"every {figure(repeat.every_h)} h"
    return tuple(DoseWindow(d, d, because) for d in days), repeat.source.text


def _judge_interval(
    r: Reading,
    windows: tuple[DoseWindow, ...],
    treatment: Treatment | None,
    course: Course | None,
) -> None:
    """Warns where the repeats come sooner than the treatment may be given again."""
    least = course.interval.not_before_h if course and course.interval else None
    if treatment is None or least is None:
        return
    days = [0, *(w.to_day for w in windows)]
    gaps = [b - a for a, b in pairwise(days)]
    if gaps and min(gaps) * 24 < least:
        r.notes.warn(
            "early",
            f"{treatment.title} is not given again within {figure(least)} h, the repeats ask "
            f"for every {min(gaps)} d: take another treatment",
        )
