"""Blends against PHREEQC: how far off, and how much sooner; only where it is installed."""

from __future__ import annotations

import numpy as np
import pytest

from intake.science import arrays
from intake.science.blend import aired, blend
from tests.bench.figures import Stopwatch, Table
from tests.science.test_against_phreeqc import (
    CLASSES,
    HIGH_SALT,
    LOW_SALT,
    SET_UP,
    Engine,
    most_and_worst,
    random_blends,
    worked_out,
)

pytestmark = pytest.mark.bench

BLENDS = 1000
AT_ONCE = 20_000


@pytest.fixture(scope="module")
def phreeqc() -> Engine:
    package = pytest.importorskip("phreeqpython")
    engine: Engine = package.PhreeqPython(database="phreeqc.dat").ip
    engine.run_string(SET_UP)
    return engine


def test_a_blend_left_to_the_air_against_phreeqc(table: Table, phreeqc: Engine) -> None:
    asked = list(random_blends(BLENDS, (0.0, 3.0), 0.0))
    with Stopwatch() as theirs:
        for bag, tub, share in asked:
            worked_out(phreeqc, bag, tub, share)
    with Stopwatch() as ours:
        for bag, tub, share in asked:
            aired(blend(bag.water(), tub.water(), share))
    table.least("blend and degas, faster than PHREEQC", theirs.spent / ours.spent, 8.0)


def test_a_blend_by_arrays_against_phreeqc(table: Table, phreeqc: Engine) -> None:
    # Both from the readings on: two waters defined, mixed, left to the air.
    asked = list(random_blends(BLENDS, (0.0, 3.0), 0.0))
    with Stopwatch() as theirs:
        for bag, tub, share in asked:
            worked_out(phreeqc, bag, tub, share)
    many = [asked[n % BLENDS] for n in range(AT_ONCE)]
    bags, tubs = (np.array([one[side] for one in many]).T for side in (0, 1))
    shares = np.array([share for *_, share in many])
    with Stopwatch() as ours:
        a, b = arrays.waters_from_readings(*bags), arrays.waters_from_readings(*tubs)
        arrays.aired(arrays.blends(a, b, shares))
    ratio = (theirs.spent / BLENDS) / (ours.spent / AT_ONCE)
    table.least("blends and degas by arrays, faster than PHREEQC", ratio, 300.0)


@pytest.mark.parametrize("name", CLASSES)
def test_how_far_from_phreeqc(name: str, table: Table, phreeqc: Engine) -> None:
    salt_g_l, gh_meq_l = CLASSES[name]
    ph_within, nh3_within = HIGH_SALT if salt_g_l[1] > 3.0 else LOW_SALT
    ph_off, nh3_off = [], []
    for bag, tub, share in random_blends(BLENDS, salt_g_l, gh_meq_l):
        closed = blend(bag.water(), tub.water(), share)
        theirs = worked_out(phreeqc, bag, tub, share)
        for ours, their in zip((closed, aired(closed)), theirs, strict=True):
            ph_off.append(abs(ours.ph - their.ph))
            nh3_off.append(abs(ours.nh3_activity_n_mg_l / their.nh3_n_mg_l - 1.0))
    for off, within, what, unit, scale in (
        (ph_off, ph_within, "pH", "", 1),
        (nh3_off, nh3_within, "NH3", "%", 100),
    ):
        for measured, wanted, part in zip(
            most_and_worst(off), within, ("p95", "max"), strict=True
        ):
            said = f"{what} from PHREEQC's, {name}, {part}"
            table.most(said, measured * scale, wanted * scale, unit=unit)
