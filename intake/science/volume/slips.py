"""Slips of the hand and of the tape that a volume shows: the wrong unit, rim or way round."""

from __future__ import annotations

from math import pi

from intake.science.figures import figure
from intake.science.volume.asked import Asked, Values

PLAUSIBLE_L = (1.0, 20_000.0)
"""Volumes outside are asked about [L]: common practice."""

LEAST_L = 1e-6
"""Less is no water [L]: a drop is about fifty times that; common practice."""

MOST_L = 1e7
"""More is no vessel in any unit [L]; common practice."""

SOFT_FROM_CM = 200.0
"""Diameter from which a round vessel may be a soft-sided pool [cm]; common practice."""

SOFT_SHARES = (0.68, 0.72)
"""Share of the cylinder to the brim that soft-sided ring pools hold [1].

Source: published fills of eight ring pools, 8 to 18 ft across (pool trade), over the cylinders.
"""

_INCH_CM3 = 2.54**3
_SHORT = (("cm was meant for mm", 1e3), ("inches for cm", _INCH_CM3))
_LONG = (
    ("mm was meant for cm", 1e-3),
    ("cm for inches", 1 / _INCH_CM3),
    ("cm for feet", 30.48**-3),
)


def units(water_l: float, gauged: bool) -> list[str]:
    """What is asked of a volume no fish room has, with what other units would make of it."""
    if PLAUSIBLE_L[0] <= water_l <= PLAUSIBLE_L[1]:
        return []
    said = f"{figure(water_l, 4)} L: check the units"
    slips = _SHORT if water_l < PLAUSIBLE_L[0] else _LONG
    likely = [
        f"{figure(water_l * factor, 3)} L if {text}"
        for text, factor in slips
        if PLAUSIBLE_L[0] <= water_l * factor <= PLAUSIBLE_L[1] and not gauged
    ]
    return ["; ".join([said, *likely])]


def soft_pool(asked: Asked, values: Values) -> list[str]:
    """What a soft-sided pool measured at its rim holds instead, where it may be one."""
    across_cm = values.get("diameter", values.get("girth", 0.0) / pi)
    leans = any(name.startswith(("floor_", "middle_")) for name in asked.sizes)
    if asked.shape.name != "round" or leans or across_cm < SOFT_FROM_CM:
        return []
    least, most = (figure(share * asked.gross_l(values), 3) for share in SOFT_SHARES)
    return [
        f"a soft-sided pool measured at its rim holds only {least} to {most} L of this: take the"
        " diameter at half the depth of its water, or fill it by a meter"
    ]


def turned(asked: Asked, values: Values) -> list[str]:
    """That a length under the width changes nothing, where it does not."""
    if asked.shape.name not in ("box", "oval") or values["length"] >= values["width"]:
        return []
    return ["the length is under the width: the other way round it is the same water"]


def leans_in(asked: Asked) -> list[str]:
    """That the floor is larger than the waterline, which is rare."""
    tops = {"diameter": "across"} if asked.shape.name == "polygon" else {}
    for name, size in asked.sizes.items():
        stem = name.removeprefix("floor_")
        top = asked.sizes.get(tops.get(stem, stem))
        if stem != name and top is not None and size.value > top.value:
            return ["the floor is larger than the waterline: the walls lean in"]
    return []
