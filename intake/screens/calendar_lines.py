"""The calendar as lines: weeks, days, one strip for each water system, the tasks of a day."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from textual.content import Content

from intake.drawing.daystrip import DayCell, day_cells
from intake.flows.views.calendar import DayTask, SystemStrip
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
    "release": ("▐", "good"),
}
LEGEND = (
    ("●", "done"),
    ("○", "due"),
    ("◆", "slide"),
    ("┄", "not counted"),
    ("▐", "earliest release"),
)
_LINES = {
    "served": ("━", "soft"),
    "uncounted": ("┄", "care"),
    "ahead": ("─", "rule"),
    "none": (" ", "ink"),
}
_STATES = {"done": "✓", "skipped": "┄", "overdue": "▲"}


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
        marks={mark.day: (mark.mark, mark.counted) for mark in strip.days},
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
    parts: list[str | tuple[str, str]] = [" " * (LABEL if width >= 76 else 2)]
    for mark, word in LEGEND:
        parts += [(mark, MARKS.get(word, ("", "soft"))[1]), (f" {word}  ", "faint")]
    line = look.say(*parts).rstrip()
    return line if line.cell_length <= width else line.truncate(width)


def day_lines(
    strip: SystemStrip, cursor: date, today: date, width: int, rows: int, look: Look
) -> list[Content]:
    """The tasks of the day under the cursor."""
    ahead = (cursor - today).days
    when = (
        "today"
        if ahead == 0
        else f"in {ahead} days"
        if ahead > 1
        else ("tomorrow" if ahead == 1 else "yesterday" if ahead == -1 else f"{-ahead} days ago")
    )
    day = (cursor - strip.started).days
    rest = f"   {strip.system}, {when}" + (f", day {day}" if day >= 0 else "")
    head = short_day(cursor)
    lines = [look.say((head, "bold"), (shorten(rest, width - len(head)), "soft"))]
    tasks = [task for task in strip.tasks if task.day == cursor]
    room = max(1, rows - 1)
    shown = tasks if len(tasks) <= room else tasks[: room - 1]
    lines += [_task(task, width, look) for task in shown]
    if len(shown) < len(tasks):
        lines.append(look.say("     ", (f"+ {len(tasks) - len(shown)} more, enter", "soft")))
    if not tasks:
        lines.append(look.say("  ", ("nothing is due that day", "faint")))
    return lines[:rows]


def _task(task: DayTask, width: int, look: Look) -> Content:
    mark = _STATES.get(task.state, "◆" if task.kind == "slide" else "○")
    role = "care" if task.state == "overdue" else "faint" if task.state != "due" else "ink"
    was = f"was {short_day(task.was)}" if task.was else ""
    room = width - 5 - (len(was) + 3 if was else 0)
    return look.say(
        "  ",
        (mark, role),
        "  ",
        (padded(task.text, min(room, 34)) if was else shorten(task.text, room), role),
        (f"   {was}" if was else "", "soft"),
    )


def next_lines(
    strip: SystemStrip, cursor: date, width: int, rows: int, look: Look
) -> list[Content]:
    """The tasks after the day under the cursor, each with its reason."""
    lines: list[Content] = [Content(""), look.say(("then", "faint"))]
    day = cursor
    for task in sorted(strip.tasks, key=lambda task: task.day):
        if task.day <= cursor or task.state in ("done", "skipped"):
            continue
        wanted = [_dated(task, task.day != day, width, look)]
        if task.because:
            wanted.append(look.say(" " * 19, (shorten(task.because, width - 19), "faint")))
        if len(lines) + len(wanted) > rows:
            break
        lines += wanted
        day = task.day
    return lines if len(lines) > 2 else []


def _dated(task: DayTask, first: bool, width: int, look: Look) -> Content:
    mark = "◆" if task.kind == "slide" else "○"
    when = short_day(task.day) if first else ""
    return look.say(
        "  ",
        (when.ljust(12), "soft"),
        "  ",
        (mark, "ink"),
        "  ",
        (shorten(task.text, width - 19), "ink"),
    )
