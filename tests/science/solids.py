"""Solids written from what a shape promises to be, cut into sections; nothing of intake's."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

import numpy as np

Sizes = Mapping[str, float]
Points = list[tuple[float, float]]
Array = Any
"""numpy's array of numbers."""

NODES, WEIGHTS = np.polynomial.legendre.leggauss(64)


def summed(f: Callable[[Array], Array], low: float, high: float) -> float:
    """The integral of f, by Gauss-Legendre over an angle, so that round ends cost nothing."""
    angle = (NODES + 1) * math.pi / 2
    x = low + (high - low) * (1 - np.cos(angle)) / 2
    return float(np.sum(WEIGHTS * f(x) * np.sin(angle)) * math.pi / 2 * (high - low) / 2)


def box_cm2(s: Sizes) -> float:
    return summed(lambda x: np.full_like(x, s["width"]), 0, s["length"])


def ellipse_cm2(s: Sizes) -> float:
    half = s["length"] / 2
    width = s["width"]
    return summed(lambda x: width * np.sqrt(1 - (x / half) ** 2), -half, half)


def circle_cm2(s: Sizes) -> float:
    return ellipse_cm2({"length": s["diameter"], "width": s["diameter"]})


def racetrack_cm2(s: Sizes) -> float:
    """A straight piece between two half circles."""
    return box_cm2({"length": s["length"] - s["width"], "width": s["width"]}) + circle_cm2(
        {"diameter": s["width"]}
    )


def bow_cm2(s: Sizes) -> float:
    """A box, and above its front the circle through both ends and `bow` above the middle."""
    half, bow = s["length"] / 2, s["bow"]
    radius = (half**2 + bow**2) / (2 * bow)
    front = summed(lambda x: np.sqrt(radius**2 - x**2) - (radius - bow), -half, half)
    return box_cm2(s) + front


def lshape_cm2(s: Sizes) -> float:
    whole = s["length"] - s["cut_length"]
    return whole * s["width"] + s["cut_length"] * (s["width"] - s["cut_width"])


def corners_cm2(corners: Points) -> float:
    """By the strips between neighbouring corners, each crossed at its middle."""
    xs = sorted({x for x, _ in corners})
    return sum((b - a) * chord_cm(corners, (a + b) / 2) for a, b in pairwise(xs))


def chord_cm(corners: Points, x: float) -> float:
    ys = []
    for (xa, ya), (xb, yb) in zip(corners, corners[1:] + corners[:1], strict=True):
        if (xa <= x) != (xb <= x):
            ys.append(ya + (yb - ya) * (x - xa) / (xb - xa))
    ys.sort()
    return sum(b - a for a, b in zip(ys[::2], ys[1::2], strict=True))


def polygon_cm2(s: Sizes) -> float:
    """Equal sides around a circle of `diameter` that touches each of them."""
    n = round(s["sides"])
    outer = s["diameter"] / 2 / math.cos(math.pi / n)
    turn = math.pi / 7
    return corners_cm2(
        [
            (outer * math.cos(turn + k * math.tau / n), outer * math.sin(turn + k * math.tau / n))
            for k in range(n)
        ]
    )


AREAS: Mapping[str, Callable[[Sizes], float]] = {
    "box": box_cm2,
    "round": circle_cm2,
    "oval": ellipse_cm2,
    "racetrack": racetrack_cm2,
    "bow": bow_cm2,
    "lshape": lshape_cm2,
    "polygon": polygon_cm2,
}
LEANS: Mapping[str, tuple[str, ...]] = {
    "box": ("length", "width"),
    "round": ("diameter",),
    "oval": ("length", "width"),
    "racetrack": ("length", "width"),
    "bow": ("length", "width"),
    "lshape": ("length", "width"),
    "polygon": ("diameter",),
    "outline": ("length", "width"),
}
"""The sizes of a shape that may be smaller or larger at the floor."""


@dataclass
class Solid:
    """A vessel: sizes at the line [cm], those at the floor and half way, its recorded depth."""

    shape: str
    top: dict[str, float]
    depth: float
    floor: dict[str, float] = field(default_factory=dict)
    middle: dict[str, float] = field(default_factory=dict)
    corners: Points = field(default_factory=list)

    def straight_cm2(self, height: float) -> float:
        """Area at a height when every size runs straight from the floor to the line."""
        share = height / self.depth
        return self.area_cm2(
            {
                name: self.floor.get(name, at_top) * (1 - share) + at_top * share
                for name, at_top in self.top.items()
            }
        )

    def area_cm2(self, s: dict[str, float]) -> float:
        """Area of a section: a bow keeps its proportion, a missing corner its size."""
        if self.shape == "bow":
            s = s | {"bow": self.top["bow"] * s["length"] / self.top["length"]}
        if self.shape == "outline":
            x, y = s["length"] / self.top["length"], s["width"] / self.top["width"]
            return corners_cm2([(a * x, b * y) for a, b in self.corners])
        return AREAS[self.shape](s)


def drawn(shape: str, draw: random.Random) -> Solid:
    """A straight vessel of random sizes that a fish room might have."""
    length = draw.uniform(40, 250)
    width = length * draw.uniform(0.35, 0.95)
    depth = draw.uniform(15, 90)
    if shape in ("round", "polygon"):
        top = {"diameter": length}
        return Solid(
            shape,
            top | ({"sides": float(draw.randint(3, 12))} if shape == "polygon" else {}),
            depth,
        )
    if shape == "outline":
        return _outline(draw, depth)
    top = {"length": length, "width": width}
    if shape == "bow":
        top["bow"] = length * draw.uniform(0.01, 0.5)
    if shape == "lshape":
        top |= {
            "cut_length": length * draw.uniform(0.1, 0.5),
            "cut_width": width * draw.uniform(0.1, 0.5),
        }
    return Solid(shape, top, depth)


def _outline(draw: random.Random, depth: float) -> Solid:
    """A star around its middle, mostly with corners that point inward."""
    n = draw.randint(5, 11)
    sign = draw.choice((1, -1))
    away = [draw.uniform(25, 90) for _ in range(n)]
    corners = [
        (r * math.cos(sign * k * math.tau / n), r * math.sin(sign * k * math.tau / n))
        for k, r in enumerate(away)
    ]
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    top = {"length": max(xs) - min(xs), "width": max(ys) - min(ys)}
    return Solid("outline", top, depth, corners=corners)
