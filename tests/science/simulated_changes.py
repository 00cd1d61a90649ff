"""A room simulated hour by hour: ammonia by its own sums, a medicine by an ODE solver.

It shares the equations of the water (`blend`, `at_co2`) with the planner and none of its search,
bounds or ledger.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

import pytest

from intake.science.ammonia import N_MG_PER_MMOL
from intake.science.blend import Water, at_co2
from intake.science.change_planner import Ahead, ChangePlan
from intake.science.water_change import after_change


@dataclass(frozen=True)
class True_:
    """What the room truly is, inside what was read: its water, its tap and its litres."""

    water: Water
    tap: Water
    volume_l: float


def fed(water: Water, co2_mg_l: float, more_n_mg_l: float) -> Water:
    """With more ammonia in it, at the CO2 that the vessel holds by itself."""
    alk = water.alk_meq_l + more_n_mg_l / N_MG_PER_MMOL
    richer = replace(water, tan_n_mg_l=water.tan_n_mg_l + more_n_mg_l, alk_meq_l=alk)
    return at_co2(richer, co2_mg_l)


def changed(water: Water, tap: Water, share: float, co2_mg_l: float) -> tuple[Water, float]:
    """After a change, and the most NH3 of the moment and of then."""
    after = after_change(water, tap, min(1.0, share))
    there = at_co2(after.likely, co2_mg_l)
    return there, max(after.mixed.nh3_n_mg_l, there.nh3_n_mg_l)


def ammonia(ahead: Ahead, room: True_, plan: ChangePlan) -> Iterator[tuple[float, float]]:
    """(hour, NH3) from the first change on, at every hour and round every change."""
    co2, water, clock = room.water.co2_mg_l, room.water, 0.0
    changes = [((c.at_utc - ahead.now_utc).total_seconds() / 3600, c.litres) for c in plan.changes]
    begun = not changes or changes[0][0] > 0.0
    marks = sorted({*range(math.ceil(ahead.end_h)), ahead.end_h, *(h for h, _ in changes)})
    for hour in marks:
        more = ahead.made_n_mg_d * (hour - clock) / 24.0 / room.volume_l
        water, clock = fed(water, co2, more), hour
        if begun:
            yield hour, water.nh3_n_mg_l
        for at, litres in changes:
            if at == hour:
                water, worst = changed(water, room.tap, litres / room.volume_l, co2)
                begun = True
                yield hour, worst


def medicine(
    ahead: Ahead,
    level: float,
    half_life_h: float | None,
    volume_l: float,
    new: float,
    changes: Sequence[tuple[float, float]],
) -> Iterator[tuple[float, float]]:
    """(hour, level) at every hour and just after every change, the decay by an ODE solver."""
    solve_ivp = pytest.importorskip("scipy.integrate").solve_ivp
    rate = math.log(2.0) / half_life_h if half_life_h else 0.0
    clock = 0.0
    marks = sorted({*range(math.ceil(ahead.end_h)), ahead.end_h, *(h for h, _ in changes)})
    for hour in marks:
        if rate and hour > clock:
            done = solve_ivp(
                lambda _t, c: -rate * c, (clock, hour), [level], method="DOP853",
                rtol=1e-12, atol=1e-12,
            )  # fmt: skip
            level = float(done.y[0][-1])
        clock = hour
        yield hour, level
        for at, litres in changes:
            if at == hour:
                share = min(1.0, litres / volume_l)
                level += share * (new - level)
                yield hour, level


def hours_of(ahead: Ahead, plan: ChangePlan) -> list[tuple[float, float]]:
    """The changes of a plan as (hours from now, litres)."""
    return [((c.at_utc - ahead.now_utc) / timedelta(hours=1), c.litres) for c in plan.changes]
