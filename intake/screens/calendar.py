"""Calendar: each quarantine as a strip of days, and why a date is what it is."""

from __future__ import annotations

from datetime import date, timedelta
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from intake.drawing.daystrip import days_in_view, first_in_view
from intake.flows.views.calendar import CalendarView, DayTask, SystemStrip
from intake.screens.calendar_lines import (
    LABEL,
    day_lines,
    legend_line,
    letter_line,
    said_line,
    short_day,
    strip_line,
    week_line,
)
from intake.screens.question import HELP_KEY, LinesScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import shorten
from intake.screens.widgets.options import first_shown
from intake.screens.widgets.painted_lines import Lines

BEHIND = 11
"""Days of the past in view at first."""

NONE_YET = "No quarantine runs.  2  Receive: it begins on the day the last fish goes in."


class CalendarScreen(RoomScreen[None]):
    """Left and right are days, up and down are water systems."""

    MODE: ClassVar[str] = "calendar"
    DATED: ClassVar[bool] = True
    HELP: ClassVar[str] = (
        "Each line is one water system, each step one day. The day under the cursor shows its "
        "tasks; the because line says why they are on that day, and w gives the whole chain, "
        "newest first. Dates move with temperature and with what happens: the old date stays "
        "beside the new one. Enter opens the release checks; p makes a "
        "file of it, to print or for another calendar."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("right", "← →", "Day"),
        Foot("down", "↑ ↓", "System"),
        Foot("enter", "enter", "Open"),
        Foot("n", "n", "Next due"),
        Foot("w", "w", "Why date"),
        Foot("p", "p", "Print"),
        HELP_KEY,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "day(-1)", show=False),
        Binding("right", "day(1)", show=False),
        Binding("up", "system(-1)", show=False),
        Binding("down", "system(1)", show=False),
        Binding("enter", "open", show=False),
        Binding("n", "next_due", show=False),
        Binding("w", "why", show=False),
        Binding("p", "papers", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.view: CalendarView | None = None
        self.system = 0
        self.cursor = date.min
        self._first = date.min

    def compose_body(self) -> ComposeResult:
        """All of it is one composition, since rows depend on how many systems there are."""
        yield Lines(self._lines, id="calendar", classes="tall")

    def appeared(self) -> None:
        """Dates move with what was recorded."""
        self.ask(lambda jobs: jobs.calendar(), self._show)

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
            self.because.explain(task.because if task and task.because else view.because)
        self.query_one("#calendar", Lines).refresh()

    def _lines(self, width: int, look: Look) -> list[Content]:
        view, strip = self.view, self.strip
        rows = self.query_one("#body").size.height
        if view is None:
            return [look.say(("Quarantine", "bold"), ("  · · ·", "faint"))]
        if strip is None:
            return [look.say((shorten(NONE_YET, width), "ink"))]
        each = 3 if self.roomy else 2
        count = max(7, (width - LABEL) // each)
        self._first = first_in_view(self._first, self.cursor, count)
        days = days_in_view(self._first, count)
        said = f"   {len(view.systems)} water systems   {view.headline}"
        if len(view.systems) == 1:
            said = f"   {view.headline}"
        lines = [
            look.say(("Quarantine", "bold"), (shorten(said, width - 10), "ink")),
            Content(""),
            week_line(days, each, look),
            letter_line(days, each, view.today, self.cursor, look),
        ]
        tail = 1 + min(6, max(2, rows - len(lines) - 3 * len(view.systems) - 2))
        room = rows - len(lines) - tail
        lines += self._strips(view, days, each, width, room, look)
        lines.append(legend_line(width, look))
        due = sum(1 for task in strip.tasks if task.day == self.cursor)
        if rows - len(lines) > 1 + max(1, due):
            lines.append(Content(""))
        return lines + day_lines(strip, self.cursor, view.today, width, rows - len(lines), look)

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
        when = short_day(strip.earliest_release) if strip.earliest_release else "not known"
        title = f"Why the earliest release of {strip.system} is {when}"
        self.app.push_screen(LinesScreen(title, strip.release_why, f"set by {strip.decided_by}."))

    def action_open(self) -> None:
        """The release checks of this water system, each with its evidence."""
        strip = self.strip
        if strip is None:
            return
        texts = tuple(f"{check}: {state}. {evidence}" for check, state, evidence in strip.checks)
        why = f"release is the latest of all checks; {strip.decided_by} sets the date."
        self.app.push_screen(LinesScreen(f"Release checks  {strip.system}", texts, why))

    def action_papers(self) -> None:
        """The calendar on paper, or as events for another one."""
        from intake.screens.papers import ask_calendar

        ask_calendar(self, self.strip.system if self.strip else "")
