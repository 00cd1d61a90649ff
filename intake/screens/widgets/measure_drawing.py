"""What is drawn while a vessel is measured: its water, cut and from above, the tape's arrow."""

from __future__ import annotations

from textual.content import Content

from intake.flows.views.vessels import VesselView
from intake.screens.theme import Look
from intake.screens.widgets.lines import rows_of, shorten
from intake.screens.widgets.vessel_drawing import above_lines, drawing_lines


def measure_lines(
    view: VesselView, arrow: str, width: int, rows: int, look: Look
) -> list[Content]:
    """The volume once it is known, then the drawings in what room there is."""
    lines = _head(view, width, look)
    plan: list[Content] = []
    left = rows - len(lines)
    if view.plan is not None and left >= 9:
        plan = _from_above(view, arrow, width, min(left // 2 - 1, 12), look)
    left -= len(plan) + 1
    if view.profile is not None and left >= 4:
        unknown = frozenset(view.guessed)
        cut = drawing_lines(view.profile, width, min(left, 14), look, arrow=arrow, unknown=unknown)
        lines += ["", *cut] if left > len(cut) else cut  # type: ignore[list-item]
    elif view.marks:
        lines += [look.say((shorten(row, width), "ink")) for row in view.marks[: max(0, left)]]
    lines = [look.say(line) if isinstance(line, str) else line for line in lines]
    return [line.truncate(width) for line in [*lines, *plan]][:rows]


def _head(view: VesselView, width: int, look: Look) -> list[Content]:
    if view.digits == "?":
        return [look.say((row, "soft")) for row in rows_of(view.because, width, width, 3)]
    lines = [look.say((f"{view.digits} L", "bold"), (f"   {view.half_text}", "ink"))]
    if view.range_text:
        lines.append(look.say((view.range_text, "soft")))
    if view.doubt_from:
        said = f"most doubt from {view.doubt_from}: measure that better"
        lines += [look.say((row, "soft")) for row in rows_of(said, width, width, 2)]
    return lines


def _from_above(view: VesselView, arrow: str, width: int, rows: int, look: Look) -> list[Content]:
    assert view.plan is not None
    gravel = view.profile is not None and view.profile.gravel_cm > 0
    across = _across(view)
    drawn = above_lines(view.plan, max(8, width - len(across) - 6), rows - 1, look, gravel=gravel)
    at = len(drawn) // 2
    role = "key" if arrow == "across" else "soft"
    mark = "← " if arrow == "across" else "  "
    lines = [look.say(("from above", "faint"))]
    for y, line in enumerate(drawn):
        note = look.say((f" {mark}{across}", role)) if y == at else look.say("")
        lines.append(Content.assemble("  ", line, note))
    return lines


def _across(view: VesselView) -> str:
    """The width, where it is a size of its own."""
    if view.plan is None or "width" in view.guessed:
        return "?"
    ys = [y for _, y in view.plan.waterline]
    return f"{max(ys) - min(ys):.1f}".removesuffix(".0") + " cm"
