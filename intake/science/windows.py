"""At which temperatures a hidden virus shows itself, and which of them a quarantine has served."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from intake.science.course_parts import Source
from intake.science.figures import figure
from intake.science.plan import Plan

ASKED_DAYS = 14
"""Days inside a window where a plan says nothing [d]: koi herpesvirus takes 14 on average (Riggs,
Hawaii Dept of Agriculture). For the others common practice.
"""


@dataclass(frozen=True, slots=True)
class Risk:
    """A virus and the daily means at which it shows, `low_c` to `high_c`, both inside [C].

    `beyond` is what is known of water outside, `source` where the ends come from.
    """

    name: str
    low_c: float
    high_c: float
    beyond: str
    source: Source


RISKS = (
    Risk(
        "goldfish herpesvirus",
        15.0,
        25.0,
        "25 C is no way out: it killed most fish there",
        Source(
            "15 to 25 C from memory; it killed at 20 and at 25 C in published trials, and Goodwin "
            "et al. 2009, J Fish Dis 32:271, raised it by chilling carriers from 22 to 10 C",
            "from memory",
        ),
    ),
    Risk(
        "koi herpesvirus",
        18.0,
        28.0,
        "fish kept at 13 C fell ill when they were warmed, so cold hides it",
        Source(
            "Gilad et al. 2003, J Gen Virol, doi 10.1099/vir.0.19323-0: deaths at 18, 23 and "
            "28 C, none at 13 C",
            "published",
        ),
    ),
    Risk(
        "spring viraemia",
        10.0,
        17.0,
        "outbreaks end in warm water and the virus need not",
        Source("10 to 17 C for the highest losses, from memory", "from memory"),
    ),
)
"""The risks whose window is counted."""


@dataclass(frozen=True, slots=True)
class Window:
    """What a quarantine shows of one risk.

    `days` of `known_days` had a mean inside the window; `state` is served, "not-yet" or "never"
    (no day was inside and the plan's warm window does not reach it).
    """

    risk: str
    low_c: float
    high_c: float
    days: int
    known_days: int
    asked_days: int
    state: str
    said: str
    source: Source


def windows(means_c: Iterable[float], plan: Plan, *, ahead: bool = False) -> tuple[Window, ...]:
    """What days of these daily means show of every risk.

    Parameters
    ----------
    means_c
        The mean temperature [C] of every day since the last fish or foreign contact on which it
        is known.
    plan
        Asks for as many days inside a window as for warm days, and keeps the water in its warm
        window.
    ahead
        True for days that are only planned.

    Notes
    -----
    A served window says that what a fish carries had time to show at a temperature at which it
    shows; it is no test for a virus.
    """
    known = list(means_c)
    warm = plan.check("warm-days")
    asked = warm.days if warm and warm.days else ASKED_DAYS
    found = []
    for risk in RISKS:
        days = sum(risk.low_c <= mean <= risk.high_c for mean in known)
        reached = _reaches(plan, risk)
        state = "served" if days >= asked else "not-yet" if reached or days else "never"
        told = _planned(risk, days, asked) if ahead else _said(risk, days, len(known), asked)
        never = "" if reached or days >= asked else _unreached(plan)
        said = f"{told}{never}. {risk.beyond[:1].upper()}{risk.beyond[1:]}"
        found.append(
            Window(
                risk.name, risk.low_c, risk.high_c, days, len(known), asked, state, said,
                risk.source,
            )
        )  # fmt: skip
    return tuple(found)


def _reaches(plan: Plan, risk: Risk) -> bool:
    warm = plan.check("warm-days")
    if warm is None or warm.low_c is None or warm.high_c is None:
        return True
    return float(warm.low_c) <= risk.high_c and risk.low_c <= float(warm.high_c)


def _span(risk: Risk) -> str:
    return f"{figure(risk.low_c)} to {figure(risk.high_c)} C"


def _said(risk: Risk, days: int, known: int, asked: int) -> str:
    if days >= asked:
        return (
            f"{risk.name} had time to show: {days} of {known} known days at {_span(risk)}, "
            f"{asked} asked for; no test for the virus"
        )
    told = f"not tested: {risk.name}, "
    if known == 0:
        return told + "no day's temperature is known"
    if days == 0:
        return told + f"this water was never {_span(risk)} on its {known} known days"
    return f"not yet: {risk.name} had {days} of {asked} days at {_span(risk)} to show"


def _planned(risk: Risk, days: int, asked: int) -> str:
    if days >= asked:
        return (
            f"{risk.name} gets time to show: {days} days at {_span(risk)}, {asked} asked for; no "
            "test for the virus"
        )
    return f"not tested: {risk.name}, these temperatures are not {_span(risk)}"


def _unreached(plan: Plan) -> str:
    """That the plan keeps its water warmer or colder than the risk shows at."""
    rule = plan.check("warm-days")
    if rule is None or rule.low_c is None or rule.high_c is None:
        return ""
    warm = f"{figure(rule.low_c)} to {figure(rule.high_c)} C"
    return f"; this plan's warm window, {warm}, never reaches it"
