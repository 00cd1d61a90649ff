"""Courses an opened bag may take: pH and NH3 over time by its KH, CO2 loss and first pH."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import exp, log

from intake.science.acclimation_readings import Known
from intake.science.bag import DRIP_TAU_MIN, Fish, Minute, Stage, run
from intake.science.blend import MEQ_L_PER_DKH, Water, water_from_reading
from intake.science.carbonate import ImpossibleWater
from intake.science.span import Span

HALF_TIME_MIN = {"still": Span(6.0, 60.0, 250.0), "aerated": Span(3.0, 15.0, 60.0)}
"""Half-time of CO2 leaving an opened bag, by its air [min]. Source: still 60-250 from lake fits
stretched to a bucket, dripping 30-120 from one keeper's log, aerated 6-30 from oxygen transfer;
widened at the fast end; from memory."""

PH_HALF = 0.1
"""How far a pH without +/- can be off; common practice."""

KH_HALF_DKH = 1.0
"""How far a KH drop test can be off [dKH]: a drop is a degree. Common practice."""

TAU_MIN = Span(40.0, DRIP_TAU_MIN, 120.0)
"""Time in which an opened bag closes 63 % of its temperature gap, one standard deviation each
way [min]; assumed."""

LEAST_KH_DKH = 0.3
"""KH below which no bag is thought of [dKH]. Common practice."""

KHS = 5
HALF_TIMES = 12
"""How many of each are run; between them everything is interpolated."""

STEP_MIN = 2
"""Step of a course [min]: within 1 % NH3, far under what the readings leave."""

NARROW_PH = 0.4
"""A first pH known to within this is run at three values, a wider one at five."""

_NOTHING_N_MG_L = 1e-9


Place = tuple[float, float, float]
"""Where in a grid of courses: KH, half-time and first pH, each from 0 (its low end) to 1."""


@dataclass(frozen=True, slots=True)
class OpenBag:
    """What is known of a bag that stands open, dripped into or not.

    Parameters
    ----------
    ph, kh_dkh, tan_n_mg_l
        The bag when it was opened; KH [dKH], TAN [mg/L as N]. Ends are 95 %.
    temp_c, salt_g_l, volume_l, fish_kg
        The rest of it [C, g/L, L, kg].
    vessel_ph, vessel_kh_dkh
        The water dripped in, with its ends [dKH].
    vessel_temp_c, vessel_tan_n_mg_l, vessel_salt_g_l
        The rest of that [C, mg/L as N, g/L].
    drip_l_min, minutes
        How fast, and for how long [L/min, min].
    half_time_min
        Half-time of CO2 leaving it, from the fastest to the slowest [min].
    tau_min
        Time in which it closes 63 % of its temperature gap, one standard deviation each way [min].
    binder_takes_n_mg
        What a binder in it can take in all [mg N].
    """

    ph: Span
    kh_dkh: Span
    tan_n_mg_l: Span
    temp_c: float
    salt_g_l: float
    volume_l: float
    fish_kg: float
    vessel_ph: Span
    vessel_kh_dkh: Span
    vessel_temp_c: float
    vessel_tan_n_mg_l: float
    vessel_salt_g_l: float
    drip_l_min: float
    minutes: int
    half_time_min: Span
    tau_min: Span = TAU_MIN
    binder_takes_n_mg: float = 0.0


def _over(values: Iterable[float], nominal: float, half: float) -> Span:
    """The ends of readings; where they are none, what a usual test can be off."""
    every = [nominal, *values]
    low, high = min(every), max(every)
    return (
        Span(nominal - half, nominal, nominal + half) if low == high else Span(low, nominal, high)
    )


def open_bag(
    known: Known, *, minutes: int, drip_l_min: float, air: str = "still", binder_n_mg: float = 0.0
) -> OpenBag:
    """The bag as its readings have it, at the moment it is opened.

    Parameters
    ----------
    known
        Readings of bag and vessel, gaps filled.
    minutes, drip_l_min
        How long it stands open and what drips in [min, L/min].
    air
        "still" or "aerated".
    binder_n_mg
        What a binder in it can take [mg N].
    """
    bag, vessel = known.nominal.bag, known.nominal.vessel
    pairs = known.pairs
    kh = _over(
        (p.bag.alk_meq_l / MEQ_L_PER_DKH for p in pairs),
        bag.alk_meq_l / MEQ_L_PER_DKH,
        KH_HALF_DKH,
    )
    vessel_kh = _over(
        (p.vessel.alk_meq_l / MEQ_L_PER_DKH for p in pairs),
        vessel.alk_meq_l / MEQ_L_PER_DKH,
        KH_HALF_DKH / 2.0,
    )
    tan = bag.tan_n_mg_l
    return OpenBag(
        ph=_over((p.bag.ph for p in pairs), bag.ph, PH_HALF),
        kh_dkh=Span(*(max(k, LEAST_KH_DKH) for k in (kh.low, kh.nominal, kh.high))),
        tan_n_mg_l=_over((p.bag.tan_n_mg_l for p in pairs), tan, 0.15 * tan),
        temp_c=bag.temp_c,
        salt_g_l=bag.salt_g_l,
        volume_l=known.volume_l,
        fish_kg=known.fish_mass_kg,
        vessel_ph=_over((p.vessel.ph for p in pairs), vessel.ph, PH_HALF),
        vessel_kh_dkh=Span(
            *(max(k, 0.0) for k in (vessel_kh.low, vessel_kh.nominal, vessel_kh.high))
        ),
        vessel_temp_c=vessel.temp_c,
        vessel_tan_n_mg_l=vessel.tan_n_mg_l,
        vessel_salt_g_l=vessel.salt_g_l,
        drip_l_min=drip_l_min,
        minutes=minutes,
        half_time_min=HALF_TIME_MIN[air],
        binder_takes_n_mg=binder_n_mg,
    )


@dataclass(frozen=True, slots=True)
class Band:
    """One minute as it is foretold: temperature [C], pH and NH3 [mg/L as N] with their ends."""

    minute: int
    temp_c: float
    ph: Span
    nh3_n_mg_l: Span


@dataclass(frozen=True, slots=True)
class Course:
    """One course, minute by minute from 0: temperature [C], pH, and ln of NH3 [mg/L as N]."""

    temp_c: tuple[float, ...]
    ph: tuple[float, ...]
    log_nh3: tuple[float, ...]


def _water(ph: float, kh_dkh: float, temp_c: float, tan: float, salt_g_l: float) -> Water:
    """That water; where ammonia alone holds more KH than was read, with as much as it needs."""
    kh_meq_l = kh_dkh * MEQ_L_PER_DKH
    while True:
        try:
            return water_from_reading(ph, kh_meq_l, temp_c, tan, salt_g_l)
        except ImpossibleWater:
            kh_meq_l = kh_meq_l * 1.25 + 0.01


def course(bag: OpenBag, ph: float, kh_dkh: float, half_time_min: float) -> Course:
    """The course from one first pH, KH [dKH] and half-time of CO2 [min]."""
    first = _water(ph, kh_dkh, bag.temp_c, bag.tan_n_mg_l.nominal, bag.salt_g_l)
    vessel = _water(
        bag.vessel_ph.nominal,
        bag.vessel_kh_dkh.nominal,
        bag.vessel_temp_c,
        bag.vessel_tan_n_mg_l,
        bag.vessel_salt_g_l,
    )
    stage = Stage(
        bag.minutes,
        surroundings_c=bag.vessel_temp_c,
        temp_tau_min=bag.tau_min.nominal,
        co2_half_time_min=half_time_min,
        drip_l_min=bag.drip_l_min,
        binder_takes_n_mg=bag.binder_takes_n_mg,
    )
    path = run(first, bag.volume_l, [stage], Fish(bag.fish_kg), vessel, STEP_MIN)
    return Course(
        _every_minute(path, lambda m: m.water.temp_c),
        _every_minute(path, lambda m: m.water.ph),
        _every_minute(path, lambda m: log(max(m.water.nh3_n_mg_l, _NOTHING_N_MG_L))),
    )


def _every_minute(path: Sequence[Minute], part: Callable[[Minute], float]) -> tuple[float, ...]:
    """A part of the path at every minute, on a straight line between its steps."""
    found = [part(path[0])]
    for before, after in pairwise(path):
        first, last, steps = part(before), part(after), after.minute - before.minute
        found += [first + (last - first) * n / steps for n in range(1, steps + 1)]
    return tuple(found)


def between(low: float, high: float, share: float) -> float:
    """From `low` to `high` by equal factors."""
    return low * exp(share * log(high / low))


class Courses:
    """Every course of a grid of KH, half-time and first pH, and what lies between them."""

    def __init__(self, bag: OpenBag) -> None:
        self.bag = bag
        self.khs = 1 if bag.kh_dkh.exact else KHS
        self.phs = 3 if bag.ph.high - bag.ph.low <= NARROW_PH else 5
        self._run: dict[tuple[int, ...], Course] = {
            (k, h, p): course(
                bag,
                *self.values((k / max(self.khs - 1, 1), h / (HALF_TIMES - 1), p / (self.phs - 1))),
            )
            for k in range(self.khs)
            for h in range(HALF_TIMES)
            for p in range(self.phs)
        }

    def values(self, place: Place) -> tuple[float, float, float]:
        """First pH, KH [dKH] and half-time of CO2 [min] at a place."""
        kh, half, ph = place
        return (
            self.bag.ph.low + ph * (self.bag.ph.high - self.bag.ph.low),
            between(self.bag.kh_dkh.low, self.bag.kh_dkh.high, kh),
            between(self.bag.half_time_min.low, self.bag.half_time_min.high, half),
        )

    def ph(self, place: Place, minutes: Sequence[int]) -> list[float]:
        """The pH at these minutes, between the courses round a place."""
        near = self._near(place)
        return [sum(w * c.ph[minute] for c, w in near) for minute in minutes]

    def log_nh3(self, place: Place, minutes: Sequence[int]) -> list[float]:
        """The logarithm of NH3 [mg/L as N] at these minutes, between those courses too."""
        near = self._near(place)
        return [sum(w * c.log_nh3[minute] for c, w in near) for minute in minutes]

    def _near(self, place: Place) -> list[tuple[Course, float]]:
        """The courses round a place, at most eight, each with its share."""
        corners: list[tuple[tuple[int, ...], float]] = [((), 1.0)]
        for share, count in zip(place, (self.khs, HALF_TIMES, self.phs), strict=True):
            spot = share * (count - 1)
            first = min(int(spot), max(count - 2, 0))
            past = spot - first
            sides = ((first, 1.0 - past), (first + 1, past))
            corners = [
                ((*at, n), w * side) for at, w in corners for n, side in sides if side > 0.0
            ]
        return [(self._run[at], w) for at, w in corners]
