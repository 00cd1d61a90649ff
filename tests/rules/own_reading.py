"""The figures of a protocol file by a reader of its own, and those of the shape it was loaded as.

Nothing here is shared with the program but the text: another YAML loader, units by a table.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from ruamel.yaml import YAML

from intake.rules.one_file import Content
from intake.science.plan import Plan
from intake.science.treatment import Course, NeverMix, Treatment

Figures = list[tuple[str, str]]
"""Each figure by its place in the file, its number written out with all digits."""

_MASS = {"g/L": "1000", "mg/L": "1", "ug/L": "0.001", "ng/L": "0.000001", "ppm": "1"}
_MASS |= {"% w/v": "10000", "%": "10000", "g/mL": "1000000", "kg/L": "1000000", "mg/mL": "1000"}
_SIZES = {
    "mass": _MASS,
    "volume": {"uL/L": "1", "mL/L": "1000", "L/L": "1000000"},
    "feed": {"mg/kg/d": "1", "g/kg/d": "1000", "ug/kg/d": "0.001"},
    "time": {"h": "1", "d": "24"},
    "warm": {"C": "1"},
    "bare": {"": "1"},
}
UNITS: dict[str, tuple[str, Decimal]] = {
    unit: (kind, Decimal(size)) for kind, sizes in _SIZES.items() for unit, size in sizes.items()
}
UNITS |= {"min": ("time", Decimal(1) / 60), "s": ("time", Decimal(1) / 3600)}
WRITTEN = re.compile(r"([-+]?(?:\d+(?:\.\d+)?|\.\d+))\s*(.*)")


class Unread(Exception):
    """A figure this reader cannot read."""


def own(value: object) -> tuple[Decimal, str]:
    """The number of a written figure in the size of its kind of unit, and the kind."""
    text = str(value).strip()
    found = WRITTEN.fullmatch(text)
    if found is None:
        raise Unread(text)
    number, unit = Decimal(found[1]), found[2].strip()
    if unit == "F":
        return (number - 32) * 5 / 9, "warm"
    if unit not in UNITS:
        raise Unread(text)
    kind, size = UNITS[unit]
    return number * size, kind


def digits(number: Decimal | int | None) -> str:
    """Twelve digits: hours may be thirds of something."""
    return (
        "none" if number is None else format(Decimal(f"{Decimal(number):.12g}").normalize(), "f")
    )


def written(text: str, kind: str) -> Figures:
    """What the text says, read here."""
    top = YAML(typ="safe", pure=True).load(text)
    if kind == "treatment":
        return list(_treatment(top))
    if kind == "never-mix":
        return [("days", digits(own(p["days"])[0] / 24)) for p in top["pairs"]]
    if kind == "plan":
        return [(name, digits(own(top[name]["value"])[0] / 24)) for name in ("days", "floor")]
    return []


def _treatment(top: dict[str, Any]) -> Iterator[tuple[str, str]]:
    for s in top["strengths"]:
        number = WRITTEN.fullmatch(str(s["strength"]))
        if number is None:
            raise Unread(str(s["strength"]))
        yield f"strength {number[2].strip()}", digits(Decimal(number[1]))
        yield "counts-as", digits(own(s["counts-as"])[0])
        density = own(s["density"])[0] / UNITS["g/mL"][1] if "density" in s else None
        yield "density", digits(density)
    for end in ("at-least", "at-most"):
        half = top.get("half-life")
        yield f"half-life {end}", digits(own(half[end])[0] if half else None)
    for course in top["courses"]:
        yield from _course(course)


def _course(course: dict[str, Any]) -> Iterator[tuple[str, str]]:
    target = course["target"]
    size = UNITS[target["unit"]][1]
    if "low" in target:
        for end in ("low", "usual", "high"):
            yield end, digits(own(target[end]["value"])[0] / size)
    for name in ("hard-limits", "soft-limits"):
        for limit in course.get(name, []):
            yield name, digits(own(limit["value"])[0] / size)
            for side in ("above", "below"):
                yield side, digits(_side(limit, side))
    for block, ends in BLOCKS.items():
        found = course.get(block, {})
        for end in ends:
            yield f"{block} {end}", digits(own(found[end])[0] if end in found else None)
    yield "times", digits(own(course["repeat"]["times"])[0] if "repeat" in course else None)
    for step in course.get("steps", {}).get("raises", []):
        yield "step", digits(own(step["target"])[0] / size)
        yield "after", digits(own(step["after"])[0])


BLOCKS = {
    "duration": ("at-least", "at-most"),
    "repeat": ("every",),
    "interval": ("not-before", "usual-every"),
}


def _side(limit: dict[str, Any], side: str) -> Decimal | None:
    """A limit by KH or GH is in other units; those are not read here."""
    if side not in limit or limit.get("reading", "temp") not in ("temp", "ph"):
        return None
    return own(limit[side])[0]


def loaded(content: Content) -> Figures:
    """What was loaded, in the order of the file."""
    if isinstance(content, Treatment):
        return list(_shape(content))
    if isinstance(content, Plan):
        return [("days", digits(content.days)), ("floor", digits(content.floor_days))]
    if isinstance(content, tuple):
        return [("days", digits(p.days)) for p in content if isinstance(p, NeverMix)]
    return []


def _shape(treatment: Treatment) -> Iterator[tuple[str, str]]:
    for s in treatment.strengths:
        yield f"strength {s.unit}", digits(s.value)
        yield "counts-as", digits(s.counts_as)
        yield "density", digits(s.density_g_ml)
    yield "half-life at-least", digits(treatment.half_life_low_h)
    yield "half-life at-most", digits(treatment.half_life_high_h)
    for course in treatment.courses:
        yield from _course_shape(course)


def _course_shape(course: Course) -> Iterator[tuple[str, str]]:
    if not course.by_vet:
        yield "low", digits(course.low)
        yield "usual", digits(course.usual)
        yield "high", digits(course.high)
    for hard, name in ((True, "hard-limits"), (False, "soft-limits")):
        for bound in course.bounds:
            if bound.hard == hard:
                yield name, digits(bound.value)
                shown = bound.quantity in ("temp", "ph")
                yield "above", digits(bound.above if shown else None)
                yield "below", digits(bound.below if shown else None)
    repeat, interval = course.repeat, course.interval
    yield "duration at-least", digits(course.duration_min_h)
    yield "duration at-most", digits(course.duration_max_h)
    yield "repeat every", digits(repeat.every_h if repeat else None)
    yield "interval not-before", digits(interval.not_before_h if interval else None)
    yield "interval usual-every", digits(interval.usual_every_h if interval else None)
    yield "times", digits(repeat.times if repeat else None)
    for step in course.steps:
        yield "step", digits(step.target)
        yield "after", digits(step.after_h)
