"""The week of the cursor: seven days across, each with its tasks, old and new dates."""

from __future__ import annotations

from datetime import date, timedelta

from textual.content import Content

from intake.flows.views.calendar import DayTask, SystemStrip
from intake.screens.calendar_day import mark_of, moved_from
from intake.screens.calendar_lines import MARKS, marks_of
from intake.screens.theme import Look
from intake.screens.widgets.lines import padded, rows_of, shorten

WIDE_COLUMN = 14
"""Cells of a day from which on a task keeps all its words where two rows hold them."""
MONTH_COLUMN = 12
"""Cells of a day from which on its date has the month."""
LEAST_COLUMN = 10
"""Cells of a day below which the days stand one under the other."""
MOST_ROWS = 3
"""Rows of one task in its column."""

Piece = tuple[str, str, str]
"""Mark, its role, words."""


def week_of(cursor: date) -> list[date]:
    """Monday to Sunday round a day."""
    monday = cursor - timedelta(days=cursor.weekday())
    return [monday + timedelta(days=n) for n in range(7)]


def week_lines(
    strip: SystemStrip, cursor: date, today: date, width: int, rows: int, look: Look
) -> list[Content]:
    """Seven days beside each other, or under each other where the screen is narrow."""
    days = week_of(cursor)
    each = width // 7
    if each < LEAST_COLUMN:
        return [_row(strip, day, cursor, today, width, look) for day in days][:rows]
    lines = [_heads(days, each, cursor, today, look), _counted(strip, days, each, cursor, look)]
    columns = [_column(strip, day, each, rows - len(lines)) for day in days]
    for at in range(max(len(column) for column in columns)):
        parts: list[str | tuple[str, str]] = []
        for column in columns:
            mark, role, words = column[at] if at < len(column) else (" ", "ink", "")
            parts += [(mark, role), " ", (padded(words, each - 3), _paint(role)), " "]
        lines.append(look.say(*parts).rstrip())
    return lines


def _paint(role: str) -> str:
    return "faint" if role == "faint" else "soft" if role == "soft" else "ink"


def _heads(days: list[date], each: int, cursor: date, today: date, look: Look) -> Content:
    parts: list[str | tuple[str, str]] = []
    for day in days:
        role = "touch-block" if day == today else "here" if day == cursor else "soft"
        word = f"{day:%a} {day.day}"
        if each >= MONTH_COLUMN:
            word += f" {day:%b}"
        parts += [(word, role), " " * (each - len(word))]
    return look.say(*parts).rstrip()


def _counted(strip: SystemStrip, days: list[date], each: int, cursor: date, look: Look) -> Content:
    """Under each day its number, whether it counts, and the cursor."""
    marks = marks_of(strip)
    parts: list[str | tuple[str, str]] = []
    for day in days:
        number = strip.number(day)
        word = "" if number is None else f"day {number}"
        role = "faint"
        if day == strip.earliest_release:
            word, role = "▐ release", "good"
        elif day in marks and not marks[day][1]:
            word, role = f"┄ {word}", "care"
        if day == cursor:
            word = f"▌{word}"
        parts.append((padded(word, each - 1), "touch" if day == cursor else role))
        parts.append(" ")
    return look.say(*parts).rstrip()


def _column(strip: SystemStrip, day: date, each: int, rows: int) -> list[Piece]:
    room = each - 3
    found = [
        _wrapped(*_mark(task), task, each, f"was {_date(task.was)}" if task.was else "")
        for task in strip.tasks
        if task.day == day
    ]
    found += [
        _wrapped("→", "soft", task, each, f"to {_date(task.day)}")
        for task in moved_from(strip, day)
    ]
    pieces: list[Piece] = []
    for at, one in enumerate(found):
        last = at == len(found) - 1
        if len(pieces) + len(one) > rows - (0 if last else 1):
            more = f"+ {len(found) - at} more"
            return [*pieces, (" ", "soft", more if len(more) <= room else more[:-5])][:rows]
        pieces += one
    return pieces


def _mark(task: DayTask) -> tuple[str, str]:
    """As the legend has it."""
    return MARKS["done"] if task.state == "done" else mark_of(task)


def _wrapped(mark: str, role: str, task: DayTask, each: int, last: str) -> list[Piece]:
    room = each - 3
    whole = each >= WIDE_COLUMN and len(task.text) <= 2 * room
    text = task.text if whole else task.short or task.text
    words = rows_of(text, room, room, MOST_ROWS)
    lines = [(mark, role, words[0]), *((" ", role, word) for word in words[1:])]
    return lines + [(" ", "soft", word) for word in rows_of(last, room, room, 2) if word]


def _date(day: date) -> str:
    return f"{day.day} {day:%b}"


def _row(
    strip: SystemStrip, day: date, cursor: date, today: date, width: int, look: Look
) -> Content:
    """One day of a narrow screen: its date, then marks and words as far as they go."""
    role = "touch-block" if day == today else "here" if day == cursor else "soft"
    parts: list[str | tuple[str, str]] = [
        ("▌ " if day == cursor else "  ", "touch"), (f"{day:%a} {day.day:>2}", role), "  ",
    ]  # fmt: skip
    if day == strip.earliest_release:
        parts += [MARKS["release"], " "]
    left = width - 10
    for task in strip.tasks:
        if task.day != day or left < 6:
            continue
        mark, paint = _mark(task)
        words = shorten(task.short or task.text, left - 4)
        parts += [(mark, paint), " ", (words, _paint(paint)), "  "]
        left -= len(words) + 4
    return look.say(*parts).truncate(width).rstrip()
