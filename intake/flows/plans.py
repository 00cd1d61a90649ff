"""A plan's dates before any fish is in."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from intake.clock import Clock, read_date
from intake.flows.desk import load_protocols
from intake.flows.names import unknown
from intake.flows.notes import Notes
from intake.science.calendar import planned
from intake.science.problem import Problem, Unreadable


def dates(typed: Mapping[str, Any]) -> dict[str, Any]:
    """Every task of a plan whose fish go in on a day.

    Raises
    ------
    Unreadable
        No such plan, or no such day.
    """
    plans = load_protocols().plans
    plan = plans.get(typed["plan"])
    if plan is None:
        raise Unreadable(unknown(str(typed["plan"]), plans, "a plan").placed("PLAN"))
    day_0 = read_date(str(typed["start"]), now=Clock().now())
    if isinstance(day_0, Problem):
        raise Unreadable(day_0.placed("--start"))
    return {
        "tasks": [
            {
                "date": t.day.isoformat(),
                "from": t.from_.isoformat(),
                "to": t.to.isoformat(),
                "task": t.task,
                "because": t.because,
            }
            for t in planned(plan, day_0)
        ],
        "earliest_release": (day_0 + timedelta(plan.days)).isoformat(),
        **Notes().as_keys(),
    }
