"""How each size is measured, in a few sentences: common practice with a tape and a bucket."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

_TAPE = "Hold the tape level and read it at the water, from wet wall to wet wall."
_FLOOR = (
    "Measure at the floor, wall to wall inside, with a stiff rule lowered in. Where floor and "
    "wall "
    "meet in a curve, measure where the straight wall would reach the floor."
)
_MIDDLE = (
    "Measure at half the depth of the water, wall to wall inside. Soft-sided pools bulge "
    "there and "
    "glass does not: leave it out where a straight edge lies flat on the wall."
)

_TEXTS = {
    "length": f"{_TAPE} Take the longer way. A rim or lip above the water is not part of it.",
    "width": f"{_TAPE} Take it square to the length, at the widest place.",
    "diameter": f"{_TAPE} Swing the tape to and fro over the middle: the longest reading is it. "
    "Measure a second time square to the first; where they differ it is an oval.",
    "girth": "Lay the tape once around outside at the height of the waterline, level all the way. "
    "Then give the thickness of the wall, so that it is taken off. Of a soft-sided pool take it "
    "at half the depth, since its wall leans.",
    "depth": "Stand a rule on the floor and read it at the water, inside. Over gravel push it "
    "down "
    "to the floor. Where the floor slopes read several places and give them all.",
    "depths": "Read the depth at places spread evenly over the floor, five or more: the corners "
    "and the middle. Their mean counts. Today's line is read at the deepest of them.",
    "floor_length": _FLOOR,
    "floor_width": _FLOOR,
    "floor_diameter": _FLOOR,
    "middle_length": _MIDDLE,
    "middle_width": _MIDDLE,
    "middle_diameter": f"{_MIDDLE} A ring pool is known best from this one or from a meter.",
    "sides": "Count the sides that are equally long. A vessel of unequal sides is an outline.",
    "across": f"{_TAPE} Go from the middle of one flat side square across to the one opposite, "
    "not from corner to corner.",
    "bow": "Lay a straight edge across the front from end to end, at the water. Measure from its "
    "middle square out to the glass: that is the bow.",
    "cut_length": "The corner that is missing: measure it along the length, inside, as if the "
    "length went on. Whole length less the short side gives the same.",
    "cut_width": "The corner that is missing: measure it along the width, inside. Whole width "
    "less "
    "the short end gives the same.",
    "points": "Choose one inside corner as 0,0 and walk once around. For each corner give how far "
    "it is along and how far across from there. A round part is several corners close together.",
    "slice": "Think it cut into level layers, floor first, each as good as a box. Measure each "
    "layer's length and width at half its height, and its height. More layers, less doubt.",
    "table": "Empty it, pour in a bucket of known volume, read the depth, and so on to the top. "
    "Gravel, rock and filters stay in: then the table counts the water itself.",
    "bucket": "Weigh the bucket empty and filled to its mark: 1 kg is 1 L. Use the same mark "
    "every "
    "time.",
    "count": "Make a stroke for every bucket, and say the part of the last one as a part: 12.5.",
    "rate": "Time how long the hose takes to fill a bucket of known volume, before and after, and "
    "do not touch the tap between.",
    "time": "From the moment water runs in to the moment it stands at the line.",
    "salt": "Weigh plain dried salt, without additives. Dissolve it in a bucket and pour it "
    "around.",
    "before": "Read the meter in the vessel before any salt goes in, at rest for a minute.",
    "after": "Read the meter a day later, in two places, when they agree.",
    "before_temp": "Only where the meter does not compensate: the water at that reading.",
    "after_temp": "Only where the meter does not compensate: the water a day later.",
    "factor": "Only where the meter says ppm: 0.5, 0.64 or 0.7, as its manual tells.",
    "wall": "Measure the edge of the wall at the rim with a rule or calipers: outside size less "
    "two walls is the inside. Where all sizes were taken inside, leave it out. The depth is "
    "always inside.",
    "trade": "Only the outside length, width and height of the size as sold are taken, and can be "
    "typed over. The litres on the sticker are never used. Measure the glass, and the depth.",
    "height": "From the floor inside up to the rim. It only bars a depth that cannot be.",
    "gravel": "Fill a bucket of known volume with the gravel, dry and loose, as often as it goes. "
    "Without taking it out: its depth times the floor's length and width, in litres. What "
    "lies between the grains is water and stays.",
    "void": "Fill a bucket with gravel, then with water to the top: the water that went in, over "
    "the bucket's volume, is the share.",
    "rock_mass": "Weigh it dry. Porous rock such as lava soaks: catch what runs over instead.",
    "rock_density": "Limestone is about 2.6 g/mL. Weigh a piece, then catch the water it pushes "
    "out of a full jug: mass over that volume.",
    "displaced": "Fill a tub to the brim, lower in the filter or pot, and catch what runs over. "
    "A sponge filter takes up 10 to 15 % of its bulk, a fish about 1 mL for each gram.",
    "connected": "Sump and pipes, with the pump running: the water a treatment reaches as well. "
    "Count a sump either here or as a vessel of its own, never both.",
}
_OWN = {
    ("drum", "diameter"): "Across the round end, inside: the longest reading. Outside, give the "
    "wall too.",
    ("drum", "length"): "From one round end to the other, inside, along the middle.",
    ("drum", "depth"): "Straight up from the lowest line of the drum to the water.",
    ("bowl", "diameter"): "Across the widest place of the whole ball, even where that is over the "
    "water. Once around the widest place over 3.14 is the outside one.",
    ("bowl", "depth"): "Straight up from the lowest point to the water, in the middle.",
}

LONGER: Mapping[str, str] = MappingProxyType(_TEXTS)
"""A longer text for every size of every shape, by name."""


def how_to(shape: str, name: str) -> str:
    """How one size of a shape is measured: where the tape goes, and what misleads it."""
    return _OWN.get((shape, name), LONGER[name])
