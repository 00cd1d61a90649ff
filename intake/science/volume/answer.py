"""The shapes a true volume is asked with and answered in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypedDict

from intake.science.problem import Warn
from intake.science.spread import Size

VOID = Size(0.38, 0.04)
"""Share of gravel's bulk that is water [1].

Source: published porosities 0.36 (matrix-free gravel, soil hydraulic tables) and 0.40 (uniform
angular stone 20-50 mm, Sustainable Technologies Evaluation Program, reservoir aggregate): the
middle, and wide enough for both.
"""

ROCK_DENSITY_G_ML = Size(2.6, 0.2)
"""Density of rock [g/mL]: limestone, common practice. Lava and other porous rock is lighter."""


@dataclass(frozen=True, slots=True)
class Inside:
    """What else is in the water or joined to it.

    Parameters
    ----------
    gravel_l
        Gravel in bulk, holes included [L].
    void
        Share of the gravel that is water, 0 to below 1.
    rock_g
        Rock by mass [g].
    rock_density_g_ml
        Density of the rock [g/mL].
    displaced_l
        Everything else under water: filters, pots, heater [L].
    connected_l
        Sump and pipe water, added [L].
    """

    gravel_l: Size | None = None
    void: Size = VOID
    rock_g: Size | None = None
    rock_density_g_ml: Size = ROCK_DENSITY_G_ML
    displaced_l: Size | None = None
    connected_l: Size | None = None


NOTHING = Inside()
"""Bare water."""


@dataclass(frozen=True, slots=True)
class TrueVolume:
    """The water there is, with its doubt.

    Parameters
    ----------
    volume_l, low_l, high_l
        The water [L] and its 95 % bounds; `low_l` is never below 0.
    gross_l
        What the sizes hold before anything is taken off or added [L].
    displaced_l, connected_l
        Taken off and added [L].
    method
        How it was found, e.g. ``racetrack, tapered``.
    doubt_from
        Option name of the size that adds most doubt, "" where nothing is in doubt.
    shares
        What each option adds to the doubt [1], together 1.
    """

    volume_l: float
    low_l: float
    high_l: float
    gross_l: float
    displaced_l: float
    connected_l: float
    method: str
    doubt_from: str
    assumptions: tuple[str, ...]
    warnings: tuple[Warn, ...]
    shares: Mapping[str, float] = field(default_factory=dict)


Corner = tuple[Size, Size]
"""A corner of an outline: along and across [cm]."""

Slab = tuple[Size, Size, Size]
"""A slice of a stacked vessel: length, width, depth [cm]."""

Mark = tuple[Size, Size]
"""A line of a level table: depth [cm] and the litres below it [L]."""


class Lists(TypedDict, total=False):
    """The sizes that are not one length each; every one may be left out.

    `depths` over a sloping floor [cm], `points` the corners of an outline in walking order [cm],
    `slices` stacked boxes from the floor up [cm], `levels` a level table [cm, L], `sides` of a
    polygon, `height` of the wall [cm], over which no depth is believed, and `salt_readings`:
    ``conductivity`` (before and after are uS/cm, at 25 C where no temperatures are given, the
    default), ``ppm`` (of a meter whose `factor` is given) or ``salt`` (g/L).
    """

    depths: Sequence[Size]
    points: Sequence[Corner]
    slices: Sequence[Slab]
    levels: Sequence[Mark]
    sides: int | None
    height: Size | None
    salt_readings: str
