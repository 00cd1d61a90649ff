"""Today: the round, vessel by vessel in the order of the feet, clean to dirty."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.content import Content

from intake.flows.views.parts import Recorded
from intake.flows.views.today import RoundStop, SeenChoice, TodayView
from intake.screens.question import HELP_KEY, FormScreen, PickScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.theme import Look
from intake.screens.today_lines import (
    alert_lines,
    by_urgency,
    headline_lines,
    segment_lines,
    sheet_lines,
)
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.quantity_field import Asked
from intake.screens.widgets.walk import WalkList

WATER_TEST = (
    Asked("temp", "temperature", "temperature", "C"),
    Asked("ph", "pH", "ph"),
    Asked("tan", "TAN", "tan", "mg/L as N"),
    Asked("kh", "KH", "alkalinity", "dKH"),
    Asked("no2", "NO2", "nitrogen", "mg/L"),
)
"""What a daily test asks; more readings have their own command."""


class TodayScreen(RoomScreen[None]):
    """Walk the round: all well, something seen, or a water test at each vessel."""

    MODE: ClassVar[str] = "today"
    HELP: ClassVar[str] = (
        "The list is the walk, clean vessels first, in the order of your feet. Stand at a vessel "
        "and press a when every fish there was looked at and nothing was seen; s to write down "
        "what was seen; w for a water test. A rule across the list says wash hands. A vessel "
        "that is done folds to one line; u takes back the last line, with a reason."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("d", "d", "Dose"),
        Foot("c", "c", "Change"),
        Foot("k", "k", "Skip"),
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
        Binding("slash", "find", show=False),
        Binding("u", "correct", show=False),
        Binding("e", "alerts", show=False),
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
        for name in ("headline", "segments", "alert", "sheet"):
            self.query_one(f"#{name}", Lines).refresh(layout=True)
        self.desk.here = self.stop.vessel if self.stop else ""
        if self._said is None:
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

    # what is recorded

    def _recorded(self, recorded: Recorded) -> None:
        self._said = recorded
        self.ask(lambda jobs: jobs.today(), self._show)

    def action_all_well(self) -> None:
        """Writes one look for every fish of the vessel."""
        stop = self.stop
        if stop is None:
            return
        if stop.done_text:
            self.because.say(f"{stop.vessel} is done: {stop.done_text}. u takes it back.", "soft")
            return
        self.record(lambda jobs: jobs.all_well(stop.vessel), self._recorded)

    def action_seen(self) -> None:
        """Fish, sign, grade."""
        stop = self.stop
        if stop is not None:
            self.ask(lambda jobs: jobs.seen_choice(stop.vessel), self._seen)

    def _seen(self, choice: SeenChoice) -> None:
        from intake.screens.seen import Seen, SeenScreen

        def answered(seen: Seen | None) -> None:
            if seen is not None:
                self.record(
                    lambda jobs: jobs.seen(seen.subject, seen.sign, seen.grade, seen.affected),
                    self._recorded,
                )

        self.app.push_screen(SeenScreen(choice), answered)

    def action_reading(self) -> None:
        """A water test of the vessel under the cursor."""
        stop = self.stop
        if stop is None:
            return

        def answered(typed: Mapping[str, str] | None) -> None:
            if typed:
                self.record(lambda jobs: jobs.reading(stop.vessel, typed), self._recorded)

        why = "a reading counts for the whole water system; what was not read stays empty."
        self.app.push_screen(FormScreen(f"Water test  {stop.vessel}", WATER_TEST, why), answered)

    def action_change(self) -> None:
        """How much water was changed."""
        stop = self.stop
        if stop is None:
            return

        def answered(typed: Mapping[str, str] | None) -> None:
            if typed:
                self.record(lambda jobs: jobs.change(stop.vessel, typed["volume"]), self._recorded)

        asked = (Asked("volume", "water changed", "volume", "L", needed=True),)
        why = "a change takes medicine and salt out with the water; what is due again is offered."
        self.app.push_screen(FormScreen(f"Change  {stop.vessel}", asked, why), answered)

    def action_dose(self) -> None:
        """Goes to Dose with this vessel."""
        stop = self.stop
        if stop is None:
            return
        due = next((t for t in stop.tasks if t.kind == "dose" and t.state != "done"), None)
        self.desk.carry(vessel=stop.vessel, task=due.id if due else "")
        self.app.call_later(self.app.switch_mode, "dose")

    def action_skip(self) -> None:
        """Skips a task, with a reason."""
        stop = self.stop
        tasks = [t for t in stop.tasks if t.state in ("due", "overdue")] if stop else []
        if not tasks or self.view is None:
            self.because.say("Nothing is due here to skip.", "soft")
            return
        reasons = tuple((reason, reason) for reason in self.view.skip_reasons)

        def because_of(why: str | None, task: str) -> None:
            if why:
                self.record(lambda jobs: jobs.skip(task, why), self._recorded)

        def chosen(task: str | None) -> None:
            if task:
                why = "a skipped task stays in the journal with its reason."
                question = PickScreen("Why is it skipped?", reasons, why)
                self.app.push_screen(question, lambda reason: because_of(reason, task))

        if len(tasks) == 1:
            chosen(tasks[0].id)
            return
        options = tuple((t.id, f"{t.text} {t.figure} {t.at}".strip()) for t in tasks)
        why = "one task is skipped, the others stay due."
        self.app.push_screen(PickScreen("Which task is skipped?", options, why), chosen)

    def action_correct(self) -> None:
        """Takes back the last line of this vessel, with a reason."""
        stop = self.stop
        entry = stop.last_entry if stop else None
        if stop is None or entry is None:
            self.because.say("Nothing was recorded here today.", "soft")
            return

        def answered(why: str | None) -> None:
            if why:
                self.record(lambda jobs: jobs.correct_void(entry, why), self._recorded)

        from intake.screens.correct import WHY, reasons

        title = f"Take back  {stop.vessel}: {stop.done_text or f'entry {entry}'}"
        self.app.push_screen(PickScreen(title, reasons(), WHY), answered)

    def action_find(self) -> None:
        """Finds a vessel, a fish, a group, a shipment."""
        from intake.screens.find import FindScreen

        self.app.push_screen(FindScreen())

    def action_alerts(self) -> None:
        """Everything the room says by itself."""
        from intake.screens.alerts import AlertsScreen

        if self.view and self.view.alerts:
            alerts = tuple(sorted(self.view.alerts, key=by_urgency))
            self.app.push_screen(AlertsScreen(alerts))
