"""The month of the cursor: weeks as rows, a mark for each water system on each day."""

from __future__ import annotations

from datetime import date, timedelta

from textual.content import Content

from intake.flows.views.calendar import CalendarView
from intake.screens.calendar_lines import MARKS, marks_of
from intake.screens.theme import Look
from intake.screens.widgets.lines import shorten
from intake.screens.widgets.options import first_shown

_DATE = 4
"""Cells of the date in front of the marks of a day."""


def weeks_of(cursor: date) -> list[list[date]]:
    """The weeks of the month of a day, Monday to Sunday."""
    first = cursor.replace(day=1)
    monday = first - timedelta(days=first.weekday())
    weeks = []
    while monday.month == cursor.month or monday <= first:
        weeks.append([monday + timedelta(days=n) for n in range(7)])
        monday += timedelta(days=7)
    return weeks


def month_lines(
    view: CalendarView, system: int, cursor: date, width: int, rows: int, look: Look
) -> list[Content]:
    """Which system each mark is of, the days of the week, the weeks."""
    each = max(5, width // 7)
    shown = min(len(view.systems), max(1, each - _DATE - 1))
    first = first_shown(system, len(view.systems), shown)
    here = range(first, first + shown)
    weeks = weeks_of(cursor)
    lines = [_names(view, here, system, width, look), _letters(each, look)]
    airy = rows - len(lines) >= 2 * len(weeks)
    marks = [marks_of(view.systems[at]) for at in here]
    for week in weeks:
        parts: list[str | tuple[str, str]] = []
        for day in week:
            parts += _cell(view, here, marks, day, cursor, each, system)
        lines.append(look.say(*parts).rstrip())
        if airy:
            lines.append(Content(""))
    return lines[:rows]


def _names(view: CalendarView, here: range, system: int, width: int, look: Look) -> Content:
    """The systems in the order of their marks."""
    month = "each day: "
    room = max(8, (width - len(month)) // max(1, len(here)) - 3)
    parts: list[str | tuple[str, str]] = [(month, "faint")]
    for n, at in enumerate(here):
        name = shorten(view.systems[at].system, room)
        parts += [(f"{n + 1} ", "faint"), (name, "bold" if at == system else "soft"), "  "]
    more = len(view.systems) - len(here)
    if more:
        parts.append((f"+ {more}", "soft"))
    return look.say(*parts).truncate(width).rstrip()


def _letters(each: int, look: Look) -> Content:
    words = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
    return look.say(("".join(word.ljust(each) for word in words).rstrip(), "faint"))


def _cell(
    view: CalendarView,
    here: range,
    marks: list[dict[date, tuple[str, bool]]],
    day: date,
    cursor: date,
    each: int,
    system: int,
) -> list[str | tuple[str, str]]:
    same = day.month == cursor.month
    role = "soft" if same else "faint"
    role = "touch-block" if day == view.today else "here" if day == cursor else role
    parts: list[str | tuple[str, str]] = [
        ("▌" if day == cursor else " ", "touch"), (f"{day.day:>2}", role), " ",
    ]  # fmt: skip
    gap = " " if each - _DATE >= 2 * len(here) else ""
    for at, known in zip(here, marks, strict=True):
        strip = view.systems[at]
        mark, counted = known.get(day, ("", True))
        if day == strip.earliest_release:
            mark = "release"
        glyph, paint = MARKS.get(mark, (" ", "ink")) if mark else ("┄", "care")
        if not mark and counted:
            glyph, paint = ("·", "faint") if day >= strip.started else (" ", "ink")
        elif not counted:
            paint = "care"
        parts += [(glyph, "bold" if at == system and paint in ("ink", "soft") else paint), gap]
    parts.append(" " * (each - _DATE - len(here) * (1 + len(gap))))
    return parts
