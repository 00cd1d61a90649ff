"""Opened bags that never were: a hidden truth, readings off it, and what is made of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import exp, log
from random import Random

from intake.science.bag import Fish, Stage, run
from intake.science.bag_courses import HALF_TIME_MIN, OpenBag
from intake.science.bag_fit import Fitted, Point, fitted
from intake.science.blend import MEQ_L_PER_DKH, water_from_reading
from intake.science.carbonate import ImpossibleWater
from intake.science.span import Span

MINUTES = 60
READ_AT = (16, 30, 46)
"""When a reading is taken: nobody is there to the minute [min]."""


@dataclass(frozen=True, slots=True)
class Wrong:
    """How far what the fit is told can be off, each drawn evenly: shares, [dKH], pH, [C]."""

    drip: float = 0.0
    tan: float = 0.0
    volume: float = 0.0
    vessel_kh_dkh: float = 0.0
    vessel_ph: float = 0.0
    tau: float = 0.0


ALL_WRONG = Wrong(drip=0.2, tan=0.15, volume=0.1, vessel_kh_dkh=0.5, vessel_ph=0.1, tau=0.3)


@dataclass(frozen=True, slots=True)
class Simulated:
    """One bag: what the keeper knows, what is read, and what is so."""

    known: OpenBag
    points: tuple[Point, ...]
    peak_left_n_mg_l: float
    half_time_min: float
    kh_dkh: float
    last_temp_c: float

    def fit(self) -> Fitted:
        """What is made of it."""
        return fitted(self.known, self.points)


def simulated(
    count: int,
    seed: int,
    ph_error: float,
    wrong: Wrong = Wrong(),
    *,
    read_at: Sequence[int] = READ_AT,
    temp_error_c: float = 0.2,
) -> Iterator[Simulated]:
    """Bags of pH 5.8-7.3, KH 1-12 dKH, TAN 2-25, half-time 6-250 min, three in five dripped."""
    dice = Random(seed)
    made = 0
    while made < count:
        try:
            yield _one(dice, ph_error, wrong, read_at, temp_error_c)
        except ImpossibleWater:
            continue
        made += 1


def _one(
    dice: Random, ph_error: float, wrong: Wrong, read_at: Sequence[int], temp_error_c: float
) -> Simulated:
    def off(half: float) -> float:
        return dice.uniform(-half, half)

    ph, kh, tan = dice.uniform(5.8, 7.3), dice.uniform(1, 12), dice.uniform(2, 25)
    half = exp(dice.uniform(log(6), log(250)))
    temp, there = dice.uniform(12, 24), dice.uniform(18, 24)
    vessel_ph, vessel_kh = dice.uniform(7.4, 8.4), dice.uniform(3, 10)
    volume = dice.uniform(2, 8)
    drip = volume / MINUTES if dice.random() < 0.6 else 0.0
    fish = volume * 0.05
    truth = run(
        water_from_reading(ph, kh * MEQ_L_PER_DKH, temp, tan * (1 + off(wrong.tan))),
        volume * (1 + off(wrong.volume)),
        [Stage(MINUTES, there, 60.0 * exp(off(wrong.tau)), half, drip * (1 + off(wrong.drip)))],
        Fish(fish),
        water_from_reading(
            vessel_ph + off(wrong.vessel_ph),
            (vessel_kh + off(wrong.vessel_kh_dkh)) * MEQ_L_PER_DKH,
            there,
        ),
    )
    points = tuple(
        Point(
            at,
            truth[at].water.ph + off(ph_error),
            ph_error,
            truth[at].water.temp_c + off(temp_error_c),
            temp_error_c,
        )
        for at in read_at
    )
    first = ph + off(ph_error)
    known = OpenBag(
        ph=Span(first - ph_error, first, first + ph_error),
        kh_dkh=Span(1.0, 4.0, 12.0),
        tan_n_mg_l=_about(tan, 0.15 * tan),
        temp_c=temp,
        salt_g_l=0.0,
        volume_l=volume,
        fish_kg=fish,
        vessel_ph=_about(vessel_ph, 0.1),
        vessel_kh_dkh=_about(vessel_kh, 0.5),
        vessel_temp_c=there,
        vessel_tan_n_mg_l=0.0,
        vessel_salt_g_l=0.0,
        drip_l_min=drip,
        minutes=MINUTES,
        half_time_min=HALF_TIME_MIN["still"],
    )
    left = max(m.water.nh3_n_mg_l for m in truth[max(read_at, default=0) :])
    return Simulated(known, points, left, half, kh, truth[-1].water.temp_c)


def _about(value: float, half: float) -> Span:
    return Span(value - half, value, value + half)


@dataclass(slots=True)
class Score:
    """How often the foretold peak was near, and how often its 90 % band held it."""

    bags: int = 0
    within_20: int = 0
    within_30: int = 0
    within_50: int = 0
    held: int = 0

    def add(self, bag: Simulated) -> None:
        """Counts one bag."""
        found = bag.fit().peak_left_n_mg_l
        away = abs(found.nominal / bag.peak_left_n_mg_l - 1.0)
        self.bags += 1
        self.within_20 += away <= 0.2
        self.within_30 += away <= 0.3
        self.within_50 += away <= 0.5
        self.held += found.low <= bag.peak_left_n_mg_l <= found.high


def without_points(bag: Simulated) -> Simulated:
    """The same bag before anything was read of it."""
    return replace(bag, points=())


def score(bags: Iterator[Simulated]) -> Score:
    """All of them counted."""
    found = Score()
    for bag in bags:
        found.add(bag)
    return found
