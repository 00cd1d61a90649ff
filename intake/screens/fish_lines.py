"""Fish as lines: a row of grades by day, and what the looks of one fish saw."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from textual.content import Content

from intake.flows.views.fish import FishDetail, FishRow, FishView, LookLine
from intake.screens.theme import Look
from intake.screens.widgets.lines import ends, padded, shorten

GRADE_ROLES = {"1": "care", "2": "care", "3": "stop", "·": "faint", "_": "touch"}
LEGEND = "· no sign   1 2 3 grade   _ not looked yet   blank: not here that day"
_ASCII_NONE = "."


@dataclass(frozen=True, slots=True)
class Columns:
    """Cells of a row: the name, `each` for each of the last `days` days, what the last look saw.

    `day` is the day under the cursor, counted from the newest (0).
    """

    name: int
    days: int
    each: int
    last: int
    day: int


def columns_for(width: int, days: int, day: int) -> Columns:
    """The name takes 14 cells at least, the last look the rest; days give way."""
    name = 16 if width >= 60 else 12
    last = 24 if width >= 100 else 20 if width >= 70 else 0
    each = 3 if width >= 60 else 2
    shown = max(1, min(days, (width - name - last - 6) // each))
    last = max(0, width - name - 4 - shown * each - 2)
    return Columns(name, shown, each, last, min(day, shown - 1))


def head_line(view: FishView, width: int, look: Look) -> Content:
    """Where, how far, how many, and when they were looked at."""
    left = look.say(
        (view.vessel or "All fish", "bold"),
        ("   " + ", ".join(part for part in (view.zone, view.occupants) if part), "ink"),
    )
    return ends(left, look.say((view.looked, "soft")), width)


def days_line(days: Sequence[date], columns: Columns, look: Look) -> Content:
    """The day of the month over each column, the one under the cursor lit."""
    parts: list[str | tuple[str, str]] = ["    ", ("fish".ljust(columns.name), "faint")]
    shown = list(days)[-columns.days :]
    for at, day in enumerate(shown):
        here = len(shown) - 1 - at == columns.day
        text = str(day.day).rjust(2).rjust(columns.each)
        if columns.each < 3:
            text = str(day.day % 10).rjust(columns.each)
        parts.append((text, "here" if here else "faint"))
    parts.append(("  last look" if columns.last >= 11 else "", "faint"))
    return look.say(*parts)


def row_lines(row: FishRow, here: bool, columns: Columns, look: Look) -> list[Content]:
    """One fish or group on one line."""
    name = f"{row.name} ({row.count})" if row.kind == "group" else row.name
    parts: list[str | tuple[str, str]] = [
        ("▌     " if here else "      ", "touch"),
        (padded(name, columns.name - 1), "bold" if here else "ink"),
        " ",
    ]
    parts += grade_cells(row.grades, columns)
    mark = "■ " if row.stop else "▲ " if row.care else ""
    role = "stop" if row.stop else "care" if row.care else "soft"
    if columns.last >= 6:
        parts += ["  ", (shorten(mark + row.last, columns.last), role)]
    return [look.say(*parts)]


def grade_cells(grades: str, columns: Columns) -> list[tuple[str, str]]:
    """The last days of a row of grades, each at the right of its cell."""
    shown = grades[-columns.days :].rjust(columns.days)
    return [(" " * (columns.each - 1) + grade, GRADE_ROLES.get(grade, "ink")) for grade in shown]


def detail_lines(
    detail: FishDetail, columns: Columns, width: int, rows: int, look: Look
) -> list[Content]:
    """The fish under the cursor: who it is, each sign by day, the newest lines."""
    lines = [
        look.say(
            (shorten(detail.name, 30), "bold"),
            ("   " + shorten(detail.detail, width - 3 - min(30, len(detail.name))), "soft"),
        )
    ]
    for sign, grades in detail.signs:
        name = padded(sign, columns.name - 1)
        lines.append(look.say("    ", (name, "ink"), " ", *grade_cells(grades, columns)))
    room = max(0, rows - 1 - len(lines))
    newest = detail.lines[-room:] if room else ()
    lines += [look_line(line, width, look) for line in newest]
    legend = look.say("    ", (shorten(LEGEND, width - 4), "faint"))
    return [*lines[: max(0, rows - 1)], legend][: max(0, rows)]


def look_line(line: LookLine, width: int, look: Look) -> Content:
    """One line of the journal about a fish; words of the keeper stand in quotes."""
    words = f'"{line.quoted}"' if line.quoted else ""
    text = "  ".join(part for part in (line.text, words) if part)
    keeper = f"  {line.keeper}" if line.keeper else ""
    room = width - 21 - len(keeper)
    role = "faint" if line.corrected else "ink"
    text = ("corrected: " if line.corrected else "") + text
    return look.say(
        "    ", (padded(line.when, 16), "soft"), " ", (padded(text, room), role), (keeper, "faint")
    )
