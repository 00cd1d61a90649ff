"""The calendar as lines: weeks, days, one strip for each water system, the legend."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from textual.content import Content

from intake.drawing.daystrip import DayCell, day_cells
from intake.flows.views.calendar import Proposal, SystemStrip
from intake.screens.theme import Look
from intake.screens.widgets.lines import padded, shorten

LABEL = 18
"""Cells before the first day."""

MARKS = {
    "done": ("●", "soft"),
    "due": ("○", "ink"),
    "overdue": ("▲", "care"),
    "slide": ("◆", "bold"),
    "slide-done": ("◆", "soft"),
    "skipped": ("┄", "faint"),
    "moved": ("→", "soft"),
    "release": ("▐", "good"),
}
LEGEND = (
    ("●", "done"),
    ("○", "due"),
    ("▲", "late"),
    ("◆", "slide"),
    ("→", "moved"),
    ("┄", "not counted"),
    ("▐", "earliest release"),
)
ROLES_OF = {mark: role for mark, role in MARKS.values() if mark != "◆"} | {"◆": "bold"}
_LINES = {
    "served": ("━", "soft"),
    "uncounted": ("┄", "care"),
    "ahead": ("─", "rule"),
    "none": (" ", "ink"),
}


def short_day(day: date) -> str:
    """`Sat 28 Nov`."""
    return f"{day:%a} {day.day} {day:%b}"


def week_line(days: Sequence[date], each: int, look: Look) -> Content:
    """The Mondays in view."""
    text = [" "] * (len(days) * each + 10)
    for at, day in enumerate(days):
        label = f"▏{day.day} {day:%b}"
        if day.weekday() == 0 and at * each + len(label) <= len(days) * each:
            text[at * each : at * each + len(label)] = label
    return look.say(" " * LABEL, ("".join(text).rstrip(), "soft"))


def letter_line(days: Sequence[date], each: int, today: date, cursor: date, look: Look) -> Content:
    """One letter for each day; today stands in a block, the cursor on its ground."""
    parts: list[str | tuple[str, str]] = [" " * LABEL]
    for day in days:
        letter = f"{day:%a}"[0].rjust(each)
        role = "touch-block" if day == today else "here" if day == cursor else "faint"
        parts.append((letter, role))
    return look.say(*parts)


def strip_line(
    strip: SystemStrip,
    days: Sequence[date],
    each: int,
    today: date,
    cursor: date | None,
    look: Look,
) -> Content:
    """The name of the water system and its days."""
    cells = day_cells(
        days,
        started=strip.started,
        today=today,
        marks=marks_of(strip),
        release=strip.earliest_release,
    )
    here = cursor is not None
    head = look.say(
        ("▌ " if here else "  ", "touch"),
        (padded(strip.system, LABEL - 3), "bold" if here else "ink"),
        " ",
    )
    return Content.assemble(head, *(_cell(cell, each, today, cursor, look) for cell in cells))


def _cell(cell: DayCell, each: int, today: date, cursor: date | None, look: Look) -> Content:
    glyph, role = _LINES[cell.line]
    if cell.day == today and cell.line == "ahead":
        role = "touch"
    if not cell.mark:
        run = look.say((glyph * each, "here" if cell.day == cursor else role))
        return run
    mark, mark_role = MARKS[cell.mark]
    if cell.day == cursor:
        mark_role = "here"
    elif cell.day == today and mark_role in ("ink", "bold"):
        mark_role = "touch"
    return look.say((glyph * (each - 1), role), (mark, mark_role))


def said_line(strip: SystemStrip, width: int, look: Look) -> Content:
    """Under the strip: who lives there and how far the clock is."""
    return look.say(
        "  ",
        (padded(strip.occupants, LABEL - 3), "faint"),
        " ",
        (shorten(strip.said, width - LABEL), "soft"),
    )


def legend_line(width: int, look: Look) -> Content:
    """What the marks mean; it stays on screen."""
    parts: list[str | tuple[str, str]] = []
    for mark, word in LEGEND:
        parts += [(mark, ROLES_OF[mark]), (f" {word}  ", "faint")]
    line = look.say(*parts).rstrip()
    if line.cell_length > width:
        return line.truncate(width)
    return Content.assemble(" " * min(LABEL, width - line.cell_length), line)


def proposal_line(found: Sequence[Proposal], width: int, look: Look) -> Content:
    """A restart that waits for a word, with the hours left and the key that settles it."""
    first = found[0]
    left = f"{first.hours_left} h left" if first.hours_left else "under 1 h left"
    more = f"  + {len(found) - 1} more" if len(found) > 1 else ""
    head, tail = f"▲ settle, {left}", f"{more}  j Settle"
    room = width - len(head) - len(tail) - 2
    text = f"{first.system}: {first.text}"
    return look.say((head, "care"), "  ", (shorten(text, room), "ink"), (tail, "key"))


def marks_of(strip: SystemStrip) -> dict[date, tuple[str, bool]]:
    """The mark of each day and whether it counts; a day that lost its task says that it did."""
    marks = {mark.day: (mark.mark, mark.counted) for mark in strip.days}
    for task in strip.tasks:
        if task.was is not None and task.was in marks and not marks[task.was][0]:
            marks[task.was] = ("moved", marks[task.was][1])
    return marks
