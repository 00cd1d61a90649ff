"""Fish: who lives in a vessel and what every look saw, day by day."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from intake.flows.views.fish import FishDetail, FishPage, FishRow, FishView
from intake.flows.views.parts import Recorded
from intake.screens.fish_lines import (
    Columns,
    columns_for,
    days_line,
    detail_lines,
    head_line,
    row_lines,
)
from intake.screens.fish_records import FishRecords
from intake.screens.question import HELP_KEY, LinesScreen, PickScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import shorten
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.rows import PagedRows

NONE_YET = "No fish here yet.  2  Receive brings them in."


class FishScreen(FishRecords):
    """A grid of grades: a dot is a look with no sign, a blank is no look."""

    MODE: ClassVar[str] = "fish"
    DATED: ClassVar[bool] = True
    HELP: ClassVar[str] = (
        "Each row is a fish or a group, each column a day: a dot is a look that saw nothing, a "
        "figure is the worst grade of that day, _ was not looked at yet. Left and right choose "
        "the day, v another vessel. a writes that all fish of this vessel are well, s what was "
        "seen on this fish, g its weight, f that it was found dead; m moves it: what that would "
        "do is shown first, and into a quarantine it asks whether it is a mixing test. l writes a "
        "slide of this fish, c a wet contact of its water. d shows the doses it met and the whole "
        "record of one. u corrects an entry of this fish."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("down", "↑ ↓", "Fish"),
        Foot("enter", "enter", "Open"),
        Foot("f", "f", "Dead"),
        Foot("m", "m", "Move"),
        Foot("u", "u", "Correct"),
        Foot("slash", "/", "Find"),
        HELP_KEY,
    )
    BUTTONS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("all_well", "a", "All well"),
        ("seen", "s", "Something seen"),
        ("weigh", "g", "Weigh"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "day(1)", show=False),
        Binding("right", "day(-1)", show=False),
        Binding("a", "all_well", show=False),
        Binding("s", "seen", show=False),
        Binding("g", "weigh", show=False),
        Binding("m", "move", show=False),
        Binding("u", "correct", show=False),
        Binding("v", "vessel", show=False),
        Binding("d", "doses", show=False),
        Binding("l", "slide", show=False),
        Binding("c", "contact", show=False),
        Binding("f", "dead", show=False),
        Binding("slash", "find", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.view: FishView | None = None
        self.detail: FishDetail | None = None
        self.vessel = ""
        self.day = 0
        self._wanted = ""

    def compose_body(self) -> ComposeResult:
        """Head, days, the list, the fish under the cursor."""
        yield Lines(self._head, id="head")
        yield PagedRows[FishRow](self._row, height=1, id="rows")
        yield Lines(self._detail, id="detail", classes="tall")

    def on_mount(self) -> None:
        """The list has the keys."""
        self.rows.focus()

    @property
    def rows(self) -> PagedRows[FishRow]:
        """The list."""
        return self.query_one("#rows", PagedRows)

    def appeared(self) -> None:
        """The vessel the keeper stands at, or the fish that was looked for."""
        self._wanted = self.desk.take("fish") or self.desk.take("group")
        vessel = self.desk.take("vessel") or self.vessel or self.desk.here
        if self._wanted:
            vessel = ""
        self._load(vessel)

    def wrong_vessel(self) -> str:
        """The vessel shown."""
        return self.vessel

    def _load(self, vessel: str) -> None:
        self.vessel = vessel
        self.ask(lambda jobs: jobs.fish(vessel), self._show)

    def _show(self, view: FishView) -> None:
        self.view = view
        self.rows.begin(view.total)
        self.query_one("#head", Lines).refresh(layout=True)
        self._size_rows()
        if not view.total:
            self.detail = None
            self.because.explain(view.because)
            self.query_one("#detail", Lines).refresh()
        elif self._wanted:
            self.ask(lambda jobs: jobs.fish_place(self.vessel, self._wanted), self._go)

    def _go(self, at: int) -> None:
        self._wanted = ""
        self.rows.move_to(at)

    def laid_out(self) -> None:
        """The list takes what its rows need, the detail the rest."""
        self._size_rows()

    def _size_rows(self) -> None:
        body = self.query_one("#body").size.height
        total = self.view.total if self.view else 1
        room = max(3, body - 3 - max(5, body // 2))
        self.rows.styles.height = max(1, min(total, room))
        self.rows.refresh(layout=True)

    def columns(self, width: int) -> Columns:
        """The cells of a row at this width."""
        return columns_for(width, len(self.view.days) if self.view else 1, self.day)

    # what is drawn

    def _head(self, width: int, look: Look) -> list[Content]:
        view = self.view
        if view is None:
            return [look.say(("Fish", "bold"), ("  · · ·", "faint")), Content("")]
        lines = [head_line(view, width, look), Content("")]
        if view.total:
            lines.append(days_line(view.days, self.columns(width), look))
        return lines

    def _row(self, row: FishRow, here: bool, width: int, look: Look) -> list[Content]:
        return row_lines(row, here, self.columns(width - 4), look)

    def _detail(self, width: int, look: Look) -> list[Content]:
        if self.view is not None and not self.view.total:
            return [look.say((shorten(NONE_YET, width), "ink"))]
        if self.detail is None:
            return []
        rows = self.query_one("#detail").size.height - 1
        return [Content(""), *detail_lines(self.detail, self.columns(width), width, rows, look)]

    @on(PagedRows.PageWanted)
    def _page_wanted(self, event: PagedRows.PageWanted) -> None:
        start, count, vessel = event.start, event.count, self.vessel

        def given(page: FishPage) -> None:
            if vessel == self.vessel:
                self.rows.give(page.before, page.rows)

        self.ask(lambda jobs: jobs.fish_page(vessel, start, count), given, group=f"page {start}")

    @on(PagedRows.Moved)
    def _moved(self) -> None:
        row = self.rows.row
        if row is not None:
            self.ask(lambda jobs: jobs.fish_detail(row.name), self._told, group="detail")

    def _told(self, detail: FishDetail) -> None:
        self.detail = detail
        self.because.explain(detail.because)
        self.query_one("#detail", Lines).refresh()

    @on(PagedRows.Opened)
    def _opened(self) -> None:
        detail = self.detail
        if detail is not None:
            words = tuple(f"{line.when}  {line.text} {line.quoted}" for line in detail.lines)
            weights = tuple(f"{when}  {mass}" for when, mass in detail.weights)
            self.app.push_screen(
                LinesScreen(f"{detail.name}, {detail.detail}", words + weights, detail.because)
            )

    def action_day(self, by: int) -> None:
        """The day before or after."""
        days = self.columns(self.query_one("#head").content_size.width).days
        self.day = max(0, min(self.day + by, days - 1))
        self.query_one("#head", Lines).refresh()

    def written(self, recorded: Recorded) -> None:
        """The list again, with what was recorded."""
        del recorded
        self._load(self.vessel)

    def action_vessel(self) -> None:
        """Another vessel, or all."""
        if self.view is None:
            return
        options = [("", "all fish"), *((name, f"{name}  {n}") for name, n in self.view.vessels)]
        question = PickScreen("Which vessel?", tuple(options), "one vessel at a time is a round.")
        self.app.push_screen(question, self._picked_vessel)

    def _picked_vessel(self, vessel: str | None) -> None:
        if vessel is not None:
            self.desk.here = vessel or self.desk.here
            self._load(vessel)

    def action_find(self) -> None:
        """Finds a fish by any part of its name."""
        from intake.screens.find import FindScreen

        self.app.push_screen(FindScreen())
