"""What a volume takes for granted, and what the keeper should know of it."""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, pi

from intake.science.figures import figure
from intake.science.problem import Warn
from intake.science.spread import Size
from intake.science.volume import slips
from intake.science.volume.answer import Inside
from intake.science.volume.asked import Asked, Values
from intake.science.volume.levels import marks
from intake.science.volume.outside import thinnest

WALL_CM = 1.0
"""Wall the outside sizes are compared at [cm]: common practice for glass and moulded tubs."""

CROWDED_SHARE = 0.4
"""More of the water taken up than this is asked about [1]: common practice."""

NO_SUMP = "connected water: none named, no sump and no pipes"
"""What is taken for granted of a vessel until connected water is named."""

WIDE_SHARE = 0.15
"""A wider half-width asks for measuring by filling [1]: common practice."""


def method(asked: Asked) -> str:
    """How the volume was found, in a few words, e.g. ``racetrack, tapered``."""
    words = [asked.shape.name]
    if any(name.startswith("middle_") for name in asked.sizes):
        words.append("bulged")
    elif any(name.startswith("floor_") for name in asked.sizes):
        words.append("tapered")
    if asked.depths:
        words.append("sloping floor")
    return ", ".join(words)


def assumptions(asked: Asked, values: Values) -> tuple[str, ...]:
    """Everything taken for granted, in sentences."""
    if asked.shape.family == "plan":
        said = _plan(asked, values)
    elif asked.shape.family == "table":
        said = _table(asked, values)
    else:
        said = _solid(asked, values) if asked.shape.family == "solid" else _gauge(asked)
    return (*said, *_inside(asked, values))


def _outside(asked: Asked, values: Values) -> str:
    """How much less it is if the sizes were taken outside the walls."""
    walled = {**values, "wall": WALL_CM}
    within = thinnest(walled)
    if within is not None and within[1] <= 0:
        return ""
    less = 1 - asked.gross_l(walled) / asked.gross_l(values)
    return f"; taken outside walls of {figure(WALL_CM)} cm it is {less * 100:.0f} % less"


def _measured(asked: Asked, values: Values, inside: str) -> str:
    """Where the tape went, and what it would be if it had gone on the other side of the wall."""
    if "wall" in values:
        gross_l = asked.gross_l(values)
        as_read_l = asked.gross_l({**values, "wall": 0.0})
        more = (as_read_l / gross_l - 1) * 100
        said = f"{figure(values['wall'])} cm off at every wall: {figure(gross_l, 4)} L; as sizes"
        return (
            f"sizes are outside the walls, depth inside; {said} inside the walls it would be "
            f"{figure(as_read_l, 4)} L, {more:.0f} % more"
        )
    return inside + (_outside(asked, values) if asked.shape.size("wall") else "")


def _plan(asked: Asked, values: Values) -> list[str]:
    said = [_measured(asked, values, "sizes are inside the walls, depth to the waterline")]
    if "diameter" in asked.sizes:
        litres = 4 * asked.gross_l(values)
        said.append(
            f"the diameter is all the way across; if it is half of that, {figure(litres, 4)} L"
        )
    if any(name.startswith("middle_") for name in asked.sizes):
        said.append("walls bulge evenly between floor, middle and waterline (Simpson's rule)")
        if not any(name.startswith("floor_") for name in asked.sizes):
            said.append("the floor is as large as the waterline")
    elif any(name.startswith("floor_") for name in asked.sizes):
        said.append("walls are straight from floor to waterline")
    if asked.depths:
        mean_cm = sum(depth.value for depth in asked.depths) / len(asked.depths)
        said.append(f"depths lie evenly over the floor: their mean is {figure(mean_cm, 4)} cm")
    said.extend(_one_shape(asked))
    said.extend(slips.leans_in(asked) + slips.turned(asked, values))
    said.extend(slips.soft_pool(asked, values))
    if asked.today is not None:
        said.append(
            f"the walls go on alike to today's waterline at {figure(asked.today.value)} cm"
        )
    return said


def _one_shape(asked: Asked) -> list[str]:
    leaning = any(name.startswith(("floor_", "middle_")) for name in asked.sizes)
    if asked.shape.name == "bow":
        said = "the front is an arc of a circle"
        return [said + ("; it keeps its proportion down to the floor" if leaning else "")]
    if asked.shape.name == "lshape" and leaning:
        return ["the missing corner is as large at the floor as at the waterline"]
    return []


def _solid(asked: Asked, values: Values) -> list[str]:
    if asked.shape.name == "slices":
        return ["sizes are inside the walls, slices listed from the floor up"]
    form = "straight, its ends flat" if asked.shape.name == "drum" else "part of a ball"
    where = _measured(asked, values, "sizes are inside the walls")
    return [where, f"the vessel is {form}"]


def _table(asked: Asked, values: Values) -> list[str]:
    depth_cm = values.get("depth.today", values["depth"])
    first_cm = asked.levels[0][0].value
    said = ["a smooth rising curve runs through the marks"]
    if marks(values)[0][0] == 0 and depth_cm < first_cm:
        said.append(f"below the first mark, {figure(first_cm)} cm, it runs down to 0 L at 0 cm")
    return said


def _gauge(asked: Asked) -> list[str]:
    if asked.shape.name == "by-salt":
        said = ["the salt is dry and pure, all dissolved and mixed for a day, no water changed"]
        if asked.salt_readings != "salt":
            warmth = "readings are compensated to 25 C"
            if "before_temp" in asked.sizes:
                warmth = "readings are brought to 25 C by 1.95 ± 0.05 % per degree"
            said.append(f"{warmth}; the salt curve itself adds 2 %")
        if asked.salt_readings == "ppm":
            factor = figure(asked.sizes["factor"].value)
            said.append(f"the meter's ppm are {factor} of the uS/cm it really reads")
        return said
    return ["the vessel was empty before, and nothing ran over"]


def _taken(inside: Inside) -> bool:
    things = (inside.gravel_l, inside.rock_g, inside.displaced_l)
    return any(thing is not None for thing in things)


def _inside(asked: Asked, values: Values) -> list[str]:
    inside = asked.inside
    said = []
    if inside.gravel_l is not None:
        said.append(f"{values['void'] * 100:.0f} % of the gravel is water")
    if inside.rock_g is not None:
        said.append(f"rock weighs {figure(values['rock_density'])} g/mL")
    if _taken(inside):
        said.append("gravel, rock and equipment are all under water")
    if inside.connected_l is None and asked.shape.name != "by-salt":
        said.append(NO_SUMP)
    return said


def warnings(
    asked: Asked, values: Values, gross_l: float, displaced_l: float, half_l: float
) -> tuple[Warn, ...]:
    """What is allowed but doubtful about the volume."""
    water_l = gross_l - displaced_l + values.get("connected", 0.0)
    said: list[str] = []
    if displaced_l > CROWDED_SHARE * gross_l:
        said.append(
            f"{displaced_l / gross_l * 100:.0f} % of it is not water: check what is inside"
        )
    said.extend(slips.units(water_l, asked.shape.family in ("gauge", "table")))
    if half_l >= water_l:
        said.append("its doubt is as large as the water itself: measure by filling")
    elif half_l > WIDE_SHARE * water_l:
        said.append(f"known only to {half_l / water_l * 100:.0f} %: measure by filling")
    if asked.shape.name == "polygon" and values["sides"] % 2:
        flat = 2 / (1 + 1 / cos(pi / values["sides"]))
        less = (1 - flat**2) * 100
        said.append(
            f"{values['sides']:.0f} sides have no opposite flats: across counts as twice from the"
            f" middle to a flat; taken from flat to corner it is {less:.0f} % less"
        )
    said.extend(_counted_twice(asked))
    return tuple(Warn("volume-doubtful", text) for text in said)


def lost_rise(sizes: Mapping[str, Size]) -> tuple[str, str]:
    """What is said, and advised, where the doubt of two readings is as large as their rise."""
    rise, doubt = sizes["after"].value - sizes["before"].value, sizes["after"].half
    text = (
        f"a rise of {figure(rise)} cannot be told from the doubt of its readings,"
        f" +/- {figure(sizes['before'].half)} and +/- {figure(doubt)}"
    )
    return text, "more salt, within the limit of what lives there, or a finer meter"


def _counted_twice(asked: Asked) -> list[str]:
    if asked.shape.family != "gauge":
        return []
    inside = asked.inside
    said = []
    if _taken(inside):
        said.append("filling and salt show the water itself: only take off what went in later")
    if inside.connected_l is not None and asked.shape.name == "by-salt":
        said.append("salt reaches connected water too while a pump runs: it may be counted twice")
    return said
