"""The one door to true volume: from sizes, or from sizes and today's waterline."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite
from typing import Unpack

from intake.science.figures import figure
from intake.science.problem import Problem, Refused
from intake.science.spread import Size, propagate
from intake.science.volume import notes, slips
from intake.science.volume.answer import NOTHING, Inside, Lists, TrueVolume
from intake.science.volume.asked import (
    Asked,
    displacements_l,
    option,
    possible,
    together,
    wrong,
)
from intake.science.volume.catalogue import SHAPES
from intake.science.volume.checks import first_problem, known_shape


def true_volume(
    shape: str, sizes: Mapping[str, Size], inside: Inside = NOTHING, **more: Unpack[Lists]
) -> TrueVolume | Problem:
    """The water in a vessel with its 95 % doubt, or what is wrong with its sizes.

    Parameters
    ----------
    shape
        One of `SHAPES`.
    sizes
        By the names in `SHAPES`, lengths in cm, a bucket in L, a rate in L/min, a time in min,
        salt in g, readings as `salt_readings` says.
    inside
        What takes up water, and water connected to it.
    more
        Sizes that come as lists, the sides of a polygon, the height of the wall: see `Lists`.

    Raises
    ------
    Refused
        ``not-in-range``: a depth above the last mark of a level table, or a conductivity beyond
        the published salt curve.

    Example
    -------
    >>> tank = true_volume("box", {"length": Size(60, 1), "width": Size(45, 1),
    ...     "depth": Size(30, 1)})
    >>> tank.volume_l, round(tank.high_l - tank.volume_l, 1), tank.doubt_from
    (81.0, 3.5, 'depth')
    """
    problem = known_shape(shape)
    return problem or _worked(Asked(SHAPES[shape], sizes, inside, **more))


def at_depth(
    shape: str,
    sizes: Mapping[str, Size],
    depth_cm: Size,
    inside: Inside = NOTHING,
    **more: Unpack[Lists],
) -> TrueVolume | Problem:
    """The water at today's waterline, from sizes recorded at another.

    Notes
    -----
    Leaning and bulging walls are followed, up to `height`. Over a sloping floor today's depth is
    read at the deepest point. Slices fill from the floor; above the last its walls go on.

    Raises
    ------
    Refused
        As `true_volume`, and ``volume-unknown`` for a gauged volume, which knows no walls.
    """
    problem = known_shape(shape)
    if problem is not None:
        return problem
    if SHAPES[shape].family == "gauge":
        raise Refused(
            "volume-unknown",
            f"a {shape} volume is known at one waterline only",
            way_out="gauge again at today's waterline, or record sizes or a level table",
        )
    return _worked(Asked(SHAPES[shape], sizes, inside, **more, today=depth_cm))


def waterline(
    shape: str,
    sizes: Mapping[str, Size],
    to_cm: float,
    inside: Inside = NOTHING,
    *,
    step_cm: float = 1.0,
    **more: Unpack[Lists],
) -> tuple[tuple[float, float], ...] | Problem:
    """Depth [cm] and water [L] at every `step_cm` from the floor to `to_cm`, for a marked tape.

    Notes
    -----
    All that is inside is taken as under water at every depth; where it takes up all, 0 L.

    Raises
    ------
    Refused
        As `at_depth`.
    """
    top = at_depth(shape, sizes, Size(to_cm), inside, **more)
    if isinstance(top, Problem):
        return top
    asked = Asked(SHAPES[shape], sizes, inside, **more)
    values = {name: size.value for name, size in asked.flat().items()}
    depths_cm = [n * step_cm for n in range(1, int(to_cm / step_cm + 1e-9) + 1)]
    return tuple(
        (depth_cm, max(0.0, asked.water_l({**values, "depth.today": depth_cm})))
        for depth_cm in depths_cm
    )


def plain_l(
    shape: str,
    sizes: Mapping[str, Size],
    depth_cm: Size,
    inside: Inside = NOTHING,
    **more: Unpack[Lists],
) -> float | Problem:
    """The water of `at_depth` [L] without its doubt, for whoever tries many depths.

    Raises
    ------
    Refused
        As `at_depth`, of a shape that has a depth.
    """
    asked = Asked(SHAPES[shape], sizes, inside, **more, today=depth_cm)
    values = {name: size.value for name, size in asked.flat().items()}
    return first_problem(asked) or _no_water(asked, values) or asked.water_l(values)


def _no_water(asked: Asked, values: Mapping[str, float]) -> Problem | None:
    """Where the sizes hold no believable water, or what is inside leaves none."""
    gross_l = asked.gross_l(values)
    if not slips.LEAST_L <= gross_l <= slips.MOST_L:
        text = "the volume is under a drop"
        if gross_l > slips.MOST_L:
            text = f"the volume is {figure(gross_l, 3)} L"
        return wrong(asked.shape.sizes[0].name, text, "no vessel holds that: check the units")
    bulk_l = values.get("gravel", 0.0)
    if bulk_l > gross_l and asked.today is None:
        text = f"{figure(bulk_l, 4)} L of gravel does not fit into {figure(gross_l, 4)} L"
        return wrong("gravel", text, "its bulk, holes included, is under the volume")
    things_l = displacements_l(values)
    taken_l = sum(things_l.values())
    if taken_l >= gross_l:
        most = max(things_l, key=lambda name: things_l[name])
        text = f"{figure(taken_l, 4)} L is taken up of {figure(gross_l, 4)} L"
        return wrong(most, text, "what is inside is smaller than the water")
    return None


def _worked(asked: Asked) -> TrueVolume | Problem:
    problem = first_problem(asked)
    if problem is not None:
        return problem
    sizes = asked.flat()
    values = {name: size.value for name, size in sizes.items()}
    problem = _no_water(asked, values)
    if problem is not None:
        return problem
    spread = propagate(lambda moved: asked.water_l(possible(moved)), sizes, together)
    if not isfinite(spread.high):
        return wrong("after", *notes.lost_rise(sizes))
    half_l = max(spread.high - spread.value, spread.value - spread.low)
    gross_l = asked.gross_l(values)
    taken_l = sum(displacements_l(values).values())
    return TrueVolume(
        volume_l=spread.value,
        low_l=max(0.0, spread.low),
        high_l=spread.high,
        gross_l=gross_l,
        displaced_l=taken_l,
        connected_l=values.get("connected", 0.0),
        method=notes.method(asked),
        doubt_from=spread.largest(option),
        assumptions=notes.assumptions(asked, values),
        warnings=notes.warnings(asked, values, gross_l, taken_l, half_l),
        shares=spread.grouped(option),
    )
