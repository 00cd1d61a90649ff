"""Which doses belong to the course that runs: a stop or a long break begins another."""

from __future__ import annotations

from datetime import datetime, timedelta

from intake.flows.facts.happened import DoseFact
from intake.flows.facts.things import System
from intake.science.treatment import Course

BREAK_TIMES = 2
"""A dose later than so many times its interval begins a course of its own (common practice)."""
STEPS_BREAK_H = 14 * 24
"""The same for a stepped course whose protocol names no longest duration [h]."""


def run_of(system: System, treatment: str, course: Course, at: datetime) -> list[DoseFact]:
    """The doses of a course up to `at`, the newest run of them, oldest first."""
    run: list[DoseFact] = []
    for dose in system.doses:
        if (dose.treatment, dose.course) != (treatment, course.name) or dose.at > at:
            continue
        if run and _another(system, run, dose.at, course):
            run = []
        run.append(dose)
    return run


def still_runs(system: System, run: list[DoseFact], course: Course, at: datetime) -> bool:
    """Whether a dose at that time goes on with this run, and does not begin another."""
    return bool(run) and not _another(system, run, at, course)


def _another(system: System, run: list[DoseFact], at: datetime, course: Course) -> bool:
    last = run[-1]
    if any(last.at <= s.at <= at and s.treatment in (None, last.treatment) for s in system.stops):
        return True
    gone = at - last.at
    if course.repeat is None:
        steps_h = STEPS_BREAK_H if course.duration_max_h is None else course.duration_max_h
        return gone > timedelta(hours=float(steps_h))
    longest_h = max([course.repeat.every_h, *(h for _, h in course.repeat.by_temperature)])
    every = timedelta(hours=float(longest_h))
    full = 0 < course.repeat.times <= len(run)
    return gone > (every if full else BREAK_TIMES * every)
