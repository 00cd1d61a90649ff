"""True volume: what water is really there, from a tape, a bucket or a salt step."""

from __future__ import annotations

from intake.science.volume.answer import (
    NOTHING,
    ROCK_DENSITY_G_ML,
    VOID,
    Corner,
    Inside,
    Lists,
    Mark,
    Slab,
    TrueVolume,
)
from intake.science.volume.catalogue import INSIDE, SHAPES, Shape, SizeSpec
from intake.science.volume.compare import Comparison, compare
from intake.science.volume.measure import at_depth, plain_l, true_volume, waterline
from intake.science.volume.surface import waterline_cm

__all__ = [
    "INSIDE",
    "NOTHING",
    "ROCK_DENSITY_G_ML",
    "SHAPES",
    "VOID",
    "Comparison",
    "Corner",
    "Inside",
    "Lists",
    "Mark",
    "Shape",
    "SizeSpec",
    "Slab",
    "TrueVolume",
    "at_depth",
    "compare",
    "plain_l",
    "true_volume",
    "waterline",
    "waterline_cm",
]
