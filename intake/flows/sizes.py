"""Typed sizes of a vessel, read for one shape: the same for a room's vessel and a bare sum."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from intake.flows.size_doubts import TAPE_CM, doubt_of
from intake.flows.size_values import Sizes, path_of
from intake.flows.trade_sizes import outside, sold_as, tank_named, wall_missing
from intake.flows.usage import Usage
from intake.science.meter import PPM, MeterError, half_of, read_meter
from intake.science.problem import Problem, Unreadable
from intake.science.quantity import Quantity, read_quantity
from intake.science.spread import Size
from intake.science.volume import INSIDE, SHAPES, Shape, SizeSpec

PLAIN_KINDS = {
    "length": "length",
    "volume": "volume",
    "flow": "flow",
    "duration": "duration",
    "mass": "mass",
    "density": "density",
    "share": "share",
    "count": "count",
    "temperature": "temperature",
    "factor": "number",
}
"""How each kind of size is read, where it is one number."""

Typed = Mapping[str, Any]


def options() -> tuple[SizeSpec, ...]:
    """Every size any shape takes, each option once, in the order they are offered."""
    seen: dict[str, SizeSpec] = {}
    for shape in SHAPES.values():
        for spec in shape.sizes:
            seen.setdefault(spec.name, spec)
    for spec in INSIDE:
        seen.setdefault(spec.name, spec)
    return tuple(seen.values())


class SizeReader:
    """Reads the typed sizes of one shape, collecting every problem at its option."""

    def __init__(
        self,
        shape: Shape,
        typed: Typed,
        tape_cm: float,
        comma: bool,
        meter: MeterError | None = None,
    ) -> None:
        self.meter = meter
        self.shape = shape
        self.typed = typed
        self.tape_cm = tape_cm
        self.comma = comma
        self.problems: list[Problem] = []
        self.usage: list[str] = []
        self.found = Sizes(shape.name)

    def read(self) -> Sizes:
        """All sizes.

        Raises
        ------
        Usage
            With every size that is missing or that this shape does not have.
        Unreadable
            With every size that cannot be read.
        """
        self._as_sold()
        known = {s.name for s in (*self.shape.sizes, *INSIDE)}
        every = {s.name for s in options()}
        for name in self.typed:
            if name in every and name not in known:
                takes = ", ".join(f"--{s.option}" for s in self.shape.sizes)
                self.usage.append(f"{path_of(name)} is no size of {self.shape.name}: {takes}")
        for spec in self.shape.sizes:
            self._one(spec)
        for spec in INSIDE:
            if spec.name in self.typed:
                self._inside(spec)
        if self.usage:
            raise Usage("; ".join(self.usage))
        if self.problems:
            raise Unreadable(*self.problems)
        return self.found

    def _as_sold(self) -> None:
        """What a size as sold says stands where nothing was typed; the wall has to be."""
        if self.shape.size("trade") is None or "trade" not in self.typed:
            return
        tank = tank_named(str(self.typed["trade"]))
        if isinstance(tank, Problem):
            raise Unreadable(tank.placed("--trade"))
        if "wall" not in self.typed:
            self.usage.append(wall_missing(tank))
        self.typed = outside(tank) | dict(self.typed)
        self.found.assumptions.append(sold_as(tank))

    def _one(self, spec: SizeSpec) -> None:
        if spec.kind == "trade":
            return
        if spec.name not in self.typed:
            others = [s for s in self.shape.sizes if spec.one_of and s.one_of == spec.one_of]
            given = any(s.name in self.typed for s in others)
            first = not others or others[0] is spec
            if spec.required or (others and not given and first):
                names = " or ".join(f"--{s.option}" for s in others) or f"--{spec.option}"
                self.usage.append(f"{self.shape.name} needs {names}: {spec.how.rstrip('.')}")
            return
        text = self.typed[spec.name]
        if spec.kind in PLAIN_KINDS:
            size = self._size(spec, str(text), PLAIN_KINDS[spec.kind])
            if size is None:
                return
            if spec.name == "sides":
                self.found.lists["sides"] = int(size.value)
            else:
                self.found.sizes[spec.name] = size
        else:
            self._listed(spec, text)

    def _listed(self, spec: SizeSpec, text: Any) -> None:
        if spec.kind == "lengths":
            self.found.lists["depths"] = self._each(spec, _items(str(text)), self._length(spec))
        elif spec.kind == "corners":
            self._corners(spec, str(text))
        elif spec.kind == "slab":
            items = text if isinstance(text, list) else [text]
            parts = [re.split(r"\s*[x×]\s*", item.strip()) for item in items]
            slabs = [tuple(self._each(spec, p, self._length(spec), exactly=3)) for p in parts]
            self.found.lists["slices"] = [s for s in slabs if len(s) == 3]
        elif spec.kind == "marks":
            self._marks(spec, str(text))
        elif spec.kind == "salt-reading":
            self._salt_reading(spec, str(text))

    def _length(self, spec: SizeSpec) -> Callable[[str], Size | None]:
        return lambda text: self._size(spec, text, "length")

    def _each(
        self,
        spec: SizeSpec,
        texts: Sequence[str],
        read: Callable[[str], Size | None],
        exactly: int | None = None,
    ) -> list[Size]:
        if exactly is not None and len(texts) != exactly:
            wanted = "60cm x 40cm x 10cm"
            text = f"'{' x '.join(texts)[:40]}' is not {exactly} sizes"
            self.problems.append(Problem("not-a-number", text, wanted, path_of(spec.name)))
            return []
        return [size for size in map(read, texts) if size is not None]

    def _corners(self, spec: SizeSpec, text: str) -> None:
        unit = str(self.typed.get("unit", "cm"))
        if "unit" not in self.typed:
            self.found.assumptions.append("corners are in cm")
        points = []
        for pair in re.sub(r"([,;])\s+", r"\1", text).split():
            # In a room whose decimals have commas, 12,5;30 keeps its two numbers apart.
            ends = pair.split(";" if ";" in pair else ",")
            if len(ends) != 2:
                hint = '--points "0,0 120,0 120,60 0,60" --unit cm'
                found = Problem("not-a-number", f"'{pair[:40]}' is not a corner", hint)
                self.problems.append(found.placed(path_of(spec.name)))
                return
            both = [self._place(spec, end, unit) for end in ends]
            if None in both:
                return
            points.append((both[0], both[1]))
        self.found.lists["points"] = points  # type: ignore[typeddict-item]

    def _place(self, spec: SizeSpec, text: str, unit: str) -> Size | None:
        """How far along a corner is; unlike a length it may lie below zero."""
        size = self._size(spec, f"{text.removeprefix('-')} {unit}", "length", zero=True)
        return Size(-size.value, size.half) if size and text.startswith("-") else size

    def _marks(self, spec: SizeSpec, text: str) -> None:
        marks = []
        for pair in _items(text):
            depth, colon, litres = pair.partition(":")
            if not colon:
                hint = '--table "10cm:60L 20cm:131L"'
                found = Problem("not-a-number", f"'{pair[:40]}' is not a mark", hint)
                self.problems.append(found.placed(path_of(spec.name)))
                return
            mark = self._size(spec, depth, "length"), self._size(spec, litres, "volume")
            if None in mark:
                return
            marks.append(mark)
        self.found.lists["levels"] = marks  # type: ignore[typeddict-item]

    def _salt_reading(self, spec: SizeSpec, text: str) -> None:
        found = read_meter(text, comma=self.comma)
        if isinstance(found, Problem):
            self.problems.append(found.placed(path_of(spec.name)))
            return
        kind = {"g/L": "salt", PPM: PPM}.get(found.canonical, "conductivity")
        if self.found.lists.setdefault("salt_readings", kind) != kind:
            text = "both readings must be of one sort"
            self.problems.append(Problem("wrong-kind", text, "", path_of(spec.name)))
        half, said = half_of(found, self.meter)
        if said and said not in self.found.assumptions:
            self.found.assumptions.append(said)
        self.found.sizes[spec.name] = Size(float(found.value or 0), half)

    def _inside(self, spec: SizeSpec) -> None:
        size = self._size(spec, str(self.typed[spec.name]), PLAIN_KINDS[spec.kind], zero=True)
        if size is None:
            return
        name = {
            "gravel": "gravel_l",
            "rock_mass": "rock_g",
            "rock_density": "rock_density_g_ml",
            "displaced": "displaced_l",
            "connected": "connected_l",
        }.get(spec.name, spec.name)
        self.found.inside[name] = size

    def _size(
        self, spec: SizeSpec, text: str, kind: str, *, zero: bool | None = None
    ) -> Size | None:
        found = read_quantity(text, kind, comma=self.comma, zero_ok=zero)
        if isinstance(found, Problem):
            self.problems.append(found.placed(path_of(spec.name)))
            return None
        if found.half is not None:
            return self._sure(spec, found)
        half, said = doubt_of(spec, kind, float(found.value or 0), self.tape_cm)
        if said and said not in self.found.assumptions:
            self.found.assumptions.append(said)
        return Size(float(found.value or 0), half)

    def _sure(self, spec: SizeSpec, found: Quantity) -> Size | None:
        """The size with its +/-, which for a size of the vessel itself is under the size."""
        size = _exact(found)
        if spec in self.shape.sizes and spec.kind != "corners" and size.half >= size.value:
            text = f"'{found.text}': the +/- is as large as the {spec.option} itself"
            hint = "measure it again; +/- is how far off it may be"
            self.problems.append(Problem("out-of-range", text, hint, path_of(spec.name)))
            return None
        return size


def _exact(found: Quantity) -> Size:
    return Size(float(found.value or 0), float(found.half or 0))


def _items(text: str) -> list[str]:
    """Quantities with blanks between them, which may also hold blanks before their units."""
    return re.split(r"(?<![:\-])\s+(?=\d)", text.strip())


def shape_named(text: str) -> Shape | Problem:
    """The shape of that name, or a problem with the nearest ones."""
    from intake.flows.names import unknown

    return SHAPES.get(text) or unknown(text, SHAPES, "a shape")


def unused(shape: str, typed: Typed) -> list[str]:
    """The sizes typed that a shape does not have; none where the shape is not known either."""
    found = SHAPES.get(shape)
    if found is None:
        return []
    known = {s.name for s in (*found.sizes, *INSIDE)}
    return [s.name for s in options() if s.name in typed and s.name not in known]


def read_sizes(
    shape: Shape,
    typed: Typed,
    *,
    tape_cm: float | None = None,
    comma: bool = False,
    meter: MeterError | None = None,
) -> Sizes:
    """The sizes typed for a shape, lengths without +/- given half a step of the tape.

    `meter` is how far the meter of a salt step can be off, where its readings do not say.

    Raises
    ------
    Usage, Unreadable
        With everything that is missing, or every problem found, each at its option.
    """
    step_cm = TAPE_CM if tape_cm is None else tape_cm
    return SizeReader(shape, typed, step_cm, comma, meter).read()
