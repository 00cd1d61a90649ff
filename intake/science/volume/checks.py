"""What is wrong with the sizes of a vessel before anything is worked out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import pairwise
from math import isfinite

from intake.science.figures import figure
from intake.science.problem import Problem, Refused
from intake.science.spread import Size
from intake.science.volume.asked import Asked, Values, option, wrong
from intake.science.volume.catalogue import SHAPES, SizeSpec
from intake.science.volume.levels import marks
from intake.science.volume.outline import corners, crossing
from intake.science.volume.outside import inner, thinnest
from intake.science.volume.plan import areas_cm2, depths_cm, narrowest_cm2, sections
from intake.science.volume.salt_checks import by_salt

GAP_SHARE = 0.5
"""A step between two marks over this share of the whole table is a gap [1]; common practice."""

LARGEST = 1e7
"""Larger sizes are no vessel in any unit used here."""

SMALLEST = 1e-9
"""Smaller sizes are no vessel in any unit used here."""

MOST_SIDES = 100
"""A polygon of more sides is a circle to any tape; common practice."""

_LISTS = {"depths": "depths", "points": "points", "slice": "slices", "table": "levels"}
_MAY_BE_ZERO = {"gravel", "void", "rock_mass", "displaced", "connected", "before", "bow"}


def first_problem(asked: Asked) -> Problem | None:
    """The first thing wrong with what was asked, None where it can be worked out.

    Raises
    ------
    Refused
        ``not-in-range``: a depth above the level table, a reading beyond the salt curve.
    """
    for check in (_names, _numbers, _thick, _own, _walls, _height):
        problem = check(asked)
        if problem is not None:
            return problem
    return None


def _given(asked: Asked, spec: SizeSpec) -> bool:
    if spec.name == "sides":
        return asked.sides is not None
    if spec.name in _LISTS:
        return bool(getattr(asked, _LISTS[spec.name]))
    return spec.name in asked.sizes


def _names(asked: Asked) -> Problem | None:
    shape = asked.shape
    for name in asked.sizes:
        if shape.size(name) is None or name in _LISTS or name == "sides":
            return wrong(name, f"{shape.name} has no {option(name)}", code="no-such-name")
    given = [spec for spec in shape.sizes if _given(asked, spec)]
    for spec in shape.sizes:
        either = [other for other in shape.sizes if spec.one_of and other.one_of == spec.one_of]
        words = " or ".join(other.option for other in either) or spec.option
        chosen = [other for other in either if other in given]
        if len(chosen) > 1:
            return wrong(spec.name, f"{words}: give one of them", code="wrong-kind")
        if (either and not chosen) or (spec.required and spec not in given):
            return wrong(spec.name, f"{shape.name} needs {words}", spec.how, "wrong-kind")
    stray = [k for k, v in _LISTS.items() if getattr(asked, v) and shape.size(k) is None]
    if asked.sides is not None and shape.size("sides") is None:
        stray.append("sides")
    if stray:
        return wrong(stray[0], f"{shape.name} has no {option(stray[0])}", code="no-such-name")
    return None


def _numbers(asked: Asked) -> Problem | None:
    sizes = asked.flat()
    if asked.height is not None:
        sizes["height"] = asked.height
    for name, size in sizes.items():
        anywhere = (
            Size(max(abs(size.value), 1.0), size.half) if name.startswith("points.") else size
        )
        problem = _number(name, anywhere)
        if problem is not None:
            return problem
    if asked.salt_readings not in ("conductivity", "ppm", "salt"):
        return wrong("before", f"readings as {asked.salt_readings}", code="wrong-kind")
    if asked.inside.void.value >= 1:
        return wrong(
            "void", f"void is {figure(asked.inside.void.value)}", "a share below 1, e.g. 0.38"
        )
    return None


def _number(name: str, size: Size) -> Problem | None:
    if not isfinite(size.value) or not isfinite(size.half):
        return wrong(name, f"{option(name)} is not a number", code="not-a-number")
    if size.half < 0:
        return wrong(name, f"the +/- of {option(name)} is below 0")
    if max(size.value, size.half) > LARGEST:
        return wrong(name, f"{option(name)} is {figure(size.value)}", "a size a vessel can have")
    zero = name in _MAY_BE_ZERO or name.startswith("floor_") or name.startswith("table.1.")
    if size.value < 0 or (size.value == 0 and not zero):
        return wrong(name, f"{option(name)} is {figure(size.value)}", "a size above 0")
    if 0 < size.value < SMALLEST and name not in _MAY_BE_ZERO:
        return wrong(name, f"{option(name)} is too small to be a size", "check the unit")
    return None


def _thick(asked: Asked) -> Problem | None:
    """Walls that leave something between them."""
    v = {n: size.value for n, size in asked.flat().items()}
    within = thinnest(v)
    if within is None or within[1] > 0:
        return None
    text = f"walls of {figure(v['wall'])} cm leave nothing of the {option(within[0])}"
    return wrong("wall", text, "the thickness of one wall")


def _own(asked: Asked) -> Problem | None:
    if asked.shape.name == "by-salt":
        return by_salt(asked)
    check = _OWN.get(asked.shape.name)
    return check(inner({n: size.value for n, size in asked.flat().items()})) if check else None


def _racetrack(v: Values) -> Problem | None:
    for where, s in zip(("", "middle_", "floor_"), sections("racetrack", v)[::-1], strict=True):
        if s["length"] < s["width"]:
            hint = "swap length and width"
            if where:
                hint += ", or give both sizes there: the length is the longer way"
            text = f"length {figure(s['length'])} cm is under the width {figure(s['width'])} cm"
            return wrong(f"{where}length", text, hint)
    return None


def _bow(v: Values) -> Problem | None:
    if v["bow"] > v["length"] / 2:
        text = f"bow {figure(v['bow'])} cm is over half the length {figure(v['length'])} cm"
        return wrong("bow", text, "the extra at the middle, at most a half circle")
    return None


def _lshape(v: Values) -> Problem | None:
    for name in ("length", "width"):
        least_cm = min(s[name] for s in sections("lshape", v))
        cut_cm = v[f"cut_{name}"]
        if cut_cm >= least_cm:
            text = f"cut-{name} {figure(cut_cm)} cm is not under the {name} {figure(least_cm)} cm"
            return wrong(f"cut_{name}", text, "the missing corner is smaller than the whole")
    return None


def _polygon(v: Values) -> Problem | None:
    if not 3 <= v["sides"] <= MOST_SIDES:
        return wrong("sides", f"{figure(v['sides'])} sides", f"3 to {MOST_SIDES} equal sides")
    return None


def _outline(v: Values) -> Problem | None:
    walked = corners(v)
    if not 3 <= len(walked) <= MOST_SIDES:
        return wrong("points", f"{len(walked)} corners", f"3 to {MOST_SIDES} corners")
    for n, corner in enumerate(walked):
        if corner == walked[n - 1]:
            text = f"corner {n + 1} stands on corner {n}"
            if n == 0:
                text = f"corner {len(walked)} stands on corner 1"
            return wrong("points", text, "leave one out: the last joins the first by itself")
    crossed = crossing(walked)
    if crossed:
        text = f"edges {crossed[0]} and {crossed[1]} cross or touch"
        return wrong("points", text, "walk once around, corner by corner")
    return None


def _half_full(v: Values) -> Problem | None:
    depth_cm = max(v["depth"], v.get("depth.today", 0.0))
    if depth_cm > v["diameter"]:
        text = f"depth {figure(depth_cm)} cm is over the diameter {figure(v['diameter'])} cm"
        return wrong("depth", text, "the water cannot stand above the vessel")
    return None


def _levels(v: Values) -> Problem | None:
    depths_cm, litres = marks(v)
    last_cm = depths_cm[-1]
    if "table.2.depth" not in v:
        return wrong("table", "the table has one mark", "at least two depths with their litres")
    rows = pairwise(zip(depths_cm, litres, strict=True))
    for (depth, volume), (next_depth, next_volume) in rows:
        if next_depth <= depth or next_volume <= volume:
            after = f"{figure(depth)} cm: {figure(volume)} L"
            text = f"{figure(next_depth)} cm: {figure(next_volume)} L after {after}"
            return wrong("table", text, "depth and litres both rise from mark to mark")
    given_cm = [v[name] for name in v if name.startswith("table.") and name.endswith(".depth")]
    for depth, next_depth in pairwise(given_cm):
        if len(given_cm) > 2 and next_depth - depth > GAP_SHARE * last_cm:
            text = f"no mark between {figure(depth)} cm and {figure(next_depth)} cm"
            return wrong("table", text, "add a mark in the gap")
    depth_cm = v.get("depth.today", v["depth"])
    if depth_cm > last_cm:
        raise Refused(
            "not-in-range",
            f"{figure(depth_cm)} cm is above the last mark, {figure(last_cm)} cm",
            limit=last_cm,
            value=depth_cm,
            unit="cm",
            source="the level table",
            way_out="add a mark above the waterline to the table",
        )
    return None


_OWN: Mapping[str, Callable[[Values], Problem | None]] = {
    "racetrack": _racetrack,
    "bow": _bow,
    "lshape": _lshape,
    "polygon": _polygon,
    "outline": _outline,
    "drum": _half_full,
    "bowl": _half_full,
    "levels": _levels,
}


def _walls(asked: Asked) -> Problem | None:
    if asked.shape.family != "plan":
        return None
    v = {name: size.value for name, size in asked.flat().items()}
    recorded_cm, today_cm = depths_cm(v)
    if narrowest_cm2(areas_cm2(asked.shape.name, v), recorded_cm, today_cm) < 0:
        return wrong("depth", f"the walls meet below {figure(today_cm)} cm", "measure again there")
    return None


def _height(asked: Asked) -> Problem | None:
    if asked.height is None:
        return None
    v = {name: size.value for name, size in asked.flat().items()}
    deep_cm = [v[name] for name in v if option(name) in ("depth", "depths")]
    deep_cm.append(sum(depth.value for _, _, depth in asked.slices))
    if max(deep_cm) > asked.height.value:
        text = f"depth {figure(max(deep_cm))} cm is over the wall, {figure(asked.height.value)} cm"
        return wrong("depth", text, "the water cannot stand above the rim")
    return None


def known_shape(name: str) -> Problem | None:
    """A problem where there is no such shape."""
    if name in SHAPES:
        return None
    return Problem("no-such-name", f"no shape {name}", "one of: " + ", ".join(SHAPES))
