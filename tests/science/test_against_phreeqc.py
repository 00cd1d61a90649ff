"""Thousands of random waters, worked out again by PHREEQC; only where it is installed."""

from __future__ import annotations

import csv
import random
from collections.abc import Iterator
from math import log10
from pathlib import Path
from typing import NamedTuple, Protocol

import pytest

from intake.science.blend import (
    CO2_MG_PER_MMOL,
    MEQ_L_PER_DKH,
    Water,
    aired,
    at_co2,
    blend,
    water_from_reading,
)
from intake.science.carbonate import ImpossibleWater
from intake.science.ion_pairs import CALCIUM_SHARE
from tests.cli.ask import ask

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
    package = pytest.importorskip(
        "phreeqpython", reason="PHREEQC is not installed here: see test-full in pyproject.toml"
    )
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


def random_reading(dice: random.Random, salt_g_l: tuple[float, float], gh_meq_l: float) -> Reading:
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


def random_blends(
    count: int, salt_g_l: tuple[float, float], gh_meq_l: float
) -> Iterator[tuple[Reading, Reading, float]]:
    dice = random.Random(20260811)
    for _ in range(count):
        bag, tub = (random_reading(dice, salt_g_l, gh_meq_l) for _ in range(2))
        yield bag, tub, dice.random()


def most_and_worst(off: list[float]) -> tuple[float, float]:
    """The 95th percentile and the greatest."""
    off.sort()
    return off[int(0.95 * len(off))], off[-1]


CLASSES = {
    "salt to 3 g/L": ((0.0, 3.0), 0.0),
    "salt 3 to 5 g/L": ((3.0, 5.0), 0.0),
    "GH to 20 dGH": ((0.0, 3.0), 7.0),
    "GH to 42 dGH": ((0.0, 3.0), 15.0),
}
"""Range of salt [g/L] and greatest hardness [meq/L]."""

LOW_SALT, HIGH_SALT = ((0.01, 0.04), (0.03, 0.07)), ((0.03, 0.15), (0.05, 0.25))
"""What may be off, pH and NH3 as a share, each for 95 % and for all. Salt over 3 g/L brings
pairs of carbonate with sodium, which the closed form counts only in part."""

COUNT = 1000


class Off:
    """How far answers are from PHREEQC's."""

    def __init__(self) -> None:
        self.ph: list[float] = []
        self.nh3: list[float] = []

    def add(self, ours: Water, their: Theirs) -> None:
        assert their.tan_n_mg_l == pytest.approx(ours.tan_n_mg_l, rel=1e-3)
        self.ph.append(abs(ours.ph - their.ph))
        self.nh3.append(abs(ours.nh3_activity_n_mg_l / their.nh3_n_mg_l - 1.0))

    def judge(self, high_salt: bool) -> None:
        for off, (p95_within, max_within) in zip(
            (self.ph, self.nh3), HIGH_SALT if high_salt else LOW_SALT, strict=True
        ):
            p95, worst = most_and_worst(off)
            assert p95 <= p95_within
            assert worst <= max_within


@pytest.mark.parametrize("name", CLASSES)
def test_random_blends_against_phreeqc(phreeqc: Engine, name: str) -> None:
    salt_g_l, gh_meq_l = CLASSES[name]
    shut, opened = Off(), Off()
    for bag, tub, share in random_blends(COUNT, salt_g_l, gh_meq_l):
        closed = blend(bag.water(), tub.water(), share)
        theirs = worked_out(phreeqc, bag, tub, share)
        shut.add(closed, theirs[0])
        opened.add(aired(closed), theirs[1])
    for off in (shut, opened):
        off.judge(salt_g_l[1] > 3.0)


@pytest.mark.parametrize("name", CLASSES)
def test_random_waters_by_themselves_against_phreeqc(phreeqc: Engine, name: str) -> None:
    # No mixing: as read, then in balance with open air, then at a CO2 of their own.
    salt_g_l, gh_meq_l = CLASSES[name]
    dice = random.Random(20261125)
    read, opened, held = Off(), Off(), Off()
    for _ in range(COUNT):
        water, co2_atm = random_reading(dice, salt_g_l, gh_meq_l), 10 ** dice.uniform(-3.4, -1.7)
        phreeqc.run_string(
            f"{water.solution(1)}END\n"
            + "".join(
                f"USE solution 1\nEQUILIBRIUM_PHASES 1\n CO2(g) {log10(atm)!r} 10\nEND\n"
                for atm in (AIR_CO2_ATM, co2_atm)
            )
        )
        theirs = [
            Theirs(ph, dic * 1e3, nh3 * 14006.7, tan * 14006.7)
            for ph, dic, nh3, tan in phreeqc.get_selected_output_array()[-3:]
        ]
        ours = water.water()
        co2_mg_l = ours.constants.co2_per_atm * co2_atm * 1000.0 * CO2_MG_PER_MMOL
        read.add(ours, theirs[0])
        opened.add(aired(ours), theirs[1])
        held.add(at_co2(ours, co2_mg_l), theirs[2])
    for off in (read, opened, held):
        off.judge(salt_g_l[1] > 3.0)


def test_waters_of_any_salt_mixed_held_at_the_vessels_own_co2(phreeqc: Engine) -> None:
    # Salt from 0 to 5 g/L on either side, sorted into its class afterwards.
    low, high = Off(), Off()
    for bag, tub, share in random_blends(COUNT, (0.0, 5.0), 0.0):
        vessel = tub.water()
        closed = blend(bag.water(), vessel, share)
        co2_mg_l = vessel.co2_mg_l
        atm = co2_mg_l / (closed.constants.co2_per_atm * 1000.0 * CO2_MG_PER_MMOL)
        phreeqc.run_string(
            bag.solution(1)
            + tub.solution(2)
            + f"MIX 3\n 1 {1.0 - share!r}\n 2 {share!r}\nSAVE solution 3\nEND\n"
            + f"USE solution 3\nEQUILIBRIUM_PHASES 1\n CO2(g) {log10(atm)!r} 10\nEND\n"
        )
        theirs = [
            Theirs(ph, dic * 1e3, nh3 * 14006.7, tan * 14006.7)
            for ph, dic, nh3, tan in phreeqc.get_selected_output_array()[-2:]
        ]
        off = high if max(bag.salt_g_l, tub.salt_g_l) > 3.0 else low
        off.add(closed, theirs[0])
        off.add(at_co2(closed, co2_mg_l), theirs[1])
    assert len(low.ph) > 600
    low.judge(high_salt=False)
    high.judge(high_salt=True)


def test_the_command_against_phreeqc(phreeqc: Engine) -> None:
    # What is typed is rounded as a keeper reads it; both get the same digits.
    dice = random.Random(50)
    low, high = Off(), Off()
    asked = 0
    while asked < 50:
        sides = [
            Reading(
                round(dice.uniform(5.8, 8.8), 2),
                round(dice.uniform(0.5, 15.0), 1) * MEQ_L_PER_DKH,
                round(dice.uniform(4.0, 32.0), 1),
                round(dice.uniform(0.1, 30.0), 1),
                round(dice.uniform(0.0, 5.0), 1),
            )
            for _ in range(2)
        ]
        percent = dice.randint(1, 99)
        typed = "".join(
            f" --{name}-ph {w.ph:.2f} --{name}-kh '{w.alk_meq_l / MEQ_L_PER_DKH:.1f} dKH'"
            f" --{name}-temp '{w.temp_c:.1f} C' --{name}-tan '{w.tan_n_mg_l:.1f} mg/L as N'"
            f" --{name}-salt '{w.salt_g_l:.1f} g/L'"
            for name, w in zip("ab", sides, strict=True)
        )
        code, answer = ask(f"water blend --share {percent / 100:.2f}{typed}")
        if code == 3:  # ammonia and hydroxide alone hold more than the KH read
            assert answer["refused"]["code"] == "not-in-range"
            continue
        assert code == 0, answer
        asked += 1
        shut, opened = worked_out(phreeqc, sides[0], sides[1], percent / 100)
        off = high if max(w.salt_g_l for w in sides) > 3.0 else low
        # The very figures of the functions, whose 95 % are judged above over thousands.
        mixed = blend(sides[0].water(), sides[1].water(), percent / 100)
        assert answer["ph"] == pytest.approx(mixed.ph, abs=1e-9)
        assert answer["nh3_activity_n_mg_l"] == pytest.approx(mixed.nh3_activity_n_mg_l, rel=1e-8)
        assert answer["aired"]["ph"] == pytest.approx(aired(mixed).ph, abs=1e-9)
        off.ph.append(abs(answer["ph"] - shut.ph))
        off.nh3.append(abs(answer["nh3_activity_n_mg_l"] / shut.nh3_n_mg_l - 1.0))
        off.ph.append(abs(answer["aired"]["ph"] - opened.ph))
        assert answer["tan_n_mg_l"] == pytest.approx(shut.tan_n_mg_l, rel=1e-3)
        # The NH3 shown is above what the water holds: the harmful side.
        assert answer["nh3_n_mg_l"] >= shut.nh3_n_mg_l * 0.97
    for off, within in ((low, LOW_SALT), (high, HIGH_SALT)):
        assert off.nh3
        assert max(off.ph) <= within[0][1]
        assert max(off.nh3) <= within[1][1]
