"""Lines to pick from, each with its letter; a long list shows the part round the cursor."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from textual.content import Content

from intake.screens.theme import Look
from intake.screens.widgets.lines import padded, shorten

LETTERS = "abcdefghijklmnopqrstuvwxyz"


def first_shown(cursor: int, count: int, rows: int) -> int:
    """The first line shown so that the cursor is on screen."""
    return max(0, min(cursor - rows // 2, count - rows))


def option_lines(
    options: Sequence[tuple[str, str]], cursor: int, rows: int, width: int, look: Look
) -> list[Content]:
    """(words, detail) lines; words take the width first, the detail gives way."""
    first = first_shown(cursor, len(options), rows)
    room = width - 7
    words_width = min(room, max((cell_len(words) for words, _ in options), default=0) + 3)
    lines = []
    for at in range(first, min(len(options), first + rows)):
        words, detail = options[at]
        here = at == cursor
        bar = ("▌ ", "touch") if here else ("  ", "ink")
        letter = LETTERS[at] if at < len(LETTERS) else " "
        detail_room = room - words_width
        shown = shorten(detail, detail_room) if detail_room >= 8 else ""
        lines.append(
            look.say(
                bar,
                (letter, "key"),
                "  ",
                (padded(words, words_width), "bold" if here else "ink"),
                (shown, "soft"),
            )
        )
    return lines
