"""A logger's file: every row read, or all that is wrong with it."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from zoneinfo import ZoneInfo

from intake.flows.imports.cells import read_temperature
from intake.flows.imports.layout import Layout, layout_of
from intake.flows.imports.logged import DaysLogged, LoggedDay
from intake.flows.imports.moments import Moments, order_told, read_offset
from intake.flows.imports.opened import Progress, Source, lines_of, look_through
from intake.science.problem import Problem, Unreadable
from intake.science.text import quoted

MOST_ROWS = 2_000_000
"""Rows read of one file: nearly four years of one each minute. Common practice."""

SHOWN = 20
"""Problems told one by one; the others are counted."""


@dataclass(frozen=True, slots=True)
class HowRead:
    """What the keeper said of a file: which of day and month comes first, unit, column, offset."""

    dates: str | None = None
    unit: str | None = None
    column: str | None = None
    offset: str | None = None


@dataclass(frozen=True, slots=True)
class Logged:
    """What a file says: its days, how it was read, and the rows that were left out.

    `missing` rows have no temperature, `before` are of a time before the vessel was there.
    `order` is "" where its dates leave none open; `clock` says whose times they were taken for.
    """

    source: Source
    layout: Layout
    order: str
    unit: str
    clock: str
    days: tuple[LoggedDay, ...]
    last_c: float
    rows: int
    missing: int
    before: int
    before_until: datetime | None
    doubled: int


def read_logger(
    path: str,
    said: HowRead,
    where: ZoneInfo,
    since: datetime,
    now: datetime,
    progress: Progress | None = None,
) -> Logged:
    """Reads a file.

    Parameters
    ----------
    where
        The room's time zone: times without an offset are of its clocks, days of its midnights.
    since
        From when the vessel was there; rows before it are counted, not kept.
    now
        Rows after it are refused: the logger's clock was wrong.

    Raises
    ------
    Unreadable
        With the first problems and how many there are in all; then nothing is known.
    """
    source = look_through(path)
    layout = layout_of(lines_of(source), path, said.column)
    unit = _unit(source, layout, said.unit)
    offset = layout.offset_s
    if said.offset is not None:
        typed = read_offset(said.offset)
        if isinstance(typed, Problem):
            raise Unreadable(typed.placed("--offset"))
        offset = typed
    order = said.dates or order_told(
        layout.moment(row) for _, row in _rows(source, layout, []) if len(row) > max(layout.times)
    )
    if order is None:
        what = "its dates can be read day first or month first, as 3/4 in every row"
        hint = "--dates day-first or --dates month-first"
        raise Unreadable(Problem("ambiguous-time", what, hint, path, layout.after_line + 1))
    reading = _Reading(source, layout, unit, Moments(where, order, offset), since, now)
    return reading.read(order, progress)


def _unit(source: Source, layout: Layout, said: str | None) -> str | None:
    """The unit of the column; None where each cell or row has its own."""
    if layout.unit and said and layout.unit != said:
        what = f"the heading says {layout.unit}, --unit says {said}"
        raise Unreadable(Problem("ambiguous-unit", what, "leave --unit out", source.path))
    unit = said or layout.unit
    if unit is None and layout.unit_column is None:
        for line, row in _rows(source, layout, []):
            cell = row[layout.temperature : layout.temperature + 1]
            found = read_temperature(cell[0], None) if cell else None
            if isinstance(found, Problem) and found.code == "unit-missing":
                raise Unreadable(found.placed(source.path, line))
            if found is not None:
                break
    return unit


def _rows(
    source: Source, layout: Layout, problems: list[Problem], progress: Progress | None = None
) -> Iterator[tuple[int, list[str]]]:
    """Every row that is not blank, with its line."""
    lines = islice(lines_of(source, progress), layout.after_line, None)
    reader = csv.reader(lines, delimiter=layout.delimiter, strict=True)
    while True:
        line = layout.after_line + reader.line_num + 1
        try:
            row = next(reader, None)
        except csv.Error as error:
            what = f"the quotes of this line do not close ({error})"
            problems.append(Problem("not-text", what, "", source.path, line))
            return
        if row is None:
            return
        if any(cell.strip() for cell in row):
            yield line, row


class _Reading:
    """One file on its way to days."""

    def __init__(
        self,
        source: Source,
        layout: Layout,
        unit: str | None,
        moments: Moments,
        since: datetime,
        now: datetime,
    ) -> None:
        self.source, self.layout, self.unit, self.moments = source, layout, unit, moments
        self.since_s, self.now_s = since.timestamp(), now.timestamp()
        self.now_text = f"{now.astimezone(moments.where):%Y-%m-%d %H:%M}"
        self.days = DaysLogged(moments.where)
        self.problems: list[Problem] = []
        self.wrong = 0
        self.rows = self.missing = self.before = 0
        self.before_until = 0
        self.units: set[str] = set()

    def read(self, order: str, progress: Progress | None) -> Logged:
        cut: list[Problem] = []
        rows = _rows(self.source, self.layout, cut, progress)
        for seen, (line, row) in enumerate(rows, 1):
            if seen > MOST_ROWS:
                most = f"at most {MOST_ROWS} rows are read: cut it by months"
                what = "the file has more rows than that"
                raise Unreadable(Problem("too-big", what, most, self.source.path, line))
            found = self._row(row)
            if found is not None:
                self._wrong(found, line)
        for problem in cut:
            self._wrong(problem, problem.line)
        self._stop_if_faulty()
        until = datetime.fromtimestamp(self.before_until, self.moments.where)
        return Logged(
            self.source, self.layout, order, self._unit_said(), self.moments.clock_said(),
            self.days.days(),
            self.days.last_c(), self.rows, self.missing, self.before,
            until if self.before else None, len(self.moments.doubled),
        )  # fmt: skip

    def _row(self, row: list[str]) -> Problem | None:
        layout = self.layout
        if len(row) < layout.width or any(c.strip() for c in row[layout.width :]):
            return self._odd(row)
        at_s = self.moments.read(layout.moment(row))
        if isinstance(at_s, Problem):
            return at_s
        unit = self.unit
        if layout.unit_column is not None and unit is None:
            unit = _row_unit(row[layout.unit_column])
        temp_c = read_temperature(row[layout.temperature], unit)
        if isinstance(temp_c, Problem):
            return temp_c
        if at_s > self.now_s:
            what = f"{quoted(layout.moment(row))} has not come yet, it is {self.now_text}"
            return Problem("in-future", what, "the logger's clock was wrong")
        self.rows += 1
        if temp_c is None:
            self.missing += 1
        elif at_s < self.since_s:
            self.before += 1
            self.before_until = max(self.before_until, at_s)
        else:
            self.days.add(at_s, temp_c)
        return None

    def _odd(self, row: list[str]) -> Problem:
        what = f"this line has {len(row)} cells, the heading {self.layout.width}"
        hint = "every line as many as the heading"
        if self.layout.delimiter == "," and len(row) > self.layout.width:
            hint = (
                "numbers with a decimal comma stand between quotes, or semicolons part the cells"
            )
        return Problem("wrong-kind", what, hint)

    def _wrong(self, problem: Problem, line: int) -> None:
        self.wrong += 1
        if len(self.problems) < SHOWN:
            self.problems.append(problem.placed(self.source.path, line))

    def _unit_said(self) -> str:
        return self.unit or "each row's own"

    def _stop_if_faulty(self) -> None:
        path = self.source.path
        if self.wrong > len(self.problems):
            what = f"{self.wrong} lines cannot be read, the first {SHOWN} are told"
            self.problems.append(Problem("more-problems", what, "", path))
        if not self.problems and not len(self.days):
            what = (
                f"of {self.rows} rows none has a temperature of the time since the vessel is here"
            )
            self.problems.append(Problem("nothing-to-read", what, "", path))
        if self.problems:
            raise Unreadable(*self.problems)


def _row_unit(cell: str) -> str | None:
    told = cell.strip().casefold().lstrip("\u00b0\u00ba ")
    return told[0].upper() if told[:1] in ("c", "f") else None
