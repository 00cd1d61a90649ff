"""What was asked of a volume, laid out flat so that one function of plain numbers answers it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from intake.science.problem import Problem
from intake.science.spread import Size
from intake.science.volume import gauging, levels, plan, solids
from intake.science.volume.answer import Corner, Inside, Mark, Slab
from intake.science.volume.catalogue import Shape

Values = Mapping[str, float]

_OTHERS: Mapping[str, Callable[[Values], float]] = {
    "drum": solids.drum_l,
    "bowl": solids.bowl_l,
    "slices": solids.slices_l,
    "levels": levels.table_l,
    "metered": gauging.metered_l,
    "flow": gauging.flow_l,
}


@dataclass(frozen=True, slots=True)
class Asked:
    """One question: a shape, its sizes, what is inside, and today's depth where it differs."""

    shape: Shape
    sizes: Mapping[str, Size]
    inside: Inside
    depths: Sequence[Size] = ()
    points: Sequence[Corner] = ()
    slices: Sequence[Slab] = ()
    levels: Sequence[Mark] = ()
    sides: int | None = None
    height: Size | None = None
    salt_readings: str = "conductivity"
    today: Size | None = None

    def flat(self) -> dict[str, Size]:
        """Every size by a name of its own; what stands before the first dot is the option."""
        found = dict(self.sizes)
        if self.sides is not None:
            found["sides"] = Size(float(self.sides))
        for n, depth in enumerate(self.depths, start=1):
            found[f"depths.{n}"] = depth
        if self.depths:
            deepest = max(range(len(self.depths)), key=lambda n: self.depths[n].value)
            found["deepest.point"] = Size(float(deepest + 1))
        for n, corner in enumerate(self.points, start=1):
            found |= _named(f"points.{n}", ("x", "y"), corner)
        for n, slab in enumerate(self.slices, start=1):
            found |= _named(f"slice.{n}", ("length", "width", "depth"), slab)
        for n, mark in enumerate(self.levels, start=1):
            found |= _named(f"table.{n}", ("depth", "volume"), mark)
        if self.today is not None:
            found["depth.today"] = self.today
        if self.shape.name == "by-salt" and self.salt_readings != "salt":
            found["salt.fit"] = Size(1.0, gauging.FIT_SHARE)
            if "before_temp" in found:
                found["salt.slope"] = gauging.SLOPE_PER_C
        return found | self.things()

    def things(self) -> dict[str, Size]:
        """What is in the water or joined to it, by option name."""
        inside = self.inside
        found = {
            "gravel": inside.gravel_l,
            "void": inside.void if inside.gravel_l is not None else None,
            "rock_mass": inside.rock_g,
            "rock_density": inside.rock_density_g_ml if inside.rock_g is not None else None,
            "displaced": inside.displaced_l,
            "connected": inside.connected_l,
        }
        return {name: size for name, size in found.items() if size is not None}

    def gross_l(self, values: Values) -> float:
        """What the sizes hold [L]."""
        if self.shape.family == "plan":
            return plan.plan_l(self.shape.name, values)
        if self.shape.name == "by-salt":
            if self.salt_readings == "salt":
                return gauging.by_salinity_l(values)
            return gauging.by_conductivity_l(values)
        return _OTHERS[self.shape.name](values)

    def water_l(self, values: Values) -> float:
        """The water itself [L]."""
        taken_l = sum(displacements_l(values).values())
        return self.gross_l(values) - taken_l + values.get("connected", 0.0)


def displacements_l(values: Values) -> dict[str, float]:
    """What gravel, rock and all else under water take up [L], by option name."""
    found = {"displaced": values.get("displaced", 0.0)}
    if "gravel" in values:
        found["gravel"] = values["gravel"] * (1 - values["void"])
    if "rock_mass" in values:
        found["rock_mass"] = values["rock_mass"] / values["rock_density"] / 1000
    return found


def possible(values: Values) -> dict[str, float]:
    """The values with none below 0 that cannot be: a doubt may be wider than its size."""
    return {
        name: value if name.startswith("points.") else max(value, 0.0)
        for name, value in values.items()
    }


def together(name: str) -> str:
    """Which error moves a size: the litres of a level table come from one bucket or meter."""
    return "table.litres" if name.startswith("table.") and name.endswith(".volume") else name


def option(name: str) -> str:
    """The option a flat name belongs to, e.g. ``floor-length``, ``points``."""
    return name.partition(".")[0].replace("_", "-")


def wrong(name: str, text: str, hint: str = "", code: str = "out-of-range") -> Problem:
    """A problem at the option of that size."""
    return Problem(code, text, hint, path=f"--{option(name)}" if name else "")


def _named(place: str, parts: Sequence[str], sizes: Sequence[Size]) -> dict[str, Size]:
    return {f"{place}.{part}": size for part, size in zip(parts, sizes, strict=True)}
