"""STOP bars the way and says the way out; NEED asks one question; care is one line."""

from __future__ import annotations

from textual.content import Content

from intake.flows.views.parts import Care, Need, Stop
from intake.screens.theme import Look
from intake.screens.widgets.levelbar import BarShape, bar_line
from intake.screens.widgets.lines import rows_of
from intake.screens.widgets.painted_lines import Lines

NEVER_HELD_BACK = "stopping a treatment, a water change, moving a fish out."

_INDENT = 9


def _said(look: Look, label: str, text: str, width: int, rows: int, role: str) -> list[Content]:
    room = width - _INDENT
    lines = rows_of(text, room, room, rows)
    head = look.say((label.ljust(_INDENT), "bold"), (lines[0], role))
    return [head, *(look.say(" " * _INDENT, (line, role)) for line in lines[1:])]


def stop_lines(stop: Stop, width: int, look: Look, *, roomy: bool = True) -> list[Content]:
    """What, the bar, who says so, the way out."""
    room = width - _INDENT
    what = rows_of(stop.text, room, room, 4)
    lines = [look.say((" STOP ", "stop-block"), "   ", (what[0], "bold"))]
    lines += [look.say(" " * _INDENT, (line, "bold")) for line in what[1:]]
    if stop.bar is not None and stop.bar.limit is not None:
        number = len(f"{stop.bar.shown.text} {stop.bar.shown.unit}")
        said = max(12, len(stop.bar.said) + 2)
        shape = BarShape(0, number, max(8, width - number - said - 4), said)
        gap = [Content("")] if roomy else []
        lines += [*gap, bar_line(stop.bar, shape, look), *gap]
    elif roomy:
        lines.append(Content(""))
    lines += _said(look, "source", stop.source, width, 4, "soft")
    lines += _said(look, "way out", stop.way_out, width, 4, "soft")
    return lines


def need_lines(need: Need, width: int, look: Look) -> list[Content]:
    """One question, and the key that measures now."""
    room = width - _INDENT
    what = rows_of(need.what, room, room, 3)
    lines = [look.say((" NEED ", "touch-block"), "   ", (what[0], "bold"))]
    lines += [look.say(" " * _INDENT, (line, "bold")) for line in what[1:]]
    lines += [
        look.say(" " * _INDENT, (line, "soft")) for line in rows_of(need.detail, room, room, 4)
    ]
    if need.measures:
        lines.append(look.say(" " * _INDENT, ("m", "key"), ("  measure now", "ink")))
    return lines


def care_lines(cares: tuple[Care, ...], width: int, look: Look, rows: int = 2) -> list[Content]:
    """The worst one with its reason, and how many more there are."""
    if not cares:
        return []
    worst = cares[0]
    more = f"  + {len(cares) - 1} more" if len(cares) > 1 else ""
    reason = f". Reason: {worst.reason}" if worst.reason else ""
    room = width - _INDENT
    lines = rows_of(f"{worst.text.rstrip('.')}{reason}{more}", room, room, rows)
    return [
        look.say(("▲ care", "care"), " " * (_INDENT - 6), (lines[0], "ink")),
        *(look.say(" " * _INDENT, (line, "ink")) for line in lines[1:]),
    ]


def stop_block(stop: Stop, *, roomy: bool = True) -> Lines:
    """A refusal on its panel."""
    return Lines(
        lambda width, look: stop_lines(stop, width, look, roomy=roomy), classes="block stop-bar"
    )


def need_block(need: Need) -> Lines:
    """One question on its panel."""
    return Lines(lambda width, look: need_lines(need, width, look), classes="block need-bar")


def never_held_back(width: int, look: Look) -> list[Content]:
    """What stands under every STOP and NEED."""
    head = "Never held back: "
    lines = rows_of(NEVER_HELD_BACK, width - len(head), width, 4)
    return [
        Content(""),
        look.say((head, "bold"), (lines[0], "soft")),
        *(look.say((line, "soft")) for line in lines[1:]),
    ]
