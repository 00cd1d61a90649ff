"""The calendar on paper: what every form of it says."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from intake.drawing.daystrip import DayCell

TITLE = "Calendar of the fish room"
ABOUT = (
    "True when it was printed. Dates move with the temperature and with what happens: print it "
    "again after a new fish, a death, a sign or a cold night."
)
LABEL = "The product label and your vet come first and win where they differ."
RELEASE = "Release only with every check met, or passed with a reason that is written down."
NOTHING = "No quarantine runs and no course: nothing is due."
LEGEND = (
    ("done", "*", "done"),
    ("due", "o", "due"),
    ("slide", "#", "slide"),
    ("overdue", "!", "late"),
    ("skipped", "x", "skipped"),
    ("uncounted", "-", "not a warm day"),
    ("release", "|", "earliest release"),
)
"""Mark, its letter in plain text, its words."""
LETTERS = {mark: letter for mark, letter, _ in LEGEND} | {"slide-done": "#"}
BOXES = {"done": "[x]", "skipped": "[-]", "overdue": "[!]"}
"""Before a task, by its state; every other is a box to tick."""


@dataclass(frozen=True, slots=True)
class PaperTask:
    """One line to tick off; `was` and `because` are empty where there is nothing to say."""

    state: str
    text: str
    was: str = ""
    because: str = ""


@dataclass(frozen=True, slots=True)
class PaperDay:
    """A day with something on it: what it is called, why it is what it is, and its tasks."""

    said: str
    why: str
    tasks: tuple[PaperTask, ...]


@dataclass(frozen=True, slots=True)
class PaperWater:
    """One water system: its days as a strip, its release, its tasks.

    `cells` are whole weeks, Monday first. `release` says the earliest release and who sets it.
    """

    system: str
    said: str
    cells: tuple[DayCell, ...]
    release: str
    why: tuple[str, ...]
    checks: tuple[tuple[str, str, str, str], ...]
    days: tuple[PaperDay, ...]


@dataclass(frozen=True, slots=True)
class CalendarPaper:
    """All of it."""

    today: date
    waters: tuple[PaperWater, ...]
    printed: str
    head: str


CHECKS = ("check", "state", "not before", "evidence")
"""What is told of each release check."""


def weeks(cells: Sequence[DayCell]) -> Iterator[tuple[date, tuple[DayCell, ...]]]:
    """Each week by its Monday."""
    for monday, week in groupby(
        cells, key=lambda c: date.fromordinal(c.day.toordinal() - c.day.weekday())
    ):
        yield monday, tuple(week)


def short_day(day: date) -> str:
    """`16 Nov`."""
    return f"{day.day} {day:%b}"


def foot(paper: CalendarPaper) -> tuple[str, ...]:
    """What stands under every paper."""
    return (RELEASE, paper.printed, paper.head)


def week_lines(cells: Sequence[DayCell], today: date) -> list[str]:
    """The weeks in plain text: a letter for each day, today in brackets."""
    lines = ["            Mo  Tu  We  Th  Fr  Sa  Su"] if cells else []
    for monday, week in weeks(cells):
        lines.append(f"{short_day(monday):>10}  {''.join(_cell(c, today) for c in week)}".rstrip())
    return lines


def _cell(cell: DayCell, today: date) -> str:
    plain = {"uncounted": "-", "served": ".", "ahead": "."}.get(cell.line, " ")
    letter = LETTERS.get(cell.mark, plain)
    beside = "-" if cell.line == "uncounted" and cell.mark else " "
    return f"[{letter}]{beside}" if cell.day == today else f" {letter}{beside} "


def legend_line() -> str:
    """What the letters mean."""
    return ", ".join(f"{letter} {words}" for _, letter, words in LEGEND) + ", [ ] today"
