"""Blends against PHREEQC: how far off, and how much sooner; only where it is installed."""

from __future__ import annotations

import pytest

from intake.science.blend import aired, blend
from tests.bench.figures import Stopwatch, Table
from tests.science.test_against_phreeqc import (
    SET_UP,
    Engine,
    most_and_worst,
    random_blends,
    worked_out,
)

pytestmark = pytest.mark.bench

BLENDS = 400
CLASSES = [
    ("salt to 3 g/L", (0.0, 3.0), 0.0, (0.01, 0.04), (0.03, 0.07)),
    ("salt 3 to 5 g/L", (3.0, 5.0), 0.0, (0.03, 0.15), (0.05, 0.25)),
    ("GH to 20 dGH", (0.0, 3.0), 7.0, (0.01, 0.04), (0.03, 0.07)),
    ("GH to 42 dGH", (0.0, 3.0), 15.0, (0.01, 0.04), (0.03, 0.07)),
]
"""Name, range of salt [g/L], greatest hardness [meq/L], and what may be off: 95 % and all."""


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


@pytest.mark.parametrize(
    ("name", "salt_g_l", "gh_meq_l", "ph_within", "nh3_within"),
    CLASSES,
    ids=[name for name, *_ in CLASSES],
)
def test_how_far_from_phreeqc(
    name: str,
    salt_g_l: tuple[float, float],
    gh_meq_l: float,
    ph_within: tuple[float, float],
    nh3_within: tuple[float, float],
    table: Table,
    phreeqc: Engine,
) -> None:
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
