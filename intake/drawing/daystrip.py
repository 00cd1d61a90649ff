"""A quarantine as a strip of days: for each day a line and a mark."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta


@dataclass(frozen=True, slots=True)
class DayCell:
    """One day: `line` is none, served, uncounted or ahead; `mark` as it was given, or release."""

    day: date
    line: str
    mark: str


def day_cells(
    days: Sequence[date],
    *,
    started: date,
    today: date,
    marks: Mapping[date, tuple[str, bool]],
    release: date | None,
) -> list[DayCell]:
    """The cells of one strip.

    Parameters
    ----------
    days
        The days in view, in order.
    started
        Day 0; before it there is nothing.
    today
        Days before it are behind, it and later ones ahead.
    marks
        For a day its mark and whether it counted.
    release
        The earliest release, marked on top of whatever is due that day; None: not known.
    """
    cells = []
    for day in days:
        mark, counted = marks.get(day, ("", True))
        if day < started:
            cells.append(DayCell(day, "none", ""))
            continue
        line = "ahead" if day >= today else "served" if counted else "uncounted"
        if release is not None and day > release:
            line = "none" if not mark else "ahead"
        cells.append(DayCell(day, line, "release" if day == release else mark))
    return cells


def days_in_view(first: date, count: int) -> list[date]:
    """`count` days from `first`."""
    return [first + timedelta(days=n) for n in range(count)]


def first_in_view(start: date, cursor: date, count: int) -> date:
    """Where the view begins so that the cursor is in it, moved no more than needed."""
    if cursor < start:
        return cursor
    if cursor >= start + timedelta(days=count):
        return cursor - timedelta(days=count - 1)
    return start
