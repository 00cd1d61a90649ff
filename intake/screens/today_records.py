"""What the keys of Today record, each for the vessel under the cursor."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from intake.flows.views.parts import Recorded
from intake.flows.views.today import RoundStop, SeenChoice, TodayView
from intake.screens.question import FormScreen, PickScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.widgets.quantity_field import WORDS, Asked

WATER_TEST = (
    Asked("temp", "temperature", "temperature", "C"),
    Asked("ph", "pH", "ph"),
    Asked("tan", "TAN", "tan", "mg/L as N"),
    Asked("kh", "KH", "alkalinity", "dKH"),
    Asked("no2", "nitrite", "no2", "mg/L as NO2"),
)
"""What a daily test asks; more readings have their own command."""
FEED = (
    Asked("amount", "food given", "mass", "g", needed=True),
    Asked("protein", "protein, on the label", "percent", "%"),
    Asked("food", "which food", WORDS),
    Asked("eaten", "eaten: all, some, none", WORDS, one_of=("all", "some", "none")),
)
"""What is asked of a feed."""
APPETITES = (("all", "all of it"), ("some", "some of it"), ("none", "nothing"))


class TodayRecords(RoomScreen[None]):
    """The jobs of the round; the list and what is drawn are in the screen itself."""

    view: TodayView | None

    @property
    def stop(self) -> RoundStop | None:
        """The vessel under the cursor."""
        raise NotImplementedError

    def written(self, recorded: Recorded) -> None:
        """Shows the round again after something was recorded."""
        raise NotImplementedError

    def action_all_well(self) -> None:
        """Writes one look for every fish of the vessel."""
        stop = self.stop
        if stop is None:
            return
        if stop.done_text:
            self.because.say(f"{stop.vessel} is done: {stop.done_text}. u takes it back.", "soft")
            return
        self.record(lambda jobs: jobs.all_well(stop.vessel), self.written)

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
                    self.written,
                )

        self.app.push_screen(SeenScreen(choice), answered)

    def action_reading(self) -> None:
        """A water test of the vessel under the cursor."""
        stop = self.stop
        if stop is None:
            return

        def answered(typed: Mapping[str, str] | None) -> None:
            if typed:
                self.record(lambda jobs: jobs.reading(stop.vessel, typed), self.written)

        basis = self.view.tan_basis if self.view else ""
        unit = f"mg/L as {basis or 'N'}"
        asked = tuple(replace(a, unit=unit) if a.field == "tan" else a for a in WATER_TEST)
        why = "a reading counts for the whole water system; what was not read stays empty."
        self.app.push_screen(FormScreen(f"Water test  {stop.vessel}", asked, why), answered)

    def action_change(self) -> None:
        """How much water was changed, and what that does."""
        from intake.screens.change import ask_change

        stop = self.stop
        if stop is not None:
            ask_change(self, stop.vessel, self.written)

    def action_feed(self) -> None:
        """Food given to the vessel under the cursor."""
        stop = self.stop
        if stop is None:
            return

        def answered(typed: Mapping[str, str] | None) -> None:
            if typed:
                self.record(lambda jobs: jobs.feed(stop.vessel, typed), self.written)

        why = "what a day's feed is tells when the next water change is due."
        self.app.push_screen(FormScreen(f"Feed  {stop.vessel}", FEED, why), answered)

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
                self.record(lambda jobs: jobs.skip(task, why), self.written)

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

    def action_appetite(self) -> None:
        """How the whole vessel ate, as one look."""
        stop = self.stop
        if stop is None:
            return

        def answered(ate: str | None) -> None:
            if ate:
                self.record(lambda jobs: jobs.appetite(stop.vessel, ate), self.written)

        why = "one look at all of them; a release needs fish that eat."
        question = PickScreen(f"How much did they eat?  {stop.vessel}", APPETITES, why)
        self.app.push_screen(question, answered)

    def action_tasks(self) -> None:
        """Everything due here, each done or skipped by itself."""
        from intake.screens.tasks import TasksScreen

        stop, view = self.stop, self.view
        if stop is None or view is None:
            return
        tasks = tuple(t for t in stop.tasks if t.id and t.state in ("due", "overdue"))
        if not tasks:
            self.because.say(f"Nothing with a date is due at {stop.vessel}.", "soft")
            return
        self.app.push_screen(TasksScreen(stop.vessel, tasks, view.skip_reasons))

    def action_dead(self) -> None:
        """A fish found dead in this vessel."""
        stop = self.stop
        if stop is not None:
            self.ask(lambda jobs: jobs.seen_choice(stop.vessel), self._dead)

    def _dead(self, choice: SeenChoice) -> None:
        from intake.screens.losses import ask_death

        ask_death(self, choice.vessel, choice.subjects, self.written)

    def action_stop(self) -> None:
        """Stops a treatment of this vessel; never held back."""
        from intake.screens.stopping import ask_stop

        stop = self.stop
        if stop is not None:
            ask_stop(self, stop.vessel, self.written)

    def action_correct(self) -> None:
        """An entry of this vessel, said better or taken back."""
        from intake.screens.correct import begin_correct

        stop = self.stop
        if stop is not None:
            begin_correct(self, stop.vessel, self.written)
