"""Every shape a volume can be worked out from, its sizes, and how each is measured."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class SizeSpec:
    """One size of a shape.

    Parameters
    ----------
    name
        Its name in `sizes`; `option` is the same with hyphens.
    required
        It has to be given.
    how
        One sentence: how to measure it.
    kind
        length, lengths, count, corners, slab, marks, volume, flow, duration, mass, density,
        share, salt-reading, temperature, factor or trade.
    one_of
        Sizes with the same word here replace each other: exactly one of them has to be given.
    repeats
        It is given once for each item.
    """

    name: str
    required: bool
    how: str
    kind: str = "length"
    one_of: str = ""
    repeats: bool = False

    @property
    def option(self) -> str:
        """The name as it stands on the command line and in `doubt_from`, without dashes."""
        return self.name.replace("_", "-")


@dataclass(frozen=True, slots=True)
class Shape:
    """A shape or a way of gauging, with its sizes in the order they are asked.

    `how` says in one sentence what it is; `family` is plan, solid, table or gauge.
    """

    name: str
    how: str
    family: str
    sizes: tuple[SizeSpec, ...]

    def size(self, name: str) -> SizeSpec | None:
        """The size of that name, None where the shape has none."""
        return next((s for s in self.sizes if s.name == name), None)


_DEPTH = SizeSpec("depth", False, "From the floor up to the waterline.", one_of="depth")
_DEPTHS = SizeSpec(
    "depths",
    False,
    "Sloping floor: depths at points spread evenly over the floor.",
    "lengths",
    one_of="depth",
)
_LENGTH = SizeSpec("length", True, "Inside, the longer way, at the waterline.")
_WIDTH = SizeSpec("width", True, "Inside, across the length, at the waterline.")


_WALL = SizeSpec(
    "wall", False, "How thick the wall is, where the sizes were taken outside; depth is inside."
)
_TRADE = SizeSpec(
    "trade", False, "A size as sold, e.g. 40 breeder: its outside length and width.", "trade"
)


def _walls(*names: str) -> tuple[SizeSpec, ...]:
    return tuple(
        SizeSpec(f"{where}_{name}", False, how.format(name))
        for where, how in (
            ("floor", "Leaning walls: the {} inside at the floor."),
            ("middle", "Bulging walls: the {} inside at half the depth."),
        )
        for name in names
    )


def _plan(
    name: str,
    how: str,
    sizes: tuple[SizeSpec, ...],
    *walls: str,
    more: tuple[SizeSpec, ...] = (_WALL,),
) -> Shape:
    return Shape(name, how, "plan", (*sizes, _DEPTH, _DEPTHS, *_walls(*walls), *more))


_ROUND = (
    SizeSpec(
        "diameter",
        False,
        "Inside, all the way across; of a soft pool at half its depth.",
        one_of="diameter",
    ),
    SizeSpec(
        "girth",
        False,
        "Once around at the waterline; outside, give the wall too.",
        one_of="diameter",
    ),
)
_POLYGON = (
    SizeSpec("sides", True, "How many equal sides it has.", "count"),
    SizeSpec("across", True, "Inside, from one flat side straight across to the opposite one."),
)
_FLATS = (
    SizeSpec("floor_diameter", False, "Leaning walls: flat to flat inside at the floor."),
    SizeSpec("middle_diameter", False, "Bulging walls: flat to flat inside at half the depth."),
)
_BOW = (
    SizeSpec("length", True, "Inside, along the straight back."),
    SizeSpec("width", True, "Inside, from back to front, at one end."),
    SizeSpec("bow", True, "How much wider it is at the middle than at the ends."),
)
_LSHAPE = (
    SizeSpec("length", True, "Inside, the whole length as if no corner were missing."),
    SizeSpec("width", True, "Inside, the whole width as if no corner were missing."),
    SizeSpec("cut_length", True, "The missing corner, along the length."),
    SizeSpec("cut_width", True, "The missing corner, along the width."),
)
_OUTLINE = (SizeSpec("points", True, "The inside corners, walking once around.", "corners"),)
_DRUM = (
    SizeSpec("diameter", True, "Inside, across the round end."),
    SizeSpec("length", True, "Inside, from one round end to the other."),
    SizeSpec("depth", True, "From the lowest line straight up to the waterline."),
    _WALL,
)
_BOWL = (
    SizeSpec("diameter", True, "Inside, across the widest part of the whole ball."),
    SizeSpec("depth", True, "From the lowest point straight up to the waterline."),
    _WALL,
)
_SLICES = (
    SizeSpec("slice", True, "One box: length x width x depth, floor first.", "slab", repeats=True),
)
_LEVELS = (
    SizeSpec("table", True, "Depth and litres after each bucket or at each mark.", "marks"),
    SizeSpec("depth", True, "From the floor up to the waterline."),
)
_METERED = (
    SizeSpec("bucket", True, "What one bucket holds: weigh its water, 1 kg is 1 L.", "volume"),
    SizeSpec("count", True, "How many buckets went in.", "count"),
)
_FLOW = (
    SizeSpec("rate", True, "What runs in: time a bucket of known volume.", "flow"),
    SizeSpec("time", True, "How long it ran until the waterline.", "duration"),
)
_BY_SALT = (
    SizeSpec("salt", True, "Plain dried salt, weighed, all dissolved in.", "mass"),
    SizeSpec("before", True, "The reading before the salt went in.", "salt-reading"),
    SizeSpec("after", True, "The reading a day later, when all is mixed.", "salt-reading"),
    SizeSpec(
        "before_temp",
        False,
        "The water then, where the meter does not compensate to 25 C.",
        "temperature",
    ),
    SizeSpec("after_temp", False, "The water then, for the same meter.", "temperature"),
    SizeSpec("factor", False, "Of a meter that reads ppm: its ppm for 1 uS/cm.", "factor"),
)

_ALL = (
    _plan(
        "box",
        "Straight walls, square corners.",
        (_LENGTH, _WIDTH),
        "length",
        "width",
        more=(_WALL, _TRADE),
    ),
    _plan("round", "A circle seen from above.", _ROUND, "diameter"),
    _plan("oval", "An ellipse: curved all the way.", (_LENGTH, _WIDTH), "length", "width"),
    _plan(
        "racetrack", "Two straight sides, half-round ends.", (_LENGTH, _WIDTH), "length", "width"
    ),
    Shape("polygon", "Equal flat sides.", "plan", (*_POLYGON, _DEPTH, _DEPTHS, *_FLATS, _WALL)),
    _plan("bow", "A box whose front is an arc of a circle.", _BOW, "length", "width"),
    _plan("lshape", "A box with one corner missing.", _LSHAPE, "length", "width"),
    _plan("outline", "Straight walls between corners.", _OUTLINE, "length", "width", more=()),
    Shape("drum", "A barrel of one width lying on its side.", "solid", _DRUM),
    Shape("bowl", "A ball cut off at the top.", "solid", _BOWL),
    Shape("slices", "Boxes stacked on each other.", "solid", _SLICES),
    Shape("levels", "A table of depth and litres.", "table", _LEVELS),
    Shape("metered", "Filled by the bucket.", "gauge", _METERED),
    Shape("flow", "Filled by a steady flow.", "gauge", _FLOW),
    Shape("by-salt", "Worked out from salt added.", "gauge", _BY_SALT),
)

SHAPES: Mapping[str, Shape] = MappingProxyType({shape.name: shape for shape in _ALL})
"""The shapes by name, in the order they are offered."""

INSIDE: tuple[SizeSpec, ...] = (
    SizeSpec("gravel", False, "Gravel in bulk: fill a bucket with it dry.", "volume"),
    SizeSpec("void", False, "Share of the gravel that is water.", "share"),
    SizeSpec("rock_mass", False, "Rock, weighed dry.", "mass"),
    SizeSpec("rock_density", False, "Mass of the rock over its volume.", "density"),
    SizeSpec("displaced", False, "All else under water: catch what runs over.", "volume"),
    SizeSpec("connected", False, "Sump and pipe water while the pump runs, added.", "volume"),
)
"""What every shape also takes; `Inside` holds the values."""
