"""A typical vessel of each shape, drawn while its own sizes are not yet known."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

Values = Mapping[str, float]

SAMPLES: Mapping[str, Values] = MappingProxyType(
    {
        "box": {"length": 100, "width": 50, "depth": 40},
        "round": {"diameter": 100, "depth": 40},
        "racetrack": {"length": 140, "width": 70, "depth": 45},
        "oval": {"length": 140, "width": 70, "depth": 45},
        "polygon": {"sides": 6, "across": 100, "depth": 40},
        "bow": {"length": 100, "width": 40, "bow": 14, "depth": 40},
        "lshape": {"length": 120, "width": 80, "cut_length": 60, "cut_width": 40, "depth": 40},
        "outline": {
            "points.1.x": 0, "points.1.y": 0, "points.2.x": 120, "points.2.y": 0,
            "points.3.x": 120, "points.3.y": 40, "points.4.x": 80, "points.4.y": 70,
            "points.5.x": 0, "points.5.y": 50, "depth": 40,
        },
        "bowl": {"diameter": 40, "depth": 26},
        "drum": {"diameter": 58, "length": 88, "depth": 40},
        "slices": {
            "slice.1.length": 50, "slice.1.width": 40, "slice.1.depth": 20,
            "slice.2.length": 75, "slice.2.width": 50, "slice.2.depth": 20,
            "slice.3.length": 100, "slice.3.width": 60, "slice.3.depth": 20,
        },
    }
)  # fmt: skip
"""Sizes by flat name [cm], no more than something to look at."""
INSTEAD = {"diameter": ("girth",), "depth": ("depths.1",)}


def completed(shape: str, values: Values) -> tuple[dict[str, float], frozenset[str]]:
    """The sizes known, with those still missing in proportion to them, and which those are."""
    sample = SAMPLES.get(shape, {})
    # A part of a list is no size to guess: three corners are drawn as the three there are.
    if any("." in name for name in values):
        sample = {name: size for name, size in sample.items() if "." not in name}
    missing = {
        name: size
        for name, size in sample.items()
        if name not in values and not any(i in values for i in INSTEAD.get(name, ()))
    }
    known = next((values[n] / sample[n] for n in sample if values.get(n) and n != "sides"), 1.0)
    guessed = {n: size if n == "sides" else size * known for n, size in missing.items()}
    return {**values, **guessed}, frozenset(guessed)


def rim_cm(values: Values) -> float:
    """A wall a little above the water of a sample [cm]."""
    stacked = sum(v for n, v in values.items() if n.startswith("slice.") and n.endswith("depth"))
    return values.get("depth", stacked) * 1.12
