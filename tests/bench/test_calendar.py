"""Quarantines derived again from values in memory."""

from __future__ import annotations

from dataclasses import replace

import pytest

from intake import paths
from intake.rules.shelf import load_shelf
from intake.science.calendar import tasks
from intake.science.checks import checks
from intake.science.quarantine import QuarantineFacts
from tests.bench.figures import Stopwatch, Table
from tests.science.quarantines import at, facts, well

pytestmark = pytest.mark.bench

DAYS = 28
FEW, MANY = 20, 200


def derived(quarantines: list[QuarantineFacts]) -> float:
    """Processor time [s] of every calendar, with its release checks."""
    with Stopwatch() as watch:
        for one in quarantines:
            now = at(DAYS, "18:00")
            assert tasks(one, now)
            checks(one, now)
    return watch.spent


def test_calendars_are_derived_again(table: Table) -> None:
    plan = load_shelf([paths.shipped_protocols()])[0].plans["standard"]
    every = [
        replace(facts(plan=plan, **well(DAYS)), system=f"System {n}", start_entry=n)
        for n in range(MANY)
    ]
    derived(every[:FEW])
    few, many = derived(every[:FEW]), derived(every)
    table.most("calendar and checks of a quarantine", many / MANY * 1000, 5.0, unit="ms")
    grows = many / MANY / (few / FEW)
    table.most(f"the same, each of {MANY} against each of {FEW}", grows, 1.2)
