"""Hundreds of random blends, worked out again by PHREEQC; only where it is installed."""

from __future__ import annotations

import csv
import random
from collections.abc import Iterator
from math import log10
from pathlib import Path
from typing import NamedTuple, Protocol

import pytest

from intake.science.blend import MEQ_L_PER_DKH, Water, aired, blend, water_from_reading
from intake.science.carbonate import ImpossibleWater
from intake.science.ion_pairs import CALCIUM_SHARE

pytestmark = pytest.mark.full

DATA = Path(__file__).parents[1] / "data"
AIR_CO2_ATM = 420e-6

# Ammonia as an element of its own: with nitrogen's redox states PHREEQC turns NH4+ of a mixed
# water into N2. The species is the one phreeqc.dat has, commented out, as Amm.
SET_UP = """
SOLUTION_MASTER_SPECIES
  Amm AmmH+ 0 AmmH 17.0
SOLUTION_SPECIES
  AmmH+ = AmmH+
    -gamma 2.5 0
  AmmH+ = Amm + H+
    -analytic 0.6322 -0.001225 -2835.76
SELECTED_OUTPUT 1
  -reset false
USER_PUNCH 1
  -headings pH DIC NH3 TAN
  10 PUNCH -LA("H+"), TOT("C"), MOL("Amm"), TOT("Amm")
END
"""


class Reading(NamedTuple):
    """A water as `water_from_reading` takes it, calcium's share of the hardness beside it."""

    ph: float
    alk_meq_l: float
    temp_c: float
    tan_n_mg_l: float
    salt_g_l: float
    gh_meq_l: float = 0.0

    def water(self) -> Water:
        return water_from_reading(*self)

    def solution(self, number: int) -> str:
        salt = self.salt_g_l / 58.44e-3
        tan = self.tan_n_mg_l / 14.0067
        calcium = self.gh_meq_l / 2 * CALCIUM_SHARE
        return (
            f"SOLUTION {number}\n units mmol/kgw\n temp {self.temp_c!r}\n pH {self.ph!r}\n"
            f" Alkalinity {self.alk_meq_l!r}\n Na {salt + self.alk_meq_l!r} charge\n"
            f" Cl {salt + tan + self.gh_meq_l!r}\n Amm {tan!r}\n"
            f" Ca {calcium!r}\n Mg {self.gh_meq_l / 2 - calcium!r}\n"
        )


class Theirs(NamedTuple):
    """What PHREEQC says of a water."""

    ph: float
    dic_mmol_l: float
    nh3_n_mg_l: float
    tan_n_mg_l: float


class Engine(Protocol):
    """The two calls of PHREEQC used here."""

    def run_string(self, cmd_string: str) -> None: ...

    def get_selected_output_array(self) -> list[list[float]]: ...


@pytest.fixture(scope="module")
def phreeqc() -> Engine:
    package = pytest.importorskip("phreeqpython")
    engine: Engine = package.PhreeqPython(database="phreeqc.dat").ip
    engine.run_string(SET_UP)
    return engine


def worked_out(phreeqc: Engine, bag: Reading, tub: Reading, share: float) -> list[Theirs]:
    """PHREEQC's blend: kept from the air, then in balance with it."""
    phreeqc.run_string(
        bag.solution(1)
        + tub.solution(2)
        + f"MIX 3\n 1 {1.0 - share!r}\n 2 {share!r}\nSAVE solution 3\nEND\n"
        + f"USE solution 3\nEQUILIBRIUM_PHASES 1\n CO2(g) {log10(AIR_CO2_ATM)!r} 10\nEND\n"
    )
    return [
        Theirs(ph, dic * 1e3, nh3 * 14006.7, tan * 14006.7)
        for ph, dic, nh3, tan in phreeqc.get_selected_output_array()[-2:]
    ]


def rows() -> list[dict[str, float]]:
    path = DATA / "mixed_waters_phreeqc.csv"
    with path.open(encoding="utf-8", newline="") as lines:
        texts = ("scenario", "bag", "tub", "source")
        return [
            {name: float(cell) for name, cell in row.items() if name not in texts and cell}
            for row in csv.DictReader(lines)
        ]


def test_the_stored_rows_come_out_again(phreeqc: Engine) -> None:
    for row in rows():
        bag, tub = (
            Reading(
                row[f"{of}_pH"],
                row[f"{of}_alk_meq"],
                row[f"temp_{of}_C"],
                row[f"{of}_TAN_mgN"],
                row[f"{of}_NaCl_g"],
                2 * (row.get(f"{of}_Ca_mmol", 0.0) + row.get(f"{of}_Mg_mmol", 0.0)),
            )
            for of in ("bag", "tub")
        )
        closed, opened = worked_out(phreeqc, bag, tub, row["f_tub"])
        assert closed.ph == pytest.approx(row["mix_pH"], abs=2e-5)
        assert opened.ph == pytest.approx(row["degas_pH"], abs=2e-5)
        assert closed.dic_mmol_l == pytest.approx(row["mix_DIC_mmol"], rel=2e-5)
        assert closed.nh3_n_mg_l == pytest.approx(row["mix_NH3N_mg"], rel=2e-5, abs=1e-9)


def random_blends(
    count: int, salt_g_l: tuple[float, float], gh_meq_l: float
) -> Iterator[tuple[Reading, Reading, float]]:
    dice = random.Random(20260811)

    def reading() -> Reading:
        while True:
            found = Reading(
                dice.uniform(5.8, 8.8),
                dice.uniform(0.5, 15.0) * MEQ_L_PER_DKH,
                dice.uniform(4.0, 32.0),
                dice.uniform(0.0, 30.0),
                dice.uniform(*salt_g_l),
                dice.uniform(0.0, gh_meq_l),
            )
            try:
                found.water()
            except ImpossibleWater:
                continue
            return found

    for _ in range(count):
        yield reading(), reading(), dice.random()


def most_and_worst(off: list[float]) -> tuple[float, float]:
    """The 95th percentile and the greatest."""
    off.sort()
    return off[int(0.95 * len(off))], off[-1]


@pytest.mark.parametrize(
    ("salt_g_l", "gh_meq_l", "ph_within", "nh3_within"),
    [
        ((0.0, 3.0), 0.0, (0.01, 0.04), (0.03, 0.07)),
        ((3.0, 5.0), 0.0, (0.03, 0.15), (0.05, 0.25)),
        ((0.0, 3.0), 7.0, (0.01, 0.04), (0.03, 0.07)),
        ((0.0, 3.0), 15.0, (0.01, 0.04), (0.03, 0.07)),
    ],
    ids=["salt to 3 g/L", "salt 3 to 5 g/L", "GH to 20 dGH", "GH to 42 dGH"],
)
def test_random_blends_against_phreeqc(
    phreeqc: Engine,
    salt_g_l: tuple[float, float],
    gh_meq_l: float,
    ph_within: tuple[float, float],
    nh3_within: tuple[float, float],
) -> None:
    ph_off, nh3_off = [], []
    for bag, tub, share in random_blends(400, salt_g_l, gh_meq_l):
        closed = blend(bag.water(), tub.water(), share)
        theirs = worked_out(phreeqc, bag, tub, share)
        for ours, their in zip((closed, aired(closed)), theirs, strict=True):
            assert their.tan_n_mg_l == pytest.approx(ours.tan_n_mg_l, rel=1e-3)
            ph_off.append(abs(ours.ph - their.ph))
            nh3_off.append(abs(ours.nh3_activity_n_mg_l / their.nh3_n_mg_l - 1.0))
    for off, (p95_within, max_within) in ((ph_off, ph_within), (nh3_off, nh3_within)):
        p95, worst = most_and_worst(off)
        assert p95 <= p95_within
        assert worst <= max_within
