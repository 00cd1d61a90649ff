"""Oxygen that fish use, and how long a water lasts when the air stops."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from math import exp

from intake.science.ammonia import require_range
from intake.science.oxygen import TEMP_RANGE_C, saturation_mg_l
from intake.science.span import Span

MEASURED_C = (15.0, 30.0)
"""Where the resting use was measured [C]; the curve is carried on outside.
Source: Yamanaka 2013."""

ACTIVE_TIMES = 2.0
"""What fed or excited fish use, times what they use at rest. Common practice."""

BESIDE_FISH_SHARE = 0.5
"""What filter and mulm use beside the fish, at most, as a share of theirs. Common practice."""

SALTED = ((0.0, 1.0), (3.0, 92 / 88), (6.0, 126 / 88), (9.0, 159 / 88))
"""What goldfish of 37.5 g use in so much salt [g/L], times what they use in fresh water; kept at
the last beyond it. Source: a salinity trial of goldfish."""

TARGET_MG_L = 5.0
"""Oxygen the fish are kept at [mg/L]. Source: Texas Parks and Wildlife."""

DANGER_MG_L = 3.0
"""Oxygen at which they hang at the surface and may die [mg/L]. Common practice."""

FULL_SHARE_LOW = 0.8
"""Share of saturation that water nobody read may stand at although its air runs. Common
practice."""

MASS_RANGE_G = (0.0, 10_000.0)


def resting_mg_g_h(mass_g: float, temp_c: float) -> float:
    """Oxygen one resting goldfish uses [mg/g/h].

    Parameters
    ----------
    mass_g
        One fish [g], more than 0.
    temp_c
        Water temperature [C], 0 to 40; measured between 15 and 30.

    Raises
    ------
    NotInRange
        For a value outside its range.

    Notes
    -----
    0.0674 W^-0.193 e^(0.0562 T). Source: Yamanaka 2013, larvae to juveniles of a goldfish
    subspecies. Two other goldfish figures at 37.5 g lie under it by a fifth at most.

    Examples
    --------
    >>> round(1000 * resting_mg_g_h(37.5, 20))
    103
    """
    require_range("fish mass", mass_g, (1e-6, MASS_RANGE_G[1]), "g")
    require_range("temperature", temp_c, TEMP_RANGE_C, "C")
    return float(0.0674 * mass_g**-0.193 * exp(0.0562 * temp_c))


def salt_times(salt_g_l: float) -> float:
    """How many times what fresh water makes them use, fish use in this much salt [g/L].

    Notes
    -----
    88, 92, 126 and 159 mg/kg/h at 0, 3, 6 and 9 g/L, straight between them. Source: a salinity
    trial of goldfish.

    Examples
    --------
    >>> round(salt_times(6.0), 2)
    1.43
    """
    for (low, before), (high, after) in pairwise(SALTED):
        if salt_g_l <= high:
            return before + (after - before) * max(0.0, salt_g_l - low) / (high - low)
    return SALTED[-1][1]


def outside_measured(temp_c: float) -> bool:
    """Whether the curve is carried on past the temperatures it was measured at [C]."""
    return not MEASURED_C[0] <= temp_c <= MEASURED_C[1]


@dataclass(frozen=True, slots=True)
class Fish:
    """So many fish of one size [g each]."""

    count: int
    mass_g: Span

    def resting_mg_h(self, temp_c: float) -> Span:
        """What all of them use at rest [mg/h]."""
        return self.mass_g.map(lambda g: self.count * g * resting_mg_g_h(g, temp_c) if g else 0.0)


def used_mg_h(fish: Iterable[Fish], temp_c: float, salt_g_l: float = 0.0) -> Span:
    """Oxygen used in a vessel [mg/h]: fish at rest alone, to active ones with filter and mulm.

    Parameters
    ----------
    fish
        All in the vessel.
    temp_c
        Water temperature [C], 0 to 40.
    salt_g_l
        Salt in the water [g/L].

    Raises
    ------
    NotInRange
        For a temperature outside its range.

    Notes
    -----
    The middle is halfway between rest and activity, with half of what filter and mulm may use.
    """
    salted = salt_times(salt_g_l)
    each = [f.resting_mg_h(temp_c).map(lambda use: salted * use) for f in fish]
    halfway = (1.0 + ACTIVE_TIMES) / 2.0 * (1.0 + BESIDE_FISH_SHARE / 2.0)
    most = ACTIVE_TIMES * (1.0 + BESIDE_FISH_SHARE)
    return Span(
        sum(r.low for r in each),
        halfway * sum(r.nominal for r in each),
        most * sum(r.high for r in each),
    )


def hours_until(
    oxygen_mg_l: float, down_to_mg_l: float, volume_l: float, use_mg_h: float
) -> float | None:
    """Hours until oxygen has fallen to `down_to_mg_l`; 0 where it has, None where none is used.

    Parameters
    ----------
    oxygen_mg_l, down_to_mg_l
        Oxygen now and then [mg/L].
    volume_l
        Water [L].
    use_mg_h
        Oxygen used [mg/h], the same until then.

    Notes
    -----
    Nothing comes in through the surface: still water takes up some, so that this is the careful
    end. Fish use as much until oxygen is short, which is under the levels counted down to.

    Examples
    --------
    >>> round(hours_until(9.09, 5.0, 100.0, 103.0), 2)
    3.97
    """
    if oxygen_mg_l <= down_to_mg_l:
        return 0.0
    return None if use_mg_h <= 0.0 else (oxygen_mg_l - down_to_mg_l) * volume_l / use_mg_h


@dataclass(frozen=True, slots=True)
class Store:
    """Oxygen in a vessel [mg/L], its water [L] and what is used [mg/h], each with its ends.

    `taken_mg_l` is what a treatment may take at most.
    """

    oxygen_mg_l: Span
    volume_l: Span
    use_mg_h: Span
    taken_mg_l: float = 0.0

    def hours(self, down_to_mg_l: float) -> tuple[float | None, float | None, float | None]:
        """Hours until then: the careful end, the middle, the far end; None: for ever."""
        oxygen, water, use = self.oxygen_mg_l, self.volume_l, self.use_mg_h
        half = self.taken_mg_l / 2.0
        return (
            hours_until(oxygen.low - self.taken_mg_l, down_to_mg_l, water.low, use.high),
            hours_until(oxygen.nominal - half, down_to_mg_l, water.nominal, use.nominal),
            hours_until(oxygen.high, down_to_mg_l, water.high, use.low),
        )


def full(temp_c: float, salt_g_l: float = 0.0, station_pressure_atm: float = 1.0) -> Span:
    """Oxygen of water nobody read, whose air runs [mg/L]: at saturation, or a little under.

    Raises
    ------
    NotInRange
        As `saturation_mg_l`.
    """
    top = saturation_mg_l(temp_c, salt_g_l, station_pressure_atm)
    return Span(FULL_SHARE_LOW * top, top, top)


def warmed(oxygen_mg_l: Span, saturation_mg_l: float, warm_saturation_mg_l: float) -> Span:
    """Oxygen once the water is warmer [mg/L]: the same share of what it then holds."""
    share = warm_saturation_mg_l / saturation_mg_l
    return oxygen_mg_l.map(lambda oxygen: oxygen * share)
