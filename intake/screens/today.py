"""Today: the round, vessel by vessel in the order of the feet, clean to dirty."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.content import Content

from intake.flows.views.parts import Recorded
from intake.flows.views.today import RoundStop, TodayView
from intake.screens.calendar_lines import proposal_line
from intake.screens.question import HELP_KEY
from intake.screens.theme import Look
from intake.screens.today_lines import (
    alert_lines,
    by_urgency,
    headline_lines,
    segment_lines,
    sheet_lines,
)
from intake.screens.today_records import TodayRecords
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.walk import WalkList


class TodayScreen(TodayRecords):
    """Walk the round: all well, something seen, or a water test at each vessel."""

    MODE: ClassVar[str] = "today"
    DATED: ClassVar[bool] = True
    HELP: ClassVar[str] = (
        "The list is the walk, clean vessels first, in the order of your feet. Stand at a vessel "
        "and press a when every fish there was looked at and nothing was seen; s to write down "
        "what was seen; y how they ate; g what was fed; w for a water test. A rule across the "
        "list says wash hands. t lists what is due here, each done or skipped; k skips at once. "
        "f writes down a death. x stops a treatment, which is never held back. e opens what the "
        "room says; j settles a proposed restart. A vessel that is done folds to one line; u "
        "corrects an entry. r keeps scales, kits, bottles, people and what the tap's water is."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("d", "d", "Dose"),
        Foot("c", "c", "Change"),
        Foot("t", "t", "Tasks"),
        Foot("f", "f", "Dead"),
        Foot("slash", "/", "Find"),
        Foot("u", "u", "Correct"),
        HELP_KEY,
    )
    BUTTONS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("all_well", "a", "All well"),
        ("seen", "s", "Something seen"),
        ("reading", "w", "Water test"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "all_well", show=False),
        Binding("s", "seen", show=False),
        Binding("w", "reading", show=False),
        Binding("d", "dose", show=False),
        Binding("c", "change", show=False),
        Binding("k", "skip", show=False),
        Binding("t", "tasks", show=False),
        Binding("f", "dead", show=False),
        Binding("x", "stop", show=False),
        Binding("y", "appetite", show=False),
        Binding("g", "feed", show=False),
        Binding("slash", "find", show=False),
        Binding("u", "correct", show=False),
        Binding("e", "alerts", show=False),
        Binding("r", "room", show=False),
        Binding("j", "settle", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.view: TodayView | None = None
        self._said: Recorded | None = None

    def compose_body(self) -> ComposeResult:
        """Headline, the walk as segments, what the room says by itself, the list."""
        yield Lines(self._headline, id="headline")
        yield Lines(self._segments, id="segments")
        yield Lines(self._alert, id="alert")
        yield Lines(self._proposed, id="proposed")
        with Horizontal(id="floor"):
            yield WalkList()
            yield Lines(self._sheet, id="sheet")

    def on_mount(self) -> None:
        """The list has the keys, so that enter only opens."""
        self.query_one(WalkList).focus()

    def appeared(self) -> None:
        """What is due may have changed while another mode was open."""
        self.ask(lambda jobs: jobs.today(), self._show)

    def wrong_vessel(self) -> str:
        """The vessel under the cursor."""
        stop = self.stop
        return stop.vessel if stop else ""

    @property
    def walk(self) -> WalkList:
        """The list."""
        return self.query_one(WalkList)

    @property
    def stop(self) -> RoundStop | None:
        """The vessel under the cursor."""
        return self.walk.stop

    def laid_out(self) -> None:
        """The side sheet is there only in the roomy layout."""
        self.query_one("#sheet").display = self.roomy

    def _show(self, view: TodayView) -> None:
        before = self.stop.vessel if self.stop else ""
        first = self.view is None
        self.view = view
        self.desk.show_timers(view.timers)
        at = next((i for i, s in enumerate(view.stops) if s.vessel == before), 0)
        if first or self._said is not None:
            at = self._next_open(at)
        self.walk.show(view.stops, at)
        for name in ("headline", "segments", "alert", "proposed", "sheet"):
            self.query_one(f"#{name}", Lines).refresh(layout=True)
        self.desk.here = self.stop.vessel if self.stop else ""
        self._explain()
        self._said = None

    def _next_open(self, at: int) -> int:
        stops = self.view.stops if self.view else ()
        order = [*range(at, len(stops)), *range(at)]
        return next((i for i in order if not stops[i].done_text), at)

    def _explain(self) -> None:
        stop = self.stop
        self.desk.here = stop.vessel if stop else ""
        self.because.explain(stop.because if stop else "")

    # what is drawn

    def _headline(self, width: int, look: Look) -> list[Content]:
        return headline_lines(self.view, width, look)

    def _segments(self, width: int, look: Look) -> list[Content]:
        return segment_lines(self.view, self.walk.cursor, width, look)

    def _alert(self, width: int, look: Look) -> list[Content]:
        return alert_lines(self.view, width, look, roomy=self.roomy)

    def _proposed(self, width: int, look: Look) -> list[Content]:
        found = self.view.proposals if self.view else ()
        return [proposal_line(found, width, look)] if found else []

    def _sheet(self, width: int, look: Look) -> list[Content]:
        return sheet_lines(self.stop, width, look) if self.stop else []

    @on(WalkList.Moved)
    def _moved(self) -> None:
        self._explain()
        self.query_one("#segments", Lines).refresh()
        self.query_one("#sheet", Lines).refresh(layout=True)

    @on(WalkList.Opened)
    def _opened(self) -> None:
        if self.stop:
            self.desk.carry(vessel=self.stop.vessel)
            self.app.call_later(self.app.switch_mode, "fish")

    def written(self, recorded: Recorded) -> None:
        """What was recorded is said once; the round shows what follows from it."""
        self._said = recorded
        self.ask(lambda jobs: jobs.today(), self._show)

    def action_find(self) -> None:
        """Finds a vessel, a fish, a group, a shipment."""
        from intake.screens.find import FindScreen

        self.app.push_screen(FindScreen())

    def action_room(self) -> None:
        """Tools, kits, bottles and people of this room."""
        from intake.screens.room_things import ask_room_thing

        ask_room_thing(self, self.written)

    def action_settle(self) -> None:
        """A proposed restart is kept or begins the days again."""
        from intake.screens.restart import ask_settle

        if self.view and self.view.proposals:
            ask_settle(self, self.view.proposals, self.written)

    def action_alerts(self) -> None:
        """Everything the room says by itself."""
        from intake.screens.alerts import AlertsScreen

        if self.view and self.view.alerts:
            alerts = tuple(sorted(self.view.alerts, key=by_urgency))
            self.app.push_screen(AlertsScreen(alerts))
