"""The water round the fish, minute by minute, from a closed bag to the last drop of a drip."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, sinh

from intake.science.ammonia import N_MG_PER_MMOL
from intake.science.blend import Water, settled
from intake.science.carbonate import (
    AIR_CO2_ATM,
    Constants,
    co2_at,
    solve_ph,
    water_constants,
)

FLOAT_TAU_MIN = 37.0
"""Time in which a floating bag closes 63 % of a temperature gap [min], 33 to 43.
Source: derived from Lim, Dhert & Sorgeloos 2003 (a gap of 4-5 C under 2 C in 30 min)."""

DRIP_TAU_MIN = 60.0
"""The same for an opened bag or bowl that stands in the room or vessel [min]; assumed."""

BINDER_HALF_TIME_MIN = 3.0
"""Time in which an ammonia binder takes half of what it can [min]; assumed, no rate found."""

SHORTEST_HALF_TIME_MIN = 0.3
"""Half-times of CO2 under this are taken as this [min]: steps of a minute cannot follow them."""

O2_MG_PER_MMOL = 31.998
"""Mass of a millimole of oxygen [mg]. Source: IUPAC atomic weights."""


@dataclass(frozen=True, slots=True)
class Fish:
    """What the fish in a bag add to its water.

    Parameters
    ----------
    mass_kg
        All fish together [kg].
    excretion_mg_n_kg_h
        Ammonia given off [mg N/kg/h]: 2 to 8, up to 16 when fed within a day above 20 C.
        Source: sockeye and sea bream figures stretched to goldfish, from memory.
    oxygen_mg_kg_h
        Oxygen used [mg/kg/h]. Source: Yamanaka 2013 about 100 at rest at 20 C; stirred up, more.
    co2_per_oxygen
        Moles of carbon dioxide for each mole of oxygen; from memory.
    """

    mass_kg: float
    excretion_mg_n_kg_h: float = 5.0
    oxygen_mg_kg_h: float = 150.0
    co2_per_oxygen: float = 0.9


NO_FISH = Fish(0.0)


@dataclass(frozen=True, slots=True)
class Stage:
    """Some minutes in which nothing about the handling changes.

    Parameters
    ----------
    minutes
        How long [min], whole minutes.
    surroundings_c
        What the bag is warmed or cooled by [C]; None: it keeps its temperature.
    temp_tau_min
        How fast [min].
    co2_half_time_min
        Half-time of CO2 leaving to the air [min]: still 60-250, dripping 30-120, aerated 6-30
        (derived, from memory). None: closed.
    drip_l_min
        Vessel water dripped in [L/min].
    pour_out_share
        Share of the water poured away when the stage begins.
    binder_takes_n_mg
        Ammonia an added binder can take in all [mg N], given when the stage begins.
    """

    minutes: int
    surroundings_c: float | None = None
    temp_tau_min: float = FLOAT_TAU_MIN
    co2_half_time_min: float | None = None
    drip_l_min: float = 0.0
    pour_out_share: float = 0.0
    binder_takes_n_mg: float = 0.0


@dataclass(frozen=True, slots=True)
class Minute:
    """The bag at the end of a minute, and what has left it for the air or a binder so far."""

    minute: int
    volume_l: float
    water: Water
    co2_lost_mmol: float = 0.0
    bound_n_mg: float = 0.0


class _Totals:
    """What the bag holds: litres, mmol of N and C, meq, grams, litre-degrees."""

    __slots__ = (
        "alk", "binder", "bound", "carbon", "gh", "heat", "lost", "ph", "salt", "tan", "volume",
    )  # fmt: skip

    def __init__(self, water: Water, volume_l: float) -> None:
        self.volume = volume_l
        self.alk = volume_l * water.alk_meq_l
        self.carbon = volume_l * water.dic_mmol_l
        self.tan = volume_l * water.tan_n_mg_l / N_MG_PER_MMOL
        self.salt = volume_l * water.salt_g_l
        self.gh = volume_l * water.gh_meq_l
        self.heat = volume_l * water.temp_c
        self.ph = water.ph
        self.lost = self.bound = self.binder = 0.0

    def scale(self, share: float) -> None:
        """Keeps a share of everything."""
        self.volume *= share
        self.alk *= share
        self.carbon *= share
        self.tan *= share
        self.salt *= share
        self.gh *= share
        self.heat *= share
        self.binder *= share

    def constants(self) -> Constants:
        """Equilibrium constants at the bag's temperature and salts."""
        v = self.volume
        return water_constants(
            self.heat / v, self.salt / v, self.alk / v, self.tan * N_MG_PER_MMOL / v, self.gh / v
        )

    def solve(self, c: Constants, carbon: float) -> float:
        """The pH at an amount of carbon, from the last pH known."""
        v = self.volume * 1000.0
        self.ph = solve_ph(self.alk / v, carbon / v, self.tan / v, c, self.ph)
        return self.ph


class _HalfStep:
    """What half a step of a stage adds, and how far it warms: worked out once a stage."""

    __slots__ = (
        "alk", "binds", "carbon", "gh", "heat", "salt", "surroundings_c", "tan", "volume", "warms",
    )  # fmt: skip

    def __init__(self, stage: Stage, fish: Fish, drip: Water | None, step_min: int) -> None:
        minutes = 0.5 * step_min
        hours = minutes / 60.0
        excreted = fish.mass_kg * fish.excretion_mg_n_kg_h * hours / N_MG_PER_MMOL
        breathed = fish.mass_kg * fish.oxygen_mg_kg_h * hours / O2_MG_PER_MMOL
        litres = stage.drip_l_min * minutes
        water = drip if drip is not None and litres else _NOTHING
        self.volume = litres if water is not _NOTHING else 0.0
        self.alk = litres * water.alk_meq_l + excreted
        self.carbon = litres * water.dic_mmol_l + breathed * fish.co2_per_oxygen
        self.tan = litres * water.tan_n_mg_l / N_MG_PER_MMOL + excreted
        self.salt = litres * water.salt_g_l
        self.gh = litres * water.gh_meq_l
        self.heat = litres * water.temp_c
        self.binds = 1.0 - exp(-log(2.0) * minutes / BINDER_HALF_TIME_MIN)
        self.surroundings_c = stage.surroundings_c
        self.warms = exp(-minutes / stage.temp_tau_min)

    def add(self, t: _Totals) -> None:
        """Drip, fish and binder."""
        t.volume += self.volume
        t.alk += self.alk
        t.carbon += self.carbon
        t.tan += self.tan
        t.salt += self.salt
        t.gh += self.gh
        t.heat += self.heat
        if t.binder > 0.0:
            taken = min(t.binder, t.tan * self.binds)
            t.binder -= taken
            t.tan -= taken
            t.bound += taken
            # One equivalent a mole at every pH: below pH 6.5 it may cost less, never more.
            t.alk -= taken

    def warm(self, t: _Totals) -> None:
        """Exact Newton warming or cooling."""
        there = self.surroundings_c
        if there is not None:
            t.heat = t.volume * (there + (t.heat / t.volume - there) * self.warms)


_NOTHING = Water(0.0, 7.0, 0.0, 0.0)


def _breathe_out(t: _Totals, half_time_min: float, step_min: int) -> None:
    """One step of CO2 leaving: the flux half-way, carried over the step as it decays."""
    k = log(2.0) / max(half_time_min, SHORTEST_HALF_TIME_MIN) * step_min
    c = t.constants()
    air = c.co2_per_atm * AIR_CO2_ATM * 1000.0
    v = t.volume
    spare = co2_at(t.carbon / v, t.solve(c, t.carbon), c) - air
    half_way = t.carbon - v * spare * (1.0 - exp(-k / 2.0))
    spare = co2_at(half_way / v, t.solve(c, half_way), c) - air
    leaves = v * spare * 2.0 * sinh(k / 2.0)
    t.carbon -= leaves
    t.lost += leaves


def _reading(t: _Totals, minute: int) -> Minute:
    v = t.volume
    ph = t.solve(t.constants(), t.carbon)
    water = Water(
        t.heat / v,
        ph,
        t.alk / v,
        t.carbon / v,
        t.tan * N_MG_PER_MMOL / v,
        t.salt / v,
        t.gh / v,
    )
    return Minute(minute, v, water, t.lost, t.bound * N_MG_PER_MMOL)


def run(
    bag: Water,
    volume_l: float,
    stages: Sequence[Stage],
    fish: Fish = NO_FISH,
    drip: Water | None = None,
    step_min: int = 1,
) -> list[Minute]:
    """The bag after every step, the first entry being the bag as it came.

    Parameters
    ----------
    bag, volume_l
        Its water and volume [L], more than 0.
    stages
        What is done to it, one stage after the other.
    fish
        What is in it.
    drip
        The vessel's water, where a stage drips.
    step_min
        Length of a step [min], 1 or more; a stage ends on its own minute all the same.

    Notes
    -----
    Split symmetrically (Strang): half of drip, fish and binder; half the warming; CO2; the same
    backwards. First order in CO2, at a half-time that stays while the water deepens. One-minute
    steps are within 0.5 % NH3 of an exact integration for half-times of 5 min and more, steps of
    two minutes within 1 %.
    """
    t = _Totals(bag, volume_l)
    out = [Minute(0, volume_l, settled(bag))]
    minute = 0
    for stage in stages:
        t.scale(1.0 - stage.pour_out_share)
        t.binder += stage.binder_takes_n_mg / N_MG_PER_MMOL
        whole, rest = divmod(stage.minutes, step_min)
        for step, count in ((step_min, whole), (rest, 1 if rest else 0)):
            half = _HalfStep(stage, fish, drip, step)
            for _ in range(count):
                half.add(t)
                half.warm(t)
                if stage.co2_half_time_min is not None:
                    _breathe_out(t, stage.co2_half_time_min, step)
                half.warm(t)
                half.add(t)
                minute += step
                out.append(_reading(t, minute))
    return out
