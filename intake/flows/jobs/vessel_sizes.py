"""Measuring a vessel: what is asked for each shape, and what is known while it is typed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from intake.flows.desk import Book
from intake.flows.facts.things import Gauging, Vessel
from intake.flows.names import unknown
from intake.flows.sizes import SizeReader
from intake.flows.usage import Usage
from intake.flows.views.vessels import SizeQuestion
from intake.science.problem import Problem, Refused, Unreadable
from intake.science.quantity import read_quantity
from intake.science.show import show
from intake.science.spread import Size
from intake.science.volume import INSIDE, SHAPES, Shape, SizeSpec, true_volume
from intake.science.volume.how_to import how_to

ASKS = {
    "length": "length at the line",
    "width": "width at the line",
    "diameter": "diameter at the line",
    "girth": "or once around",
    "depth": "depth of water",
    "depths": "or several depths",
    "floor_length": "length at the floor",
    "floor_width": "width at the floor",
    "floor_diameter": "diameter at the floor",
    "middle_length": "length half way up",
    "middle_width": "width half way up",
    "middle_diameter": "diameter half way up",
    "sides": "how many sides",
    "across": "from flat to flat",
    "bow": "bow of the front",
    "cut_length": "missing length",
    "cut_width": "missing width",
    "points": "corners, once around",
    "slice": "boxes, floor first",
    "table": "depths and litres",
    "bucket": "one bucket holds",
    "count": "how many buckets",
    "rate": "what runs in",
    "time": "how long it ran",
    "salt": "salt, weighed",
    "before": "reading before",
    "after": "reading a day later",
    "before_temp": "warmth at the first",
    "after_temp": "warmth a day later",
    "factor": "factor, if it is ppm",
    "wall": "wall thickness",
    "height": "wall, floor to rim",
    "gravel": "gravel, in bulk",
    "rock_mass": "rock, weighed dry",
    "displaced": "all else under water",
    "connected": "sump and pipes",
}
"""What each size is called while it is asked; short, a unit comes after it."""
OWN_ASKS = {
    ("drum", "length"): "length, end to end",
    ("drum", "diameter"): "across the round end",
    ("bowl", "diameter"): "across the whole ball",
}
"""Sizes that are something else in these shapes."""
ARROWS = {
    "depth": "side", "depths": "side", "height": "side", "table": "side", "slice": "side",
    "width": "across", "cut_width": "across", "bow": "across", "points": "top",
    "gravel": "floor", "rock_mass": "floor", "displaced": "middle", "connected": "middle",
}  # fmt: skip
KINDS = {"factor": "number"}
SELDOM = ("void", "rock_density", "trade")
"""Not asked, since they have a usual value or are seldom needed; taken where they are typed."""


FOLDS = {"depths": "the floor slopes", "wall": "taken outside, or as sold"}
"""Sizes that most vessels do not need, by what has to be so for them to be asked."""
UNITS = {
    "us": {"length": "in", "volume": "US gal", "flow": "US gal/min"},
    "imperial": {"length": "in", "volume": "imp gal", "flow": "imp gal/min"},
}
"""What a bare number means where a room is not metric."""
HEIGHT = SizeSpec("height", False, "From the floor inside up to the rim.")


def _fold(name: str) -> str:
    if name.startswith("floor_"):
        return "the walls lean"
    return "the walls bulge" if name.startswith("middle_") else FOLDS.get(name, "")


def questions(shape: str, units: str = "metric") -> tuple[SizeQuestion, ...]:
    """What is asked to measure a shape, in order: its own sizes, the rim, what is inside.

    Of sizes that replace each other none is marked as needed.
    """
    found = SHAPES.get(shape)
    if found is None:
        raise Unreadable(unknown(shape, SHAPES, "a shape").placed("SHAPE"))
    own = [s for s in found.sizes if s.name not in SELDOM]
    asked = [_question(found, s, own) for s in own]
    if found.family in ("plan", "solid"):
        asked.append(_question(found, HEIGHT, []))
    if found.family != "gauge":
        asked += [_question(found, s, []) for s in INSIDE if s.name not in SELDOM]
    meant = UNITS.get(units, {})
    return tuple(replace(q, unit=meant.get(q.kind, "")) for q in asked)


def _question(shape: Shape, spec: SizeSpec, own: list[SizeSpec]) -> SizeQuestion:
    stem = "floor" if spec.name.startswith("floor_") else "top"
    stem = "middle" if spec.name.startswith("middle_") else stem
    fold = _fold(spec.name)
    same = sum(s.one_of == spec.one_of for s in own if not _fold(s.name))
    alone = bool(spec.one_of) and same == 1 and not fold
    return SizeQuestion(
        field=spec.option,
        ask=_ask(shape, spec),
        kind=KINDS.get(spec.kind, spec.kind),
        arrow=ARROWS.get(spec.name, stem),
        needed=spec.required or alone,
        how=spec.how,
        longer=how_to(shape.name, spec.name),
        fold=fold,
    )


def _ask(shape: Shape, spec: SizeSpec) -> str:
    return OWN_ASKS.get((shape.name, spec.name), ASKS[spec.name])


def slabs(text: str) -> list[str]:
    """Stacked boxes typed in one field, one after another with + or ; between them."""
    return [part.strip() for part in re.split(r"[;+](?!/)", text) if part.strip()]


def as_typed(book: Book, name: str, shape: str, typed: Mapping[str, str]) -> tuple[Vessel, str]:
    """A vessel of the sizes typed so far, and what still keeps its water from being known."""
    found = SHAPES.get(shape)
    if found is None:
        raise Unreadable(unknown(shape, SHAPES, "a shape").placed("SHAPE"))
    given: dict[str, Any] = {
        key.replace("-", "_"): text for key, text in typed.items() if text.strip()
    }
    if "slice" in given:
        given["slice"] = slabs(given["slice"])
    reader = SizeReader(found, given, book.facts.tape_cm, book.facts.comma)
    try:
        reader.read()
        why = ""
    except Usage as no:
        why = _missing(found, reader.typed) or str(no).replace("--", "")
    except Unreadable as wrong:
        why = _told(wrong.problems[0])
    height = _height(book, given)
    if isinstance(height, Problem):
        why, height = why or _told(height), None
    sizes = reader.found
    if height is not None:
        sizes.lists["height"] = height
    depth = sizes.sizes.get("depth")
    vessel = Vessel(
        0, name, "vessel", book.now, shape=shape, sizes=sizes.sizes, lists=sizes.lists,
        inside=sizes.within(), height=height, mark=depth, depth=depth,
    )  # fmt: skip
    return vessel, why


def gauged_too(book: Book, before: Vessel, drawn: Vessel, why: str) -> tuple[Vessel, str]:
    """A vessel with its water gauged as typed so far, and what that says; nothing is recorded."""
    if why:
        return before, why
    try:
        found = true_volume(drawn.shape, drawn.sizes, **drawn.lists)
    except Refused as no:
        return before, f"{no.text}; {no.way_out}" if no.way_out else no.text
    if isinstance(found, Problem):
        return before, _told(found)
    way = Gauging(
        0, book.now, drawn.shape, drawn.sizes, found.volume_l, found.low_l, found.high_l,
        before.depth, before.off_l, before.inside.connected_l,
    )  # fmt: skip
    ways = (*(g for g in before.gauged if g.way != way.way), way)
    volume = show(found.volume_l, "L", half=found.high_l - found.volume_l)
    return replace(before, gauged=ways), f"{volume} as gauged."


def _told(problem: Problem) -> str:
    return f"{problem.text}; {problem.hint}" if problem.hint else problem.text


def _height(book: Book, given: Mapping[str, Any]) -> Size | Problem | None:
    if "height" not in given:
        return None
    read = read_quantity(str(given["height"]), "length", comma=book.facts.comma)
    if isinstance(read, Problem):
        return read
    half = float(read.half) if read.half is not None else book.facts.tape_cm / 2
    return Size(float(read.value or 0), half)


def _missing(shape: Shape, given: Mapping[str, Any]) -> str:
    """The first size that is still needed, and how to measure it; "" where all are there."""
    for spec in shape.sizes:
        others = [s for s in shape.sizes if spec.one_of and s.one_of == spec.one_of]
        if spec.name in given or any(s.name in given for s in others):
            continue
        if spec.required or others:
            return f"still needed: {_ask(shape, spec)}. {spec.how}"
    return ""
