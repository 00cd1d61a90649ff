"""Choosing a dose: three lines that fill from the left, what, where, how strong."""

from __future__ import annotations

from dataclasses import replace
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Input

from intake.flows.views.dose import DoseAsk, DoseChoices, DoseView
from intake.flows.views.parts import Recorded
from intake.screens.bathing import ask_bath
from intake.screens.dose_asks import ask_given, measure_needed
from intake.screens.dose_bottle import ask_bottle
from intake.screens.dose_choice import Choice, asks_reason, choices_for
from intake.screens.dose_faces import CHOOSE, DONE, READ, REFUSED
from intake.screens.dose_vet import ask_direction
from intake.screens.lines import ask_line, record_mark
from intake.screens.question import LinesScreen, PickScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.stopping import ask_stop
from intake.screens.theme import Look
from intake.screens.widgets.options import option_lines
from intake.screens.widgets.painted_lines import Lines


class DoseChoosing(RoomScreen[None]):
    """The first face of Dose; what comes after it is in the screen itself."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
        Binding("enter", "take", show=False),
        Binding("backspace", "line_back", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.face = CHOOSE
        self.asked = DoseAsk()
        self.view: DoseView | None = None
        self.choices: DoseChoices | None = None
        self.recorded: Recorded | None = None
        self.said_by_vet: dict[str, str] = {}  # typed, not stored yet
        self.line = 0
        self.cursor = 0
        self.opened: tuple[str, ...] = ()

    def answers(self) -> tuple[str, str, str]:
        choices = self.choices
        asked = self.asked
        if choices is None:
            return "", "", ""
        treatment = next((t for t in choices.treatments if t.treatment == asked.treatment), None)
        vessel = next((v for v in choices.vessels if v.vessel == asked.vessel), None)
        what = f"{treatment.title}, {asked.course}".rstrip(", ") if treatment else ""
        where = asked.vessel
        if vessel is not None:
            where = f"{vessel.vessel}  {vessel.volume.text} {vessel.volume.unit}"
            where += f", {vessel.occupants}"
        strong = asked.target or (self.view.target_range if self.view else "")
        return what, where, strong

    def choice_lines(self) -> list[Choice]:
        return choices_for(self.choices, self.line, self.opened) if self.choices else []

    def option_rows(self, width: int, look: Look) -> list[Content]:
        if self.face != CHOOSE or self.line == 2:
            return []
        if self.choices is None:
            return [look.say(("    · · ·", "faint"))]
        face = len(self.face_lines(width, look))
        rows = max(1, self.query_one("#body").size.height - face)
        shown = [(choice.words, choice.detail) for choice in self.choice_lines()]
        return option_lines(shown, self.cursor, rows, width, look)

    def action_step(self, by: int) -> None:
        """The line before or after; a refusal scrolls."""
        if self.face == REFUSED:
            self.query_one("#refusals").scroll_relative(y=by * 2, animate=False)
        if self.face == CHOOSE and self.line < 2:
            last = len(self.choice_lines()) - 1
            self.cursor = max(0, min(self.cursor + by, last))
            self.query_one("#options", Lines).refresh()

    def action_take(self) -> None:
        """Takes the line under the cursor."""
        if self.face == CHOOSE and self.line < 2 and self.choice_lines():
            self._taken(self.choice_lines()[self.cursor])

    def _taken(self, choice: Choice) -> None:
        if choice.opens:
            self.opened, self.cursor = (*self.opened, choice.opens), 0
            self.show_face(CHOOSE)
            return
        self.asked = choice.into(self.asked)
        if choice.due:
            self.work_out(READ)
            return
        self.line = 1 if not self.asked.vessel else 2
        self.cursor = 0
        if self.line == 2:
            self.work_out(CHOOSE)
        else:
            self.show_face(CHOOSE)

    def action_line_back(self) -> None:
        """One line back, what was taken there is open again."""
        if self.face == CHOOSE and not self.line and self.opened:
            self.opened, self.cursor = self.opened[:-1], 0
            self.show_face(CHOOSE)
        elif self.face == CHOOSE and self.line:
            self.line -= 1
            self.cursor = 0
            self.asked = replace(self.asked, vessel="") if self.line == 1 else DoseAsk()
            self.view = None
            self.show_face(CHOOSE)

    def choose_target(self) -> None:
        self.line = 2
        self.work_out(CHOOSE)

    def choose_vessel(self) -> None:
        self.line, self.cursor = 1, 0
        self.asked, self.view = replace(self.asked, vessel="", task=""), None
        self.show_face(CHOOSE)

    @on(Input.Submitted, "#target")
    def _target_typed(self, event: Input.Submitted) -> None:
        event.stop()
        unit = self.view.target.unit if self.view else ""
        text = event.value.strip()
        bare = text.replace(".", "", 1).isdigit()
        self.asked = replace(self.asked, target=f"{text} {unit}".strip() if bare else text)
        self.work_out(READ)

    def pick(self, at: int) -> None:
        """Takes the line with that letter."""
        if self.face == CHOOSE and self.line < 2 and at < len(self.choice_lines()):
            self._taken(self.choice_lines()[at])

    def wrong_vessel(self) -> str:
        """The vessel the dose is for."""
        return self.asked.vessel

    def how(self) -> None:
        """The working, line by line."""
        if self.view is not None:
            because = "the working, with where each number comes from."
            self.app.push_screen(LinesScreen("How it was worked out", self.view.how, because))

    def reason(self) -> None:
        """Picks the reason a warning asks for."""
        care = asks_reason(self.view, self.asked)
        if care is None:
            self.because.say("Nothing here asks for a reason.", "soft")
            return
        self.app.push_screen(
            PickScreen(care.text, care.reasons, "the reason is stored."),
            lambda reason: self._reasoned(care.code, reason),
        )

    def _reasoned(self, code: str, reason: str | None) -> None:
        if reason:
            picked = {**dict(self.asked.soft), code: reason}
            self.asked = replace(self.asked, soft=tuple(picked.items()))
            self.work_out(READ)

    def given(self) -> None:
        """What went in already, whatever the limits say."""
        view, asked = self.view, self.asked

        def wrote(recorded: Recorded) -> None:
            self.recorded = recorded
            self.show_face(DONE)

        if view is not None:
            ask_given(self, view, replace(asked, vessel=view.vessel, course=view.course), wrote)

    def measure(self) -> None:
        """The readings this dose needs."""
        if self.view is not None:
            measure_needed(self, self.view, lambda _recorded: self.work_out(READ))

    def at_mark(self) -> None:
        """The line that was read too long ago is at its mark; the dose is worked out again."""
        if self.view is not None and self.view.lines:
            record_mark(self, self.view.lines[0].vessel, lambda _recorded: self.work_out(READ))

    def read_line(self) -> None:
        """The line that was read too long ago, by the tape."""
        if self.view is not None and self.view.lines:
            name = self.view.lines[0].vessel
            self.ask(
                lambda jobs: jobs.vessel(name),
                lambda view: ask_line(self, view, lambda _recorded: self.work_out(READ)),
                group="line",
            )

    def direct(self) -> None:
        """What a vet directed, written down; the dose is worked out again with it."""

        def stored(_recorded: Recorded) -> None:
            self.said_by_vet.clear()
            self.work_out(READ)

        if self.view is not None:
            ask_direction(self, self.view, self.said_by_vet, stored)

    def bottle(self) -> None:
        """Which bottle it is taken from."""

        def taken(product: str) -> None:
            self.asked = replace(self.asked, product=product)
            self.work_out(READ)

        if self.view is not None:
            ask_bottle(self, self.view, taken, lambda _recorded: self.work_out(READ))

    def bathe(self) -> None:
        """Fish of this water into a bucket: one first, where none has met it."""
        if self.view is not None:
            ask_bath(
                self,
                self.view.treatment,
                self.view.vessel,
                lambda _recorded: self.work_out(READ),
            )

    def stop_it(self) -> None:
        """Stops a treatment of this vessel; never held back."""
        if self.view is not None:
            ask_stop(self, self.view.vessel, lambda _recorded: self.work_out(READ))

    def work_out(self, face: str) -> None:
        """Asks for the amount, then shows the face."""
        raise NotImplementedError

    def show_face(self, face: str) -> None:
        """Shows one face."""
        raise NotImplementedError

    def face_lines(self, width: int, look: Look) -> list[Content]:
        """The lines above the list."""
        raise NotImplementedError
