"""The day under the cursor: its tasks with old and new dates, what it is, and what comes then."""

from __future__ import annotations

from datetime import date

from textual.content import Content

from intake.flows.views.calendar import DayTask, SystemStrip
from intake.screens.calendar_lines import short_day
from intake.screens.theme import Look
from intake.screens.widgets.lines import padded, rows_of, shorten

STATES = {"done": "✓", "skipped": "┄", "overdue": "▲"}


def why_day(strip: SystemStrip, day: date) -> str:
    """What this day is, also where nothing is due on it."""
    return next((mark.why for mark in strip.days if mark.day == day), "")


def moved_from(strip: SystemStrip, day: date) -> list[DayTask]:
    """The tasks that were to be done on this day and have another one now."""
    return [task for task in strip.tasks if task.was == day and task.day != day]


def away(day: date, today: date) -> str:
    """`in 3 days`, `yesterday`."""
    ahead = (day - today).days
    if abs(ahead) > 1:
        return f"in {ahead} days" if ahead > 0 else f"{-ahead} days ago"
    return ("yesterday", "today", "tomorrow")[ahead + 1]


def day_lines(
    strip: SystemStrip, cursor: date, today: date, width: int, rows: int, look: Look
) -> list[Content]:
    """The tasks of the day under the cursor, those that moved away from it, and what it is."""
    number = strip.number(cursor)
    day = "" if number is None else f", day {number}"
    rest = f"   {strip.system}, {away(cursor, today)}{day}"
    head = short_day(cursor)
    lines = [look.say((head, "bold"), (shorten(rest, width - len(head)), "soft"))]
    made = [task_line(t, width, look) for t in strip.tasks if t.day == cursor]
    made += [_gone(t, width, look) for t in moved_from(strip, cursor)]
    room = max(1, rows - 1)
    shown = made if len(made) <= room else made[: room - 1]
    lines += shown
    if len(shown) < len(made):
        lines.append(look.say("     ", (f"+ {len(made) - len(shown)} more, enter", "soft")))
    if not made:
        lines.append(look.say("  ", ("nothing is due that day", "faint")))
    elif len(lines) < rows:
        left = rows - len(lines)
        why = rows_of(why_day(strip, cursor), width - 2, width - 2, min(2, left))
        lines += [look.say("  ", (row, "faint")) for row in why if row]
    return lines[:rows]


def mark_of(task: DayTask) -> tuple[str, str]:
    """The mark of a task and how it is painted."""
    mark = STATES.get(task.state, "◆" if task.kind == "slide" else "○")
    role = "care" if task.state == "overdue" else "faint" if task.state != "due" else "ink"
    return mark, role


def task_line(task: DayTask, width: int, look: Look, *, here: bool = False) -> Content:
    """One task, with the date it had before."""
    mark, role = mark_of(task)
    was = f"was {short_day(task.was)}" if task.was else ""
    room = width - 5 - (len(was) + 3 if was else 0)
    return look.say(
        ("▌ " if here else "  ", "touch"),
        (mark, role),
        "  ",
        (
            padded(task.text, min(room, 34)) if was else shorten(task.text, room),
            "bold" if here else role,
        ),
        (f"   {was}" if was else "", "soft"),
    )


def _gone(task: DayTask, width: int, look: Look) -> Content:
    """A task on the day it had: where it went, and why."""
    head = f"{shorten(task.text, max(12, width // 2))} moved to {short_day(task.day)}"
    room = width - 5 - len(head)
    because = shorten(f", because {task.because}", room) if room > 20 and task.because else ""
    return look.say(
        "  ", ("→", "soft"), "  ", (shorten(head, width - 5), "soft"), (because, "faint")
    )


def next_lines(
    strip: SystemStrip, cursor: date, width: int, rows: int, look: Look
) -> list[Content]:
    """The tasks after the day under the cursor, each kind once, with its reason."""
    lines: list[Content] = [Content(""), look.say(("then", "faint"))]
    day, seen = cursor, set[str]()
    for task in sorted(strip.tasks, key=lambda task: task.day):
        if task.day <= cursor or task.state in ("done", "skipped") or task.text in seen:
            continue
        seen.add(task.text)
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
    was = f"   was {short_day(task.was)}" if task.was else ""
    return look.say(
        "  ",
        (when.ljust(12), "soft"),
        "  ",
        (mark, "ink"),
        "  ",
        (shorten(task.text, width - 19 - len(was)), "ink"),
        (was, "soft"),
    )
