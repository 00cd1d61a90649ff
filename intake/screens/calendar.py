"""Calendar: each quarantine as a strip of days, and why a date is what it is."""

from __future__ import annotations

from datetime import date, timedelta
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from intake.drawing.daystrip import days_in_view, first_in_view
from intake.flows.views.calendar import CalendarView, DayTask, SystemStrip
from intake.flows.views.parts import Recorded
from intake.screens.calendar_day import day_lines, next_lines, why_day
from intake.screens.calendar_lines import (
    LABEL,
    legend_line,
    letter_line,
    proposal_line,
    said_line,
    short_day,
    strip_line,
    week_line,
)
from intake.screens.calendar_month import month_lines
from intake.screens.calendar_records import CalendarRecords
from intake.screens.calendar_views import MONTH, STRIP, VIEWS, WEEK, feet_of
from intake.screens.calendar_week import week_lines
from intake.screens.question import LinesScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot, FootLine
from intake.screens.widgets.lines import shorten
from intake.screens.widgets.options import first_shown
from intake.screens.widgets.painted_lines import Lines

BEHIND = 11
"""Days of the past in view at first."""

NONE_YET = "No quarantine runs.  b  begins one, or 2  Receive: with the last fish that goes in."
MOST_DAY_ROWS = 6
"""Rows of the day under the cursor where the rest needs the screen."""


class CalendarScreen(CalendarRecords):
    """Left and right are days, up and down are water systems, in each of three views."""

    MODE: ClassVar[str] = "calendar"
    DATED: ClassVar[bool] = True
    HELP: ClassVar[str] = (
        "Each line is one water system, each step one day; v shows the week of the cursor with "
        "the tasks of each day, then the month. Left and right choose the day, page up and page "
        "down a week, home goes to today; up and down choose the system. The because line says "
        "why the day is what it is, also where nothing is due, and w gives the whole chain, "
        "newest first. Dates move with temperature and with what happens: the old date stays "
        "beside the new one, and the old day says where its task went. Enter opens the day and "
        "the release checks: done, skipped, passed by a reason, released. j keeps or begins "
        "again the days of a proposed restart. b begins a quarantine, c writes a wet contact, l "
        "a slide; each shows first what would move. p makes a file of it, to print or for "
        "another calendar. u corrects an entry of this water."
    )
    FEET: ClassVar[tuple[Foot, ...]] = feet_of(STRIP)
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "day(-1)", show=False),
        Binding("right", "day(1)", show=False),
        Binding("pageup", "day(-7)", show=False),
        Binding("pagedown", "day(7)", show=False),
        Binding("home", "today", show=False),
        Binding("up", "system(-1)", show=False),
        Binding("down", "system(1)", show=False),
        Binding("enter", "open", show=False),
        Binding("v", "view", show=False),
        Binding("n", "next_due", show=False),
        Binding("w", "why", show=False),
        Binding("p", "papers", show=False),
        Binding("j", "settle", show=False),
        Binding("b", "begin", show=False),
        Binding("c", "contact", show=False),
        Binding("l", "slide", show=False),
        Binding("u", "correct", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.view: CalendarView | None = None
        self.shown = STRIP
        self._wanted = ""
        self.system = 0
        self.cursor = date.min
        self._first = date.min

    def compose_body(self) -> ComposeResult:
        """All of it is one composition, since rows depend on how many systems there are."""
        yield Lines(self._lines, id="calendar", classes="tall")

    def appeared(self) -> None:
        """Dates move with what was recorded; what was looked for is under the cursor."""
        self._wanted = self.desk.take("quarantine") or self._wanted
        self.ask(lambda jobs: jobs.calendar(), self._show)

    def written(self, recorded: Recorded) -> None:
        """Dates follow what was recorded."""
        del recorded
        self.appeared()

    def wrong_vessel(self) -> str:
        """The water system under the cursor."""
        return self.strip.system if self.strip else ""

    @property
    def strip(self) -> SystemStrip | None:
        """The water system under the cursor."""
        systems = self.view.systems if self.view else ()
        return systems[self.system] if systems else None

    @property
    def day_task(self) -> DayTask | None:
        """The task that explains the day: the first that is still open."""
        tasks = [t for t in self.strip.tasks if t.day == self.cursor] if self.strip else []
        tasks.sort(key=lambda task: (task.state not in ("due", "overdue"), not task.was))
        return tasks[0] if tasks else None

    def _show(self, view: CalendarView) -> None:
        first = self.view is None
        if self.view and self.view.today != view.today and self.cursor == self.view.today:
            self.cursor = view.today
        self.view = view
        self.system = max(0, min(self.system, len(view.systems) - 1))
        if first:
            self.cursor = view.today
            self._first = view.today - timedelta(days=BEHIND)
            names = [strip.system for strip in view.systems]
            if self.desk.here in names:
                self.system = names.index(self.desk.here)
        if self._wanted:
            self.system = next(
                (at for at, s in enumerate(view.systems) if s.system == self._wanted), self.system
            )
            self._wanted = ""
        self._moved()

    def _moved(self) -> None:
        strip, task = self.strip, self.day_task
        view = self.view
        if strip is None or view is None:
            self.because.explain(view.because if view else "")
        elif self.cursor == strip.earliest_release:
            said = f"earliest release, set by {strip.decided_by}: "
            self.because.explain(said + (strip.release_why[0] if strip.release_why else ""))
        else:
            why = task.because if task and task.because else why_day(strip, self.cursor)
            self.because.explain(why or view.because)
        self.query_one("#calendar", Lines).refresh()

    def _lines(self, width: int, look: Look) -> list[Content]:
        view, strip = self.view, self.strip
        rows = self.query_one("#body").size.height
        if view is None:
            return [look.say(("Quarantine", "bold"), ("  · · ·", "faint"))]
        if strip is None:
            return [look.say((shorten(NONE_YET, width), "ink"))]
        said = f"   {len(view.systems)} water systems   {view.headline}"
        if len(view.systems) == 1:
            said = f"   {view.headline}"
        lines = [look.say(("Quarantine", "bold"), (shorten(said, width - 10), "ink"))]
        lines.append(proposal_line(view.proposals, width, look) if view.proposals else Content(""))
        due = sum(self.cursor in (task.day, task.was) for task in strip.tasks)
        wanted = min(MOST_DAY_ROWS, 3 + max(1, due))
        tail = 1 + min(wanted, max(2, rows - len(lines) - self._least(view)))
        lines += self._days(view, strip, width, rows - len(lines) - tail, look)
        lines.append(legend_line(width, look))
        if rows - len(lines) > 1 + max(1, due):
            lines.append(Content(""))
        lines += day_lines(strip, self.cursor, view.today, width, rows - len(lines), look)
        if self.roomy:
            lines += next_lines(strip, self.cursor, width, rows - len(lines), look)
        return lines

    def _least(self, view: CalendarView) -> int:
        """Rows the days want before those of the day under the cursor."""
        return {STRIP: 3 * len(view.systems) + 4, WEEK: 10, MONTH: 9}[self.shown]

    def _days(
        self, view: CalendarView, strip: SystemStrip, width: int, rows: int, look: Look
    ) -> list[Content]:
        """The days as they are shown now: strips, one week, one month."""
        if self.shown == WEEK:
            system = shorten(strip.system, width // 2)
            monday = self.cursor - timedelta(days=self.cursor.weekday())
            said = f"   week of {monday.day} {monday:%b}   {strip.said}"
            name = look.say((system, "bold"), (shorten(said, width - len(system)), "soft"))
            return [name, *week_lines(strip, self.cursor, view.today, width, rows - 1, look)]
        if self.shown == MONTH:
            name = look.say((f"{self.cursor:%B %Y}", "bold"))
            return [name, *month_lines(view, self.system, self.cursor, width, rows - 1, look)]
        each = 3 if self.roomy else 2
        count = max(7, (width - LABEL) // each)
        self._first = first_in_view(self._first, self.cursor, count)
        days = days_in_view(self._first, count)
        heads = [
            week_line(days, each, look),
            letter_line(days, each, view.today, self.cursor, look),
        ]
        return heads + self._strips(view, days, each, width, rows - len(heads), look)

    def _strips(
        self, view: CalendarView, days: list[date], each: int, width: int, room: int, look: Look
    ) -> list[Content]:
        airy = room >= 3 * len(view.systems)
        per = 3 if airy else 2
        shown = max(1, room // per)
        start = first_shown(self.system, len(view.systems), shown)
        lines: list[Content] = []
        for at in range(start, min(len(view.systems), start + shown)):
            strip = view.systems[at]
            if airy:
                lines.append(Content(""))
            cursor = self.cursor if at == self.system else None
            lines.append(strip_line(strip, days, each, view.today, cursor, look))
            lines.append(said_line(strip, width, look))
        hidden = len(view.systems) - shown
        if hidden > 0 and len(lines) < room:
            lines.append(look.say("  ", (f"+ {hidden} more water systems", "soft")))
        return lines

    def action_day(self, by: int) -> None:
        """The day before or after."""
        if self.view:
            cursor = self.cursor + timedelta(days=by)
            self.cursor = max(self.view.first, min(cursor, self.view.last))
            self._moved()

    def action_today(self) -> None:
        """Back to today."""
        if self.view:
            self.cursor = self.view.today
            self._moved()

    def action_view(self) -> None:
        """Strip, week, month."""
        self.shown = VIEWS[(VIEWS.index(self.shown) + 1) % len(VIEWS)]
        self.query_one(FootLine).show(feet_of(self.shown))
        self._moved()

    def action_system(self, by: int) -> None:
        """The water system before or after."""
        if self.view and self.view.systems:
            self.system = max(0, min(self.system + by, len(self.view.systems) - 1))
            self.desk.here = self.view.systems[self.system].system
            self._moved()

    def action_next_due(self) -> None:
        """The next day with something still to do, in any water system."""
        if self.view is None:
            return
        due = [
            (task.day, at)
            for at, strip in enumerate(self.view.systems)
            for task in strip.tasks
            if task.state in ("due", "overdue", "upcoming")
            and (task.day, at) > (self.cursor, self.system)
        ]
        if due:
            self.cursor, self.system = min(due)
            self._moved()
        else:
            self.because.say("Nothing more is due.", "soft")

    def action_why(self) -> None:
        """The chain of causes, newest first."""
        strip, task = self.strip, self.day_task
        if strip is None:
            return
        if task is not None and task.why and self.cursor != strip.earliest_release:
            title = f"Why {task.text} on {short_day(task.day)}"
            self.app.push_screen(LinesScreen(title, task.why, task.because))
            return
        if task is None and self.cursor != strip.earliest_release:
            title = f"Why {short_day(self.cursor)} of {strip.system} is what it is"
            why = tuple(why_day(strip, self.cursor).split("; "))
            self.app.push_screen(LinesScreen(title, why, strip.release_why[0]))
            return
        when = short_day(strip.earliest_release) if strip.earliest_release else "not known"
        title = f"Why the earliest release of {strip.system} is {when}"
        self.app.push_screen(LinesScreen(title, strip.release_why, f"set by {strip.decided_by}."))
