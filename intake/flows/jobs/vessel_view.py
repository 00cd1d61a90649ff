"""One vessel as it is shown: its true water, its drawing, what was taken off."""

from __future__ import annotations

from dataclasses import replace

from intake.drawing.outlines import deepest_cm, from_above, side_outline
from intake.drawing.section import width_at
from intake.flows.desk import Book
from intake.flows.drawn_gravel import gravel_cm
from intake.flows.facts.things import Vessel
from intake.flows.facts.volumes import at_line, has_depth, litres, settled_way
from intake.flows.jobs.joined import shared
from intake.flows.jobs.lines import line_text
from intake.flows.jobs.vessel_ways import agreement, ways_of
from intake.flows.views.vessels import PlanView, Profile, VesselView
from intake.science.problem import Problem, Refused
from intake.science.show import show, show_range
from intake.science.volume import SHAPES, TrueVolume
from intake.science.volume.asked import Asked, displacements_l

HALF_CM = 0.5


def shown(book: Book, vessel: Vessel, system: str, *, why: str = "", said: str = "") -> VesselView:
    """The vessel at its line.

    `why` keeps its water from being worked out; `said` stands before its own reasons.
    """
    try:
        found: TrueVolume | Problem | None = None if why else at_line(vessel)
    except Refused as no:
        found, why = None, f"{no.text}; {no.way_out}" if no.way_out else no.text
    if isinstance(found, Problem):
        why = f"{found.text}; {found.hint}" if found.hint else found.text
        found = None
    asked = Asked(
        SHAPES[vessel.shape], vessel.sizes, vessel.inside, **vessel.lists, today=vessel.depth
    )
    values = {name: size.value for name, size in asked.flat().items()}
    told = found
    if found is not None and settled_way(vessel) is not None:
        volume, low, high = litres(vessel)
        told = replace(found, volume_l=volume, low_l=low, high_l=high)
    head = _head(told, litres(vessel)[1] if found else 0.0)
    return VesselView(
        vessel=vessel.name,
        system=system,
        shape=_shape_text(vessel, found),
        digits=head[0],
        half_text=head[1],
        range_text=head[2],
        limits_use=head[3],
        profile=_profile(vessel, values),
        plan=_plan(vessel, values),
        gauged=ways_of(book, vessel, found),
        agreement=agreement(vessel)[0],
        agreement_said=agreement(vessel)[1],
        taken_off=_taken_off(asked, values, found) if found else (),
        per_cm=_per_cm(asked, values, vessel) if found else "",
        because=why or " ".join(p for p in (said, _because(values, found) if found else "") if p),
        depth_text=show(vessel.depth.value, "cm") if vessel.depth is not None else "",
        line_text=line_text(book, vessel) if found else "",
        has_depth=has_depth(vessel),
        shared=shared(book, vessel),
    )


def _head(found: TrueVolume | None, low_l: float) -> tuple[str, str, str, str]:
    """The digits, the doubt, the ends, and the end that limits use."""
    if found is None:
        return "?", "", "", ""
    half = found.high_l - found.volume_l
    text = show(found.volume_l, "", half=half, group=False) if half > 0 else ""
    digits, _, doubt = text.partition(" ± ")
    if not doubt:
        exact = show(found.volume_l, "", digits=4, group=False)
        return exact, "", "", f"{exact} L"
    ends = show_range(found.low_l, found.high_l, "L", digits=3)
    low = ends.partition(" to ")[0].removesuffix(" L")
    if low_l < found.low_l:
        low = show_range(low_l, found.low_l, "", digits=3).partition(" to ")[0]
    return digits, f"± {doubt} L", ends, f"{low} L"


def _shape_text(vessel: Vessel, found: TrueVolume | None) -> str:
    words = [found.method if found is not None else vessel.shape]
    gravel = vessel.inside.gravel_l
    words += ["gravel"] if gravel is not None and gravel.value else []
    return ", ".join(words)


def _profile(vessel: Vessel, values: dict[str, float]) -> Profile | None:
    mark = deepest_cm(values)
    depth = vessel.depth.value if vessel.depth is not None else (mark or _stack_cm(values))
    if not depth:
        return None
    rim = vessel.height.value if vessel.height is not None else max(depth, mark or 0.0)
    outline = side_outline(vessel.shape, values, max(rim, depth))
    if not outline:
        return None
    gravel = gravel_cm(vessel, depth)
    return Profile(outline, depth, rim, gravel, width_at(outline, depth), width_at(outline, 0.0))


def _stack_cm(values: dict[str, float]) -> float:
    return sum(v for n, v in values.items() if n.startswith("slice.") and n.endswith(".depth"))


def _plan(vessel: Vessel, values: dict[str, float]) -> PlanView | None:
    depth = vessel.depth.value if vessel.depth is not None else deepest_cm(values)
    top = from_above(vessel.shape, values, depth or _stack_cm(values))
    if len(top) < 3:
        return None
    floor = from_above(vessel.shape, values, 0.0)
    long = max(x for x, _ in top) - min(x for x, _ in top)
    wide = max(y for _, y in top) - min(y for _, y in top)
    said = f"{show(long, '')} x {show(wide, 'cm')}"
    if vessel.shape in ("round", "bowl"):
        said = f"{show(long, 'cm')} across"
    return PlanView(top, floor, said)


def _taken_off(
    asked: Asked, values: dict[str, float], found: TrueVolume
) -> tuple[tuple[str, str], ...]:
    """The sum from what the sizes hold to the true water; every line to a tenth of a litre."""
    things = displacements_l(values)
    label = "full at the line" if asked.shape.family != "gauge" else "as gauged"
    rows = [(label, _litres(found.gross_l))]
    if things.get("gravel"):
        share = show((1 - values["void"]) * 100, "%")
        rows.append(
            (f"gravel, {show(values['gravel'], 'L')} x {share}", _litres(-things["gravel"]))
        )
    if things.get("rock_mass"):
        rows.append(
            (f"rock, {show(values['rock_mass'] / 1000, 'kg')}", _litres(-things["rock_mass"]))
        )
    if things.get("displaced"):
        rows.append(("all else under water", _litres(-things["displaced"])))
    if found.connected_l:
        rows.append(("connected water", _litres(found.connected_l)))
    rows.append(("true water today", _litres(found.volume_l)))
    return tuple(rows)


def _litres(value: float) -> str:
    return f"{value:,.1f} L"


def _per_cm(asked: Asked, values: dict[str, float], vessel: Vessel) -> str:
    depth = vessel.depth.value if vessel.depth is not None else None
    if depth is None or not has_depth(vessel) or depth <= HALF_CM:
        return ""
    below = asked.gross_l({**values, "depth.today": depth - HALF_CM})
    mark = deepest_cm(values) or depth
    top = depth if vessel.shape == "levels" and depth + HALF_CM > mark else depth + HALF_CM
    step = asked.gross_l({**values, "depth.today": top}) - below
    return f"each cm of line is {show(step / (top - depth + HALF_CM), 'L')}"


def _because(values: dict[str, float], found: TrueVolume) -> str:
    things = displacements_l(values)
    told = []
    if things.get("gravel"):
        bulk, share = show(values["gravel"], "L"), show(values["void"] * 100, "%")
        stone = show(things["gravel"], "L", digits=2)
        told.append(f"{stone} gravel ({bulk} in bulk, {share} of it water)")
    if things.get("rock_mass"):
        told.append(f"{show(things['rock_mass'], 'L', digits=2)} rock")
    if things.get("displaced"):
        told.append(f"{show(things['displaced'], 'L')} of everything else under water")
    taken = f"{' and '.join(told)} taken off" if told else "nothing is taken off"
    joined = "no sump, no pipe"
    if found.connected_l:
        joined = f"{show(found.connected_l, 'L')} of connected water is added"
    doubt = f"; most of the doubt comes from the {found.doubt_from}" if found.doubt_from else ""
    return f"{taken}; {joined}{doubt}."
