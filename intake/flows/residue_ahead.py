"""The answer of `intake residue`: what is left now and ahead, and the plan of changes."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from intake.flows.change_plan import (
    CHANGES_A_DAY,
    DAYS,
    MOST_CHANGES_A_DAY,
    MOST_DAYS,
    Planned,
    planned,
)
from intake.flows.desk import Book, Desk, at_work
from intake.flows.doses import system_named, treatment_named
from intake.flows.facts.things import System
from intake.flows.notes import Notes
from intake.flows.plan_words import dosed, kept_of, told, way_out
from intake.flows.residues import answer, level_of, substances
from intake.flows.usage import Usage
from intake.science.change_planner import PlannedChange
from intake.science.ledger import Residue
from intake.science.problem import Problem, Unreadable
from intake.science.quantity import read_quantity

HOURS_AHEAD = (6, 12, 24)
"""The first hours that are told ahead; then every day. Common practice."""


def residue(desk: Desk, name: str, typed: Mapping[str, Any]) -> dict[str, Any]:
    """What is left of every treatment in a system's water, now and ahead.

    Raises
    ------
    Usage, Unreadable
        Where it is asked so that nothing can be meant.
    """
    if "changes_per_day" in typed and "plan" not in typed:
        raise Usage("residue takes --changes-per-day with --plan")
    days = _whole(typed, "days", DAYS, MOST_DAYS)
    a_day = _whole(typed, "changes_per_day", CHANGES_A_DAY, MOST_CHANGES_A_DAY)
    with at_work(desk) as book:
        system = system_named(book, name, "SYSTEM")
        only = None
        if "treatment" in typed:
            only = treatment_named(book.shelf, str(typed["treatment"])).id
        notes = Notes()
        found = answer(book, system, only)
        found["ahead"] = ahead_keys(book, system, days, only)
        if "plan" in typed:
            found["plan"] = plan_keys(book, planned(book, system, notes, days, a_day))
        return {**found, **notes.as_keys()}


def _whole(typed: Mapping[str, Any], name: str, usual: int, most: int) -> int:
    """A whole number of an option, from 1 to `most`."""
    if name not in typed:
        return usual
    option = "--" + name.replace("_", "-")
    found = read_quantity(str(typed[name]), "number")
    if isinstance(found, Problem):
        raise Unreadable(found.placed(option))
    value = None if found.value is None or found.band else found.value
    if value is None or value != int(value) or not 1 <= value <= most:
        text = f"'{str(typed[name])[:40]}' is not a whole number from 1 to {most}"
        raise Unreadable(Problem("out-of-range", text, f"like {usual}", option))
    return int(value)


def hours_ahead(days: int) -> tuple[int, ...]:
    """The hours from now that are told of."""
    return tuple(sorted({*(h for h in HOURS_AHEAD), *(d * 24 for d in range(1, days + 1))}))


def ahead_keys(
    book: Book, system: System, days: int, only: str | None = None
) -> list[dict[str, Any]]:
    """What is left ahead, if nothing is changed and nothing dosed."""
    named = [s for s in substances(book, system, book.now) if only in (None, s.treatment)]
    times = [(h, book.now + timedelta(hours=h)) for h in hours_ahead(days)]
    return [
        {
            "at": _local(book, at),
            "hours": hours,
            "substances": [
                _level(s.treatment, s.unit, level_of(book, system, s.treatment, at)) for s in named
            ],
        }
        for hours, at in times
        if named
    ]


def _local(book: Book, at: datetime) -> str:
    return at.astimezone(book.facts.zone).isoformat()


def _level(name: str, unit: str, level: Residue) -> dict[str, Any]:
    return {
        "treatment": name,
        "now": level.now,
        "unit": unit,
        "low": level.low,
        "high": level.high,
    }


def plan_keys(book: Book, found: Planned) -> dict[str, Any]:
    """A plan as keys; `possible` is None where it could not be worked out."""
    plan, ahead = found.plan, found.ahead
    keys: dict[str, Any] = {
        "possible": None if plan is None else plan.possible,
        "failure": plan.failure or None if plan else None,
        "medicine": plan.medicine or None if plan else None,
        "text": told(found),
        "way_out": way_out(found) or None,
        "days": found.days,
        "changes_per_day": found.changes_a_day,
    }
    if found.steps:
        keys["do"] = list(found.steps)
    if plan is None or ahead is None:
        return {**keys, "changes": [], "medicines": []}
    return {
        **keys,
        "limit_n_mg_l": ahead.limits.nh3_n_mg_l,
        "made_mg_d": ahead.made_n_mg_d,
        "nh3_n_mg_l_most": plan.nh3_most_n_mg_l,
        "nh3_n_mg_l_end": plan.nh3_end_n_mg_l,
        "changes": [_change(book, found, c) for c in plan.changes],
        "medicines": [
            {
                **_level(name, k.unit, end),
                "course_low": k.medicine.low,
                "hard_limit": k.medicine.limit,
                "hard_limit_source": k.limit_source,
                "after_change": k.medicine.after_change,
            }
            for name, end in plan.ends
            if (k := kept_of(found, name)) is not None
        ],
    }


def _change(book: Book, found: Planned, change: PlannedChange) -> dict[str, Any]:
    return {
        "at": _local(book, change.at_utc),
        "percent": change.percent,
        "change_l": change.litres,
        "nh3_n_mg_l_before": change.nh3_before_n_mg_l,
        "nh3_n_mg_l_after": change.nh3_after_n_mg_l,
        "medicines": [
            _through(found, name, before, after, change.litres)
            for name, before, after in change.levels
        ],
    }


def _through(
    found: Planned, name: str, before: Residue, after: Residue, litres: float
) -> dict[str, Any]:
    kept = kept_of(found, name)
    assert kept is not None
    put = dosed(found, kept)
    return {
        "treatment": name,
        "unit": kept.unit,
        "amount": float(kept.amount(litres)) if put else 0.0,
        "amount_unit": kept.product.unit,
        "new_water": (kept.medicine.new if put else kept.medicine.undosed).now,
        "before": before.now,
        "before_low": before.low,
        "before_high": before.high,
        "after": after.now,
        "after_low": after.low,
        "after_high": after.high,
    }
