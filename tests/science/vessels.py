"""Vessels to measure, and their water found without the formulas under test."""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping
from math import cos, pi, sin, sqrt
from pathlib import Path

from intake.science.problem import Problem
from intake.science.spread import Size
from intake.science.volume import TrueVolume

DATA = Path(__file__).parents[1] / "data"
FOOT_CM = 30.48
INCH_CM = 2.54
US_GAL_L = 3.785411784


def exact(**sizes: float) -> dict[str, Size]:
    return {name: Size(value) for name, value in sizes.items()}


def taped(half: float, **sizes: float) -> dict[str, Size]:
    return {name: Size(value, half) for name, value in sizes.items()}


def found(answer: TrueVolume | Problem) -> TrueVolume:
    assert isinstance(answer, TrueVolume), answer
    return answer


def refused(answer: TrueVolume | Problem) -> Problem:
    assert isinstance(answer, Problem), answer
    return answer


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


Inside = Callable[[Mapping[str, float], float], float]


def _box(s: Mapping[str, float], x: float) -> float:
    return s["width"] if 0 <= x <= s["length"] else 0.0


def _round(s: Mapping[str, float], x: float) -> float:
    radius = s["diameter"] / 2
    return 2 * sqrt(max(0.0, radius**2 - (x - radius) ** 2))


def _oval(s: Mapping[str, float], x: float) -> float:
    half = s["length"] / 2
    return s["width"] * sqrt(max(0.0, 1 - ((x - half) / half) ** 2))


def _racetrack(s: Mapping[str, float], x: float) -> float:
    radius = s["width"] / 2
    into_end = max(radius - x, x - (s["length"] - radius), 0.0)
    return 2 * sqrt(max(0.0, radius**2 - into_end**2))


def _bow(s: Mapping[str, float], x: float) -> float:
    radius = ((s["length"] / 2) ** 2 + s["bow"] ** 2) / (2 * s["bow"])
    off = x - s["length"] / 2
    return s["width"] + sqrt(radius**2 - off**2) - (radius - s["bow"])


def _lshape(s: Mapping[str, float], x: float) -> float:
    missing = s["cut_width"] if x > s["length"] - s["cut_length"] else 0.0
    return s["width"] - missing


def _polygon(s: Mapping[str, float], x: float) -> float:
    n, inner = int(s["sides"]), s["diameter"] / 2
    outer = inner / cos(pi / n)
    corners = [
        (outer * sin(2 * pi * (k + 0.5) / n), outer * cos(2 * pi * (k + 0.5) / n))
        for k in range(n)
    ]
    return chord(corners, x - outer)


def chord(corners: list[tuple[float, float]], x: float) -> float:
    """Length of the outline's inside along the line at x, by counting crossings."""
    ys = []
    for (xa, ya), (xb, yb) in zip(corners, corners[1:] + corners[:1], strict=True):
        if (xa <= x) != (xb <= x):
            ys.append(ya + (yb - ya) * (x - xa) / (xb - xa))
    ys.sort()
    return sum(b - a for a, b in zip(ys[::2], ys[1::2], strict=True))


WIDTH_AT: Mapping[str, Inside] = {
    "box": _box,
    "round": _round,
    "oval": _oval,
    "racetrack": _racetrack,
    "bow": _bow,
    "lshape": _lshape,
    "polygon": _polygon,
}


def breaks(shape: str, s: Mapping[str, float]) -> tuple[float, ...]:
    """Where the width has a kink, for the quadrature."""
    if shape == "racetrack":
        return (s["width"] / 2, s["length"] - s["width"] / 2)
    if shape == "lshape":
        return (s["length"] - s["cut_length"],)
    return ()


def reach(shape: str, s: Mapping[str, float]) -> float:
    if shape == "polygon":
        return s["diameter"] / cos(pi / s["sides"])
    return s["diameter"] if shape == "round" else s["length"]


TAPERS = [
    ("box", {"length": 60.0, "width": 40.0}, {"length": 50.0, "width": 28.0}),
    ("round", {"diameter": 100.0}, {"diameter": 72.0}),
    ("oval", {"length": 132.0, "width": 81.0}, {"length": 110.0, "width": 70.0}),
    ("racetrack", {"length": 152.0, "width": 76.0}, {"length": 128.0, "width": 60.0}),
    ("polygon", {"sides": 6.0, "diameter": 100.0}, {"diameter": 80.0}),
    (
        "lshape",
        {"length": 120.0, "width": 90.0, "cut_length": 50.0, "cut_width": 35.0},
        {"length": 112.0, "width": 82.0},
    ),
    ("round", {"diameter": 60.0}, {"diameter": 75.0}),  # narrower at the top
    ("box", {"length": 60.0, "width": 40.0}, {"length": 50.0}),  # leans one way only
]


def tapered(shape: str, top: dict[str, float], floor: dict[str, float]) -> dict[str, Size]:
    names = {"diameter": "across"} if shape == "polygon" else {}
    plain = {names.get(n, n): v for n, v in top.items() if n != "sides"}
    return exact(**plain, **{f"floor_{n}": v for n, v in floor.items()})


def sides_of(top: dict[str, float]) -> int | None:
    return int(top["sides"]) if "sides" in top else None
