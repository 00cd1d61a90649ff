"""Litres at every line of a vessel: the rows of its table and what a reader must know of them."""

from __future__ import annotations

from dataclasses import replace

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.facts.things import Vessel
from intake.flows.facts.volumes import bare, has_depth, litres
from intake.flows.line_words import waterline_sizes
from intake.report.waterline import PARTLY_DRY, Row, Waterline
from intake.science.problem import Refused
from intake.science.show import show
from intake.science.spread import Size

SAME_CM = 1e-6


def sheet_of(book: Book, vessel: Vessel, step_cm: float, gravel_cm: float) -> Waterline:
    """The table of a vessel from its floor to its rim, else to the highest line known.

    Parameters
    ----------
    gravel_cm
        How high the gravel stands when it lies level [cm].

    Raises
    ------
    Refused
        volume-unknown, where it was gauged at one line only.
    """
    if not has_depth(vessel):
        raise Refused(
            "volume-unknown",
            f"{vessel.name} was gauged by {vessel.shape}, at one waterline only",
            way_out="measure it with a tape, or pour it full bucket by bucket and record the "
            "depth after each: intake record vessel NAME levels --table",
        )
    top_cm, top = _top(vessel)
    count = int(top_cm / step_cm + SAME_CM)
    depths = [step_cm * n for n in range(1, count + 1)]
    if not depths or depths[-1] < top_cm - SAME_CM:
        depths.append(top_cm)
    half = book.facts.tape_cm / 2
    rows = tuple(_row(vessel, depth, half, gravel_cm) for depth in depths)
    day = local_date(book.now, book.facts.zone)
    keeper = book.desk.keeper or (next(iter(book.facts.keepers), ""))
    words = ", ".join(part for part in (vessel.shape, _walls(vessel)) if part)
    return Waterline(
        vessel.name,
        book.facts.system_of(vessel).name,
        words,
        f"{day:%a} {day.day} {day:%b %Y}",
        keeper,
        top,
        step_cm,
        rows,
        _notes(vessel, top, half, gravel_cm),
    )


def _top(vessel: Vessel) -> tuple[float, str]:
    mark = max(size.value for size in (vessel.mark, vessel.depth) if size is not None)
    if vessel.shape == "levels":
        last = max(depth.value for depth, _ in vessel.lists.get("levels", ()))
        return last, f"the last mark of its table, {show(last, 'cm')}"
    if vessel.height is not None:
        return vessel.height.value, f"the rim, {show(vessel.height.value, 'cm')}"
    return mark, f"the highest line known, {show(mark, 'cm')}; the rim is not recorded"


def _walls(vessel: Vessel) -> str:
    names = vessel.sizes
    if any(n.startswith("middle_") for n in names):
        return "bulged"
    return "tapered" if any(n.startswith("floor_") for n in names) else ""


def _row(vessel: Vessel, depth_cm: float, half_cm: float, gravel_cm: float) -> Row:
    """The line at a depth, as `record level` would find it, without connected water."""
    alone = bare(vessel)

    def at(depth: float) -> tuple[float, float, float]:
        return litres(replace(alone, depth=Size(depth, half_cm), off_l=0.0))

    volume, low, high = at(depth_cm)
    sizes = waterline_sizes(replace(alone, depth=Size(depth_cm, half_cm)))
    surface = " x ".join(show(size, "") for size in sizes.values())
    dry = depth_cm < gravel_cm or (vessel.inside.rock_g is not None and volume <= 0)
    if volume <= 0:
        return Row(depth_cm, None, None, None, None, surface, dry)
    below = at(max(depth_cm - 1, depth_cm / 2))[0]
    per_cm = (volume - below) / min(1.0, depth_cm / 2) if below > 0 else None
    return Row(depth_cm, volume, low, high, per_cm, surface, dry)


def _notes(vessel: Vessel, top: str, half_cm: float, gravel_cm: float) -> tuple[str, ...]:
    joined = vessel.inside.connected_l
    if joined is not None:
        water = (
            f"Litres of water in this vessel alone. Connected water, {show(joined.value, 'L')}, "
            "is the water system's and not in it: a dose is for both."
        )
    else:
        water = "Litres of water in this vessel alone; no connected water is recorded."
    found = [
        water,
        f"Lines are inside, straight up from the {_lowest(vessel)}, to {top}.",
        f"The ends hold the doubt of its sizes and of reading the line to {show(half_cm, 'cm')}.",
    ]
    if bare(vessel).gauged:
        found.append("Another way its water was found is held in the ends as well.")
    if _walls(vessel) or vessel.shape in ("bowl", "drum"):
        found.append("The walls lean: hang the tape plumb, never along the wall.")
    inside = vessel.inside
    if inside.gravel_l is not None or inside.rock_g is not None or inside.displaced_l is not None:
        found.append(
            "Gravel, rock and equipment are taken off as if all were under water at every line."
        )
    if gravel_cm or inside.rock_g is not None:
        high = f", up to about {show(gravel_cm, 'cm')}" if gravel_cm else ""
        found.append(
            f"{PARTLY_DRY} Gravel or rock stands out of the water at the low lines{high}: there "
            "is more water than is said. Do not dose by those lines."
        )
    found.append("Measure again when gravel or rock changes, and print this again.")
    return tuple(found)


def _lowest(vessel: Vessel) -> str:
    if "depths" in vessel.lists:
        return "deepest point of the floor"
    return "lowest point" if vessel.shape in ("bowl", "drum") else "floor"
