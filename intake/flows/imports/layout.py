"""Where in a table the times and the temperatures stand, told by its heading."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from intake.flows.imports.cells import read_temperature
from intake.flows.imports.headings import Headings, headings, offset_in, units_in
from intake.flows.imports.moments import is_moment
from intake.science.problem import Problem, Unreadable
from intake.science.text import inert, quoted

HEAD_LINES = 100
"""Lines looked through for the heading: loggers write what they are before it."""

DELIMITERS = (";", "\t", ",", "|")
READS = (
    "this program reads a logger's temperatures: a column of dates with times, or one of each, "
    "and a column of temperatures"
)

_UNIT_LINE = re.compile(r"\bunits?\b.*?(celsius|fahrenheit|(?:\u00b0|\u00ba)?\s*\b[cf]\b)")
_SEPARATOR = re.compile(r"sep=(.)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Layout:
    """The columns by place, the line the rows begin after, and what the heading tells of them.

    `times` are one or two columns. `unit` is C, F or None where the heading says none,
    `unit_column` where each row says its own. `offset_s` is what the heading says of its times.
    """

    delimiter: str
    after_line: int
    width: int
    times: tuple[int, ...]
    temperature: int
    named: tuple[str, ...]
    unit: str | None = None
    unit_column: int | None = None
    offset_s: int | None = None

    def moment(self, row: Sequence[str]) -> str:
        """The text of a row's time."""
        return " ".join(row[n].strip() for n in self.times)


def layout_of(lines: Iterable[str], path: str, column: str | None) -> Layout:
    """The layout of a file from its first lines.

    Raises
    ------
    Unreadable
        no-columns where no times and temperatures are found; no-such-name, where the column
        named is not there, or several hold temperatures and none is named.
    """
    head = [line for _, line in zip(range(HEAD_LINES), lines, strict=False)]
    asked = [d for line in head[:1] if (d := _SEPARATOR.fullmatch(line.strip()))]
    delimiters = (asked[0][1],) if asked else DELIMITERS
    maybe: tuple[int, str, list[str]] | None = None
    for number, line in enumerate(head):
        for delimiter in sorted(delimiters, key=lambda d: -line.count(d)):
            cells = _cells(line, delimiter)
            if not _may_head(cells, column):
                continue
            if _rows_follow(cells, delimiter, head[number + 1 :]):
                return _heading(cells, column, path, number, delimiter, head)
            maybe = maybe or (number, delimiter, cells)
    bare = _bare(head, delimiters, column)
    if bare is None and maybe is not None:
        return _heading(maybe[2], column, path, maybe[0], maybe[1], head)
    if bare is None:
        what = "no column of times and temperatures was found"
        raise Unreadable(Problem("no-columns", what, READS, path))
    return bare


def _times(cells: Sequence[str]) -> tuple[int, ...]:
    found = headings(cells)
    return found.whole[:1] or (found.date[:1] + found.clock[:1])


def _may_head(cells: Sequence[str], column: str | None) -> bool:
    """Whether a line names a column of times and one of temperatures."""
    asked = column is not None and len(cells) > 1
    return bool(_times(cells) and (asked or headings(cells).temperature))


def _whole_only(
    times: tuple[int, ...], delimiter: str, rows: Sequence[str]
) -> tuple[tuple[int, ...], list[str] | None]:
    """The columns of the time and the first row; a date with its time needs no second column."""
    first = next((c for line in rows if any(c := _cells(line, delimiter))), None)
    if first is None or len(first) <= max(times):
        return times, None
    whole = tuple(n for n in times if is_moment(first[n]))
    return whole[:1] or times, first


def _rows_follow(cells: Sequence[str], delimiter: str, rows: Sequence[str]) -> bool:
    """Whether the row after a heading is one of the table it heads."""
    times, first = _whole_only(_times(cells), delimiter, rows)
    return first is not None and is_moment(" ".join(first[n] for n in times))


def _cells(line: str, delimiter: str) -> list[str]:
    try:
        return [c.strip() for c in next(csv.reader([line], delimiter=delimiter), [])]
    except csv.Error:
        return []


def _heading(
    cells: list[str],
    column: str | None,
    path: str,
    number: int,
    delimiter: str,
    head: Sequence[str],
) -> Layout:
    """The layout that a line tells which is a heading."""
    found = headings(cells)
    times, _ = _whole_only(_times(cells), delimiter, head[number + 1 :])
    place = _place(cells, found, column, path, number + 1)
    units = units_in(cells[place])
    if len(units) > 1 or "K" in units:
        what = f"{quoted(cells[place])} names {' and '.join(units)} as its unit"
        raise Unreadable(Problem("ambiguous-unit", what, "one of C and F", path, number + 1))
    unit = units[0] if units else _unit_before(head[:number])
    offsets = [o for n in times if (o := offset_in(cells[n])) is not None]
    return Layout(
        delimiter, number + 1, max(n for n, c in enumerate(cells, 1) if c), times, place,
        tuple(inert(cells[n]) for n in (*times, place)), unit,
        found.unit[0] if found.unit else None, offsets[0] if offsets else None,
    )  # fmt: skip


def _place(cells: list[str], found: Headings, column: str | None, path: str, line: int) -> int:
    """The temperature's column, by name or number where it is asked for."""
    if column is None:
        if len(found.temperature) == 1:
            return found.temperature[0]
        names = ", ".join(quoted(cells[n]) for n in found.temperature)
        what = f"{len(found.temperature)} columns hold temperatures: {names}"
        raise Unreadable(Problem("no-such-name", what, "--column NAME says which", path, line))
    wanted = column.strip().casefold()
    same = [n for n, cell in enumerate(cells) if cell.casefold() == wanted]
    same = same or [n for n, cell in enumerate(cells) if cell.casefold().startswith(wanted)]
    if len(same) == 1:
        return same[0]
    if not same and wanted.isdecimal() and 1 <= int(wanted) <= len(cells):
        return int(wanted) - 1
    names = ", ".join(quoted(cell) for cell in cells if cell)
    what = f"{quoted(column)} is {'several columns' if same else 'no column'} of the file"
    raise Unreadable(Problem("no-such-name", what, names[:300], "--column"))


def _unit_before(lines: Sequence[str]) -> str | None:
    """The unit from a line before the heading, where one is told."""
    told = {
        found[1].strip("\u00b0\u00ba ")[0].upper()
        for line in lines
        if (found := _UNIT_LINE.search(line.casefold()))
    }
    return told.pop() if len(told) == 1 else None


def _bare(head: Sequence[str], delimiters: Iterable[str], column: str | None) -> Layout | None:
    """A table without a heading: times first, and one other column that is a number."""
    for number, line in enumerate(head):
        for delimiter in sorted(delimiters, key=lambda d: -line.count(d)):
            cells = _cells(line, delimiter)
            times = next(
                (t for t in _firsts(cells) if is_moment(" ".join(cells[n] for n in t))), ()
            )
            places = [n for n, cell in enumerate(cells) if n not in times and _is_number(cell)]
            if column and column.strip().isdecimal():
                places = [n for n in places if n == int(column) - 1]
            if times and len(places) == 1:
                named = tuple(f"column {n + 1}" for n in (*times, places[0]))
                return Layout(delimiter, number, len(cells), times, places[0], named)
    return None


def _firsts(cells: Sequence[str]) -> Iterator[tuple[int, ...]]:
    for n in range(min(2, len(cells))):
        yield (n,)
        if n + 1 < len(cells):
            yield (n, n + 1)


def _is_number(cell: str) -> bool:
    found = read_temperature(cell, None)
    return isinstance(found, float) or (found is not None and found.code != "not-a-number")
