"""Vessels of true sizes drawn at random, and their water by formulas of the tests' own."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from scipy import interpolate  # type: ignore[import-untyped]

from intake.science.spread import Size
from intake.science.volume import Inside, Lists, TrueVolume, at_depth, true_volume
from tests.science.vessels import found

DRAWS = 10_000
K95 = 1.959964
"""Normal half-width at 95 %, JCGM 100:2008 table G.1."""
Array = Any
Drawn = Mapping[str, Array]


def _areas(shape: str, s: Drawn) -> Array:
    if shape in ("round", "polygon"):
        n = s.get("sides")
        share = math.pi / 4 if n is None else n / 4 * math.tan(math.pi / n)
        return share * s["diameter"] ** 2
    long, wide = s["length"], s["width"]
    if shape == "racetrack":
        long, wide = np.maximum(long, wide), np.minimum(long, wide)
        return long * wide - (1 - math.pi / 4) * wide**2
    if shape == "bow":
        radius = long**2 / (8 * s["bow"]) + s["bow"] / 2
        half_angle = np.arcsin(long / 2 / radius)
        return long * wide + radius**2 * (half_angle - np.sin(2 * half_angle) / 2)
    if shape == "lshape":
        return long * wide - s["cut_length"] * s["cut_width"]
    return {"box": 1.0, "oval": math.pi / 4}[shape] * long * wide


def _plan_l(shape: str, s: Drawn) -> Array:
    """Between straight or bulging walls, from the floor to today's line."""
    names = [n for n in ("length", "width", "diameter") if n in s]
    floor = {**s, **{n: s.get(f"floor_{n}", s[n]) for n in names}}
    middle = {**s, **{n: s.get(f"middle_{n}", (floor[n] + s[n]) / 2) for n in names}}
    if "bow" in s:
        for level in (floor, middle):
            level["bow"] = s["bow"] * level["length"] / s["length"]
    low, half, top = (_areas(shape, level) for level in (floor, middle, s))
    recorded: Array = s.get("depth")
    today: Array = recorded
    deep = [s[n] for n in s if n.startswith("depths.")]
    if deep:
        recorded = today = sum(deep) / len(deep)
        if "today" in s:
            at = max(range(len(deep)), key=lambda n: float(np.median(deep[n])))
            fall = deep[at] - s["today"]
            today = sum(np.maximum(d - fall, 0) for d in deep) / len(deep)
    elif "today" in s:
        today = s["today"]
    # Areas are a parabola of the height: two Gauss points on it are exact.
    total = 0.0
    for point in (0.5 - math.sqrt(1 / 12), 0.5 + math.sqrt(1 / 12)):
        t = point * today / np.maximum(recorded, 1e-9)
        area = low * (1 - t) * (1 - 2 * t) + 4 * half * t * (1 - t) + top * t * (2 * t - 1)
        total = total + area * today / 2
    return total / 1000


def _drum_l(s: Drawn) -> Array:
    radius = s["diameter"] / 2
    depth = np.minimum(s["depth"], s["diameter"])
    half = np.arccos(1 - depth / radius)
    return radius**2 * (half - np.sin(2 * half) / 2) * s["length"] / 1000


def _bowl_l(s: Drawn) -> Array:
    depth = np.minimum(s["depth"], s["diameter"])
    return math.pi * (s["diameter"] / 2 * depth**2 - depth**3 / 3) / 1000


def _slices_l(s: Drawn) -> Array:
    total, left, n = 0.0, s.get("today"), 1
    while f"slice.{n}.length" in s:
        last = f"slice.{n + 1}.length" not in s
        part = s[f"slice.{n}.depth"]
        if left is not None:
            part = left if last else np.minimum(left, part)
            left = left - part
        total = total + s[f"slice.{n}.length"] * s[f"slice.{n}.width"] * part
        n += 1
    return total / 1000


def _conductivity(g_l: Array) -> Array:
    """The fit of published conductivities [uS/cm at 25 C], facts of NaCl at 58.44 g/mol."""
    c = g_l / 58.44
    return 1000 * c * (126.45 - 90.0256 * c**0.5 + 112.5818 * c - 79.0794 * c**1.5)


GRID = np.linspace(0, 6, 200_001)
READ = _conductivity(GRID)


def _salt_l(s: Drawn) -> Array:
    if "curve" not in s:
        rise = s["after"] - s["before"]
    else:
        rise = np.interp(s["after"], READ, GRID) - np.interp(s["before"], READ, GRID)
        rise = rise / s["curve"]
    return np.where(rise > 0, s["salt"] / np.where(rise > 0, rise, 1), np.inf)


def _table_l(s: Drawn) -> Array:
    depths = np.array([s[n] for n in s if n.startswith("table.depth")])
    litres = np.array([s[n] for n in s if n.startswith("table.litres")])
    line = s.get("today", s["depth"])
    return np.array([_one_table_l(depths[:, k], litres[:, k], line[k]) for k in range(len(line))])


def _one_table_l(depths: Array, litres: Array, line: float) -> float:
    curve = interpolate.PchipInterpolator(np.r_[0.0, depths], np.r_[0.0, litres])
    if line > depths[-1]:
        return float(litres[-1] + curve(depths[-1], 1) * (line - depths[-1]))
    return float(curve(line))


def _by_shape(shape: str) -> Callable[[Drawn], Array]:
    own: dict[str, Callable[[Drawn], Array]] = {
        "drum": _drum_l,
        "bowl": _bowl_l,
        "slices": _slices_l,
        "levels": _table_l,
        "metered": lambda s: s["bucket"] * s["count"],
        "flow": lambda s: s["rate"] * s["time"],
        "by-salt": _salt_l,
        "outline": lambda s: _outline_l(s),
    }
    return own.get(shape, lambda s: _plan_l(shape, s))


def _outline_l(s: Drawn) -> Array:
    xs = [s[n] for n in s if n.startswith("x.")]
    ys = [s[n] for n in s if n.startswith("y.")]
    twice = sum(xs[k - 1] * ys[k] - xs[k] * ys[k - 1] for k in range(len(xs)))
    reach = {
        "length": np.max(xs, axis=0) - np.min(xs, axis=0),
        "width": np.max(ys, axis=0) - np.min(ys, axis=0),
    }
    floor = {n: s.get(f"floor_{n}", r) / r for n, r in reach.items()}
    x, y = floor["length"], floor["width"]
    # Each way runs straight from its floor share to 1: the product is integrated as it stands.
    return abs(twice) / 2 * s["depth"] * (x * y + (x + y) / 2 + 1) / 3 / 1000


@dataclass(frozen=True)
class Case:
    name: str
    shape: str
    sizes: Mapping[str, Size] = field(default_factory=dict)
    more: Lists = field(default_factory=lambda: Lists())
    inside: Inside = field(default_factory=Inside)
    today: Size | None = None

    def answer(self) -> TrueVolume:
        if self.today is None:
            return found(true_volume(self.shape, self.sizes, self.inside, **self.more))
        return found(at_depth(self.shape, self.sizes, self.today, self.inside, **self.more))

    def drawn(self, seed: int) -> dict[str, Array]:
        draw = np.random.default_rng(seed)

        def true(size: Size) -> Array:
            return draw.normal(size.value, size.half / K95, DRAWS)

        s = {n: np.maximum(true(size), 0.0) for n, size in self.sizes.items()}
        if "girth" in s:
            s["diameter"] = s.pop("girth") / math.pi
        if "across" in s:
            s["diameter"] = s.pop("across")
        if self.more.get("sides"):
            s["sides"] = self.more["sides"]
        for k, depth in enumerate(self.more.get("depths", ())):
            s[f"depths.{k}"] = true(depth)
        for k, (x, y) in enumerate(self.more.get("points", ())):
            s |= {f"x.{k}": true(x), f"y.{k}": true(y)}
        for k, slab in enumerate(self.more.get("slices", ()), start=1):
            for part, size in zip(("length", "width", "depth"), slab, strict=True):
                s[f"slice.{k}.{part}"] = true(size)
        if "levels" in self.more:
            bucket = draw.normal(0, 1 / K95, DRAWS)
            for k, (depth, litres) in enumerate(self.more["levels"]):
                s[f"table.depth.{k}"] = true(depth)
                s[f"table.litres.{k}"] = litres.value + litres.half * bucket
        if self.shape == "by-salt" and self.more.get("salt_readings") != "salt":
            s["curve"] = draw.normal(1, 0.02 / K95, DRAWS)
        if self.today is not None:
            s["today"] = np.maximum(true(self.today), 0.0)
        return s

    def water_l(self, seed: int) -> Array:
        litres = _by_shape(self.shape)(self.drawn(seed))
        draw = np.random.default_rng(seed + 1000)

        def true(size: Size) -> Array:
            return draw.normal(size.value, size.half / K95, DRAWS)

        inside = self.inside
        if inside.gravel_l is not None:
            litres = litres - true(inside.gravel_l) * (1 - true(inside.void))
        if inside.rock_g is not None:
            litres = litres - true(inside.rock_g) / true(inside.rock_density_g_ml) / 1000
        if inside.displaced_l is not None:
            litres = litres - true(inside.displaced_l)
        return litres + (true(inside.connected_l) if inside.connected_l is not None else 0.0)
