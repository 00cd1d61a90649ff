"""A vessel while it is measured: drawn before all is known, with the doubt of every size."""

from __future__ import annotations

from dataclasses import replace

from intake.drawing.outlines import from_above, side_outline
from intake.drawing.samples import completed, rim_cm
from intake.drawing.section import width_at
from intake.flows.facts.things import Vessel
from intake.flows.facts.volumes import at_line
from intake.flows.views.vessels import PlanView, Profile, VesselView
from intake.science.problem import Problem, Refused
from intake.science.show import show
from intake.science.volume import SHAPES
from intake.science.volume.asked import Asked, option

UNIT_OF = {
    "gravel": "L", "displaced": "L", "connected": "L", "rock_mass": "g", "void": "", "sides": "",
    "rock_density": "g/mL",
}  # fmt: skip


def drawn_so_far(view: VesselView, vessel: Vessel) -> VesselView:
    """The view with a drawing however little is typed, and the doubt of every size."""
    asked = Asked(SHAPES[vessel.shape], vessel.sizes, vessel.inside, **vessel.lists)
    shares: dict[str, float] = {}
    most = ""
    if view.digits != "?":
        try:
            found = at_line(vessel)
        except Refused:
            found = None
        if found is not None and not isinstance(found, Problem):
            shares, most = dict(found.shares), found.doubt_from
    view = replace(view, doubts=_doubts(asked, shares), doubt_from=most, marks=_marks(asked))
    return view if view.profile is not None and view.plan is not None else _guessed(view, vessel)


def _doubts(asked: Asked, shares: dict[str, float]) -> tuple[tuple[str, str], ...]:
    found: dict[str, str] = {}
    for name, size in asked.flat().items():
        unit = UNIT_OF.get(name, "cm")
        half = f"± {show(size.half, unit, digits=2)}" if size.half and "." not in name else ""
        share = shares.get(option(name))
        part = f"{share * 100:.0f} %" if share is not None else ""
        found.setdefault(option(name), "  ".join(p for p in (half, part) if p))
    return tuple((name, text) for name, text in found.items() if text)


def _marks(asked: Asked) -> tuple[str, ...]:
    rows = [f"{show(d.value, 'cm'):>8}  {show(v.value, 'L')}" for d, v in asked.levels]
    return tuple(reversed(rows))


def _guessed(view: VesselView, vessel: Vessel) -> VesselView:
    """Drawn in the proportions of a usual one where sizes are missing."""
    asked = Asked(SHAPES[vessel.shape], vessel.sizes, vessel.inside, **vessel.lists)
    values, guessed = completed(
        vessel.shape, {name: size.value for name, size in asked.flat().items()}
    )
    try:
        return _with_guesses(view, vessel, values, guessed)
    except (ArithmeticError, ValueError):
        return view  # sizes no vessel has are told in words


def _with_guesses(
    view: VesselView, vessel: Vessel, values: dict[str, float], guessed: frozenset[str]
) -> VesselView:
    rim = vessel.height.value if vessel.height is not None else rim_cm(values)
    depth = values.get("depth", rim / 1.12)
    rim = max(rim, depth)
    outline = side_outline(vessel.shape, values, rim)
    profile, plan = view.profile, view.plan
    if profile is None and outline:
        ends = width_at(outline, depth), width_at(outline, 0.0)
        profile = Profile(outline, depth, rim, 0.0, *ends)
    top = from_above(vessel.shape, values, depth)
    if plan is None and len(top) >= 3:
        plan = PlanView(top, (), "")
    return replace(view, profile=profile, plan=plan, guessed=tuple(sorted(guessed)))
