"""The function of every release check, by the name a plan asks for it with."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from intake.science.check_state import CheckState, Known
from intake.science.fish_checks import eating, mixing_test, no_deaths, sign_free, slides
from intake.science.plan import CheckRule
from intake.science.record_checks import days_served, no_additions, since_treatment
from intake.science.water_checks import warm_days, water

RULES: Mapping[str, Callable[[Known, CheckRule], CheckState]] = {
    "days-served": days_served,
    "no-deaths": no_deaths,
    "sign-free": sign_free,
    "eating": eating,
    "since-treatment": since_treatment,
    "slides": slides,
    "water": water,
    "warm-days": warm_days,
    "no-additions": no_additions,
    "mixing-test": mixing_test,
}
"""One function per check, from what is known and the plan's numbers to open or met."""
