"""The read-back as lines: one amount, said in words too, and what must not be missed."""

from __future__ import annotations

from dataclasses import dataclass

from rich.cells import cell_len
from textual.content import Content

from intake.flows.views.dose import DoseView
from intake.flows.views.parts import Recorded
from intake.screens.theme import Look
from intake.screens.widgets.blocks import care_lines
from intake.screens.widgets.figure import beside, figure_lines
from intake.screens.widgets.levelbar import BarShape, bar_line
from intake.screens.widgets.lines import ends, padded, rows_of, shorten

WALL_AT = 0.85
"""A dose that is read back is never past its wall, so little room is kept for it."""

_LABEL = 9


@dataclass(frozen=True, slots=True)
class Group:
    """Lines that belong together. The group with the greatest `gives_way` is left out first;
    0 is never left out.
    """

    lines: list[Content]
    gives_way: int = 0
    gap: bool = True


def fitted(groups: list[Group], rows: int) -> list[Content]:
    """The groups in at most `rows` lines: first the empty rows go, then whole groups."""
    kept = [group for group in groups if group.lines]
    while True:
        gaps = sum(group.gap for group in kept[1:])
        lines = sum(len(group.lines) for group in kept)
        if lines + gaps <= rows or not any(g.gap or g.gives_way for g in kept):
            break
        if gaps and lines <= rows:
            last = max(i for i, g in enumerate(kept) if g.gap and i)
            kept[last] = Group(kept[last].lines, kept[last].gives_way, gap=False)
            continue
        worst = max(kept, key=lambda group: group.gives_way)
        if not worst.gives_way:
            kept = [Group(g.lines, g.gives_way, gap=False) for g in kept]
            break
        kept.remove(worst)
    out: list[Content] = []
    for at, group in enumerate(kept):
        if at and group.gap:
            out.append(Content(""))
        out += group.lines
    return out


def into_line(view: DoseView, state: str, width: int, look: Look) -> Content:
    """What goes where; the names are never shortened, what stands at the right gives way."""
    left = look.say((view.title, "bold"), ("  into  ", "soft"), (view.vessel, "bold"))
    if left.cell_length > width:
        return look.say((shorten(f"{view.title} into {view.vessel}", width), "bold"))
    return ends(left, look.say((state, "soft")), width)


def head_lines(view: DoseView, state: str, width: int, look: Look) -> list[Content]:
    """One line, or two where both names do not fit beside each other."""
    together = len(view.title) + len(view.vessel) + 8
    if together <= width:
        return [into_line(view, state, width, look)]
    return [
        look.say((shorten(view.title, width), "bold")),
        look.say(("into  ", "soft"), (shorten(view.vessel, width - 6), "bold")),
    ]


def read_lines(view: DoseView, width: int, rows: int, look: Look) -> list[Content]:
    """The read-back in at most `rows` lines of `width` cells."""
    if view.amount is None:
        return head_lines(view, "", width, look)
    facts = _facts(view, look)
    facts_width = max((line.cell_length for line in facts), default=0)
    tall = 8 if rows >= 24 else 6
    gap = 2 if width < 100 else 6
    figure_room = width - facts_width - gap
    figure = figure_lines(view.amount.text, view.amount.unit, figure_room, tall, look)
    groups = [Group(head_lines(view, "read back, not recorded yet", width, look))]
    if len(figure) > 1 and figure_room >= 20:
        groups.append(Group(beside(figure, facts, gap)))
    else:
        figure = figure_lines(view.amount.text, view.amount.unit, width, tall, look)
        groups += [Group(figure), Group(facts, 6)]
    groups += [
        Group(say_lines(view, width, look)),
        Group([_level(view, width, look)], 7),
        Group(_notes(view, width, look, long=rows >= 24)),
    ]
    if rows >= 24:
        groups += [Group(_so_far(view, width, look), 9), Group(_more(view, width, look), 8)]
    return fitted(groups, rows)


def say_lines(view: DoseView, width: int, look: Look) -> list[Content]:
    """The amount in words, to be read aloud: a slip of ten is heard."""
    rows = rows_of(view.spoken, width - 5, width - 5, 2)
    return [
        look.say(("say  ", "faint"), (rows[0], "bold")),
        *(look.say("     ", (row, "bold")) for row in rows[1:]),
    ]


def _facts(view: DoseView, look: Look) -> list[Content]:
    where = f" {view.volume.origin}" if view.volume.origin else ""
    lines = [
        look.say((f"{view.tool_verb} ", "soft"), (view.tool, "ink")),
        look.say((f"{view.volume.text} {view.volume.unit}", "ink"), (where, "soft")),
        look.say((view.occupants, "ink"), (" in it", "soft")),
    ]
    if view.product:
        lines.append(look.say((view.product, "soft")))
    if view.step_error:
        lines.append(look.say(("step error ", "soft"), (view.step_error, "ink")))
    return lines


def _level(view: DoseView, width: int, look: Look) -> Content:
    bar = view.level
    number = len(f"{bar.shown.text} {bar.shown.unit}".strip())
    said = len(bar.said) + (2 if bar.over or bar.near else 0)
    if bar.limit is None:
        return look.say((f"{bar.shown.text} {bar.shown.unit}", "bold"), ("  " + bar.said, "soft"))
    room = max(8, width - number - said - 4)
    return bar_line(bar, BarShape(0, number, room, said, WALL_AT), look)


def _labelled(label: str, text: str, width: int, rows: int, look: Look) -> list[Content]:
    parts = rows_of(text, width - _LABEL, width - _LABEL, rows)
    return [
        look.say((label.ljust(_LABEL), "bold"), (parts[0], "soft")),
        *(look.say(" " * _LABEL, (part, "soft")) for part in parts[1:]),
    ]


def _notes(view: DoseView, width: int, look: Look, *, long: bool) -> list[Content]:
    lines = [*line_asked(view, width, look), *care_lines(view.cares, width, look)]
    if view.stock:
        lines += _labelled("stock", view.stock, width, 2, look)
    if view.directed:
        lines += _labelled("vet", view.directed, width, 2, look)
    if len(view.reaches) > 1:
        lines += _labelled("reaches", ", ".join(view.reaches), width, 2, look)
    if view.before:
        lines += _labelled("before", ", ".join(view.before), width, 3 if long else 1, look)
    return lines


def line_asked(view: DoseView, width: int, look: Look) -> list[Content]:
    """The line this dose asks for, with the keys that answer it."""
    if not view.lines:
        return []
    more = f"  + {len(view.lines) - 1} more" if len(view.lines) > 1 else ""
    rows = rows_of(view.lines[0].text + more, width - _LABEL, width - _LABEL, 3)
    return [
        look.say(("line ?".ljust(_LABEL), "care"), (rows[0], "ink")),
        *(look.say(" " * _LABEL, (row, "ink")) for row in rows[1:]),
    ]


def _more(view: DoseView, width: int, look: Look) -> list[Content]:
    lines: list[Content] = []
    for label, texts in (
        ("during", view.during),
        ("after", view.after),
        ("handle", view.handling),
    ):
        if texts:
            lines += _labelled(label, ", ".join(texts), width, 2, look)
    return lines


def _so_far(view: DoseView, width: int, look: Look) -> list[Content]:
    if not view.so_far:
        return []
    lines = [look.say(("course so far", "faint"))]
    told = view.so_far[-4:]
    column = max(cell_len(when) for when, _ in told) + 2
    for when, what in told:
        what = shorten(what, width - column)
        lines.append(look.say((padded(when, column), "soft"), (what, "ink")))
    return lines


def done_lines(view: DoseView, recorded: Recorded, width: int, look: Look) -> list[Content]:
    """After the record: the figure is gone, the next thing stands in its place."""
    lines = [*head_lines(view, "", width, look), Content("")]
    room = width - _LABEL - 8
    said = rows_of(recorded.text, room, room, 2)
    lines.append(
        look.say(("✓ ", "good"), (f"recorded {recorded.at}  ", "bold"), (said[0], "bold"))
    )
    lines += [look.say(" " * 18, (row, "bold")) for row in said[1:]]
    for text in recorded.warnings:
        lines += _worded("▲ care", text, "care", width, look)
    following = recorded.next_text or next(iter(view.after), "")
    if following:
        lines += [Content(""), *_worded("next", following, "bold", width, look)]
    return lines


def _worded(label: str, text: str, role: str, width: int, look: Look) -> list[Content]:
    rows = rows_of(text, width - _LABEL, width - _LABEL, 3)
    first = look.say((label.ljust(_LABEL), "care" if role == "care" else "soft"), (rows[0], role))
    return [first, *(look.say(" " * _LABEL, (row, role)) for row in rows[1:])]


def refused_head(view: DoseView, width: int, look: Look) -> list[Content]:
    """What was asked for, above what bars the way."""
    names = head_lines(view, "", width, look)
    rest = look.say(
        (f",  {view.occupants},  {view.volume.text} {view.volume.unit}", "ink"),
    )
    if len(names) == 1 and names[0].rstrip().cell_length + rest.cell_length <= width:
        return [Content.assemble(names[0].rstrip(), rest), Content("")]
    return [*names, Content("")]


def choosing_lines(
    view: DoseView | None, line: int, shown: tuple[str, str, str], width: int, look: Look
) -> list[Content]:
    """The three lines that fill from the left: what, where, how strong."""
    head = look.say(("Dose", "bold"), ("  nothing is recorded before Record", "soft"))
    lines = [head.truncate(width), Content("")]
    heads = ("what", "where", "how strong")
    for at, word in enumerate(heads):
        here = at == line
        bar = ("▌ ", "touch") if here else ("  ", "ink")
        text = shown[at] or ("· · ·" if not here else "")
        role = "bold" if here else "ink" if shown[at] else "faint"
        lines.append(look.say(bar, (word.ljust(12), "soft"), (shorten(text, width - 14), role)))
    if view is not None:
        lines += [Content(""), _conditions(view, width, look), _small(view, width, look)]
    return [*lines, Content("")]


def _small(view: DoseView, width: int, look: Look) -> Content:
    """The amount while it can still change: small, never in block digits."""
    if view.amount is None:
        return (
            look.say("  ", (shorten(view.stops[0].text, width - 2), "stop"))
            if view.stops
            else (Content(""))
        )
    amount = f"{view.amount.text} {view.amount.unit}"
    level = f"{view.target.text} {view.target.unit}, {view.level.said}"
    return look.say("  ", (amount, "ink"), (f"  for {level}", "soft"))


def _conditions(view: DoseView, width: int, look: Look) -> Content:
    parts: list[Content] = []
    used = 2
    for condition in view.conditions:
        text = condition.text
        piece = (
            look.say((text, "soft"))
            if condition.met
            else look.say((f"{condition.quantity} ", "ink"), ("? NEED", "key"))
            if condition.met is None
            else look.say((f"■ {text}", "stop"))
        )
        if used + piece.cell_length + 5 > width:
            break
        if parts:
            parts.append(look.say(("  ·  ", "faint")))
        parts.append(piece)
        used += piece.cell_length + 5
    return Content.assemble("  ", *parts)


def strength_label(view: DoseView | None, width: int, look: Look) -> list[Content]:
    """The question beside the strength field, in the middle of its three rows."""
    unit = f", {view.strength_unit}" if view and view.strength_unit else ""
    said = next((t for t in ("strength on packet", "on packet") if len(t + unit) <= width), "")
    return [Content(""), look.say((f"{said}{unit}"[:width], "ink"))]


def amount_note(view: DoseView | None) -> str:
    """The amount and where it goes, for a window too small for anything else."""
    if view is None or view.amount is None:
        return ""
    return f"{view.amount.text} {view.amount.unit} into {view.vessel}"
