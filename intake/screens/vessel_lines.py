"""One vessel as lines: the volume, how well it is known, the drawing, what was taken off."""

from __future__ import annotations

from textual.content import Content

from intake.flows.views.vessels import Gauged, VesselView
from intake.screens.theme import Look
from intake.screens.widgets.figure import beside, figure_lines
from intake.screens.widgets.lines import rows_of, shorten
from intake.screens.widgets.vessel_drawing import above_lines, drawing_lines

_METHOD = 6


def head_lines(view: VesselView, width: int, look: Look) -> list[Content]:
    """The volume in block digits beside its doubt and what the limits use."""
    size_too, line_alone = view.line_text, view.line_text.partition(",")[0]
    for line_text in (size_too, line_alone):
        said = [
            look.say((shorten(view.vessel, 40), "bold")),
            look.say((view.shape, "soft")),
            look.say((view.half_text, "bold"), (f"   {line_text}", "soft")),
            look.say(
                (view.range_text, "ink"), ("   limits use ", "soft"), (view.limits_use, "ink")
            ),
        ]
        wide = max(line.cell_length for line in said)
        figure = figure_lines(view.digits, "L", width - wide - 3, 4, look)
        if len(figure) > 1:
            return [line.truncate(width) for line in beside(figure, said, 3)]
    figure = figure_lines(view.digits, "L", width, 4, look)
    return [*figure, *(line.truncate(width) for line in said)]


def gauged_lines(view: VesselView, width: int, look: Look, *, most: int) -> list[Content]:
    """Each way the volume was found, and whether they agree."""
    lines = [_gauged(view.shared, width, look)] if view.shared is not None else []
    lines += [_gauged(one, width, look) for one in view.gauged[:most]]
    if view.agreement:
        differ = view.agreement == "they differ"
        mark = "▲ " if differ else ""
        lines.append(
            look.say(
                (mark + view.agreement, "care" if differ else "good"),
                "   ",
                (shorten(view.agreement_said, width - len(view.agreement) - 5), "soft"),
            )
        )
    return lines


def _gauged(one: Gauged, width: int, look: Look) -> Content:
    volume = f"{one.volume.text} {one.volume.unit}"
    room = width - _METHOD - max(14, len(volume)) - 2
    return look.say(
        (one.method.ljust(_METHOD), "bold"),
        (volume.ljust(14), "ink"),
        "  ",
        (shorten(one.said, room), "soft"),
    )


def vessel_lines(view: VesselView, width: int, rows: int, look: Look) -> list[Content]:
    """The whole vessel in at most `rows` lines: the drawing takes what the words leave."""
    head = head_lines(view, width, look)
    roomy = rows >= 26 and width >= 96
    words = gauged_lines(view, width, look, most=3 if rows >= 14 else 1)
    left = rows - len(head) - len(words) - 2
    plan: list[Content] = []
    if roomy and view.plan is not None:
        plan = _above(view, width, max(4, left // 2 - 1), look)
        left -= len(plan) + 1
    drawing: list[Content] = []
    if view.profile is not None and left >= 4:
        drawing = drawing_lines(view.profile, width, min(left, 14), look)
    groups = [group for group in (head, drawing, plan, words) if group]
    lines: list[Content] = []
    for group in groups:
        if lines and len(lines) + len(group) < rows:
            lines.append(Content(""))
        lines += group
    return lines[:rows]


def _above(view: VesselView, width: int, rows: int, look: Look) -> list[Content]:
    if view.plan is None:
        return []
    total = max((len(name) for name, _ in view.taken_off), default=0) + 2
    amount = max((len(value) for _, value in view.taken_off), default=0)
    said = [look.say((f"from above, {view.plan.said}", "soft")), Content("")]
    for at, (name, value) in enumerate(view.taken_off):
        last = at == len(view.taken_off) - 1
        if last:
            said.append(look.say(("─" * (total + amount), "rule")))
        role = "bold" if last else "ink"
        said.append(look.say((name.ljust(total) + value.rjust(amount), role)))
    said += [Content(""), look.say((view.per_cm, "soft"))]
    columns = max(20, width - total - amount - 12)
    gravel = view.profile is not None and view.profile.gravel_cm > 0
    drawn = above_lines(view.plan, columns, rows, look, gravel=gravel)
    indented = [Content.assemble("        ", line) for line in drawn]
    return beside(indented, said, 4)


def because_text(view: VesselView) -> str:
    """What is taken off and what is not."""
    return view.because


def compare_texts(view: VesselView) -> tuple[str, ...]:
    """The comparison of all ways, in words."""
    texts = [f"{g.method}: {g.volume.text} {g.volume.unit}, {g.said}" for g in view.gauged]
    if view.agreement:
        texts.append(f"{view.agreement}: {view.agreement_said}")
    texts.append(f"limits use {view.limits_use}, the smallest likely water")
    texts += [f"{name} {value}" for name, value in view.taken_off]
    return tuple(texts)


def empty_lines(text: str, width: int, look: Look) -> list[Content]:
    """One sentence and the one key."""
    return [look.say((row, "ink")) for row in rows_of(text, width, width, 3)]
