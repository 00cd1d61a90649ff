"""Dose: what, where, how strong; then one amount to read back; then the record."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Input

from intake.flows.views.dose import DoseAsk, DoseChoices, DoseView
from intake.flows.views.parts import Recorded
from intake.screens.dose_choice import recordable
from intake.screens.dose_choosing import DoseChoosing
from intake.screens.dose_faces import CHOOSE, DONE, FEET, READ, REFUSED, WHY_CHOOSE, feet_of
from intake.screens.dose_lines import (
    amount_note,
    choosing_lines,
    done_lines,
    line_asked,
    read_lines,
    refused_head,
    strength_label,
)
from intake.screens.theme import Look
from intake.screens.widgets.blocks import need_block, never_held_back, stop_block
from intake.screens.widgets.buttons import BigButton
from intake.screens.widgets.footline import Foot, FootLine
from intake.screens.widgets.options import LETTERS
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.quantity_field import Asked, meant


class DoseScreen(DoseChoosing):
    """One dose at a time; nothing is recorded before Record."""

    MODE: ClassVar[str] = "dose"
    HELP: ClassVar[str] = (
        "Pick what, where and how strong; a dose that is due comes first. The amount is read "
        "back large and in words. Type the strength from the packet where it is asked; Record "
        "wakes when it matches. Cancel has the focus, so that enter alone records nothing. "
        "d writes down what a vet directed, its number typed twice; p picks the bottle. "
        "g writes down what went in already, whatever the limits say; x stops a treatment; b "
        "bathes fish in a bucket. A line read more than a day ago is asked for: a at the mark, l "
        "a number. "
        "The label and your vet come first."
    )
    FEET: ClassVar[tuple[Foot, ...]] = FEET[CHOOSE]
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(letter, f"letter({at})", show=False) for at, letter in enumerate(LETTERS)
    ]

    def compose_body(self) -> ComposeResult:
        """Every face has its own lines; only one shows."""
        yield Lines(self.face_lines, id="face")
        yield Input(id="target", max_length=40, classes="target")
        yield Lines(self.option_rows, id="options", classes="wide")
        yield VerticalScroll(id="refusals", can_focus=False)

    def compose_buttons(self) -> Iterable[Widget]:
        """The strength from the packet, Cancel, a gap, Record."""
        yield Lines(self._strength_label, id="packet")
        yield Input(id="strength", max_length=40)
        yield BigButton("Cancel", id="cancel")
        yield BigButton("Record dose", id="record_dose", off=True)

    # coming and going

    def appeared(self) -> None:
        """A due dose handed over is read back at once; an open one is worked out again."""
        task, vessel = self.desk.take("task"), self.desk.take("vessel")
        treatment = self.desk.take("treatment")
        if self.face == DONE or task or vessel or treatment:
            self._begin(DoseAsk(vessel=vessel, treatment=treatment, task=task))
        elif self.view is not None and self.face in (READ, REFUSED):
            self.work_out(self.face)
        else:
            self._begin(self.asked)

    def _begin(self, asked: DoseAsk) -> None:
        self.asked, self.view, self.recorded = asked, None, None
        self.query_one("#strength", Input).value = ""
        self.query_one("#target", Input).value = asked.target
        self.show_face(CHOOSE)
        self.ask(lambda jobs: jobs.dose_choices(), self._chose_from)

    def _chose_from(self, choices: DoseChoices) -> None:
        self.choices = choices
        task = self.asked.task
        due = next((d for d in choices.due if task and d.task == task), None)
        if due is not None:
            self.asked = replace(
                self.asked, treatment=due.treatment, course=due.course, vessel=due.vessel
            )
            self.work_out(READ)
            return
        self.line = 0 if not self.asked.treatment else 1 if not self.asked.vessel else 2
        self.cursor = 0
        self.show_face(CHOOSE)

    def work_out(self, face: str) -> None:
        """Asks for the amount; a refusal shows all that bars the way at once."""
        asked = self.asked

        def worked(view: DoseView) -> None:
            if self.recorded is not None:
                return  # recorded meanwhile: what is read back is not open any more
            self.view = view
            barred = bool(view.stops or view.needs)
            self.show_face(REFUSED if barred and face != CHOOSE else face)

        self.ask(lambda jobs: jobs.dose(asked), worked, group="dose")

    def show_face(self, face: str) -> None:
        before, self.face = self.face, face
        self.query_one("#face", Lines).show(self.face_lines)
        self.query_one("#options").display = face == CHOOSE and self.line < 2
        self.query_one("#options", Lines).show(self.option_rows)
        target = self.query_one("#target", Input)
        target.display = face == CHOOSE and self.line == 2
        refusals = self.query_one("#refusals")
        refusals.display = face == REFUSED
        self.query_one("#buttons").display = face in (READ, DONE)
        self._buttons()
        self.query_one(FootLine).show(feet_of(face, self.view))
        if face == REFUSED:
            self._show_refusals(refusals)
        if target.display:
            target.focus()
        elif face != before or face == CHOOSE:
            self._first_focus()
        self._explain()

    def _first_focus(self) -> None:
        if self.face in (READ, DONE):
            self.query_one("#cancel").focus()
        else:
            self.set_focus(None)

    def _show_refusals(self, place: Widget) -> None:
        view = self.view
        if view is None:
            return
        roomy = self.size.height >= 24
        place.remove_children()
        blocks: list[Widget] = [stop_block(stop, roomy=roomy) for stop in view.stops]
        blocks += [need_block(need) for need in view.needs]
        if view.lines:
            blocks.append(Lines(lambda width, look: line_asked(view, width, look)))
        place.mount_all([*blocks, Lines(never_held_back)])

    def _buttons(self) -> None:
        view = self.view
        asks = self.face == READ and view is not None and view.asks_strength
        self.query_one("#packet").display = asks and self.size.width >= 60
        self.query_one("#packet", Lines).refresh()
        strength = self.query_one("#strength", Input)
        strength.display = asks
        strength.placeholder = "" if self.query_one("#packet").display else "strength"
        record = self.query_one("#record_dose", BigButton)
        record.display = self.face == READ
        record.disabled = not self.may_record
        cancel = self.query_one("#cancel", BigButton)
        cancel.label = "Back to the round" if self.face == DONE else "Cancel"
        cancel.refresh()
        record.refresh()

    @property
    def may_record(self) -> bool:
        """Everything known, every reason picked, the packet's strength the one worked with."""
        return not self.saving and recordable(self.view, self.asked)

    def laid_out(self) -> None:
        """The buttons say less where there is no room."""
        if self.is_mounted and self.view is not None:
            self._buttons()

    def small_note(self) -> str:
        """The plain amount, so that a small window never hides an open dose."""
        return amount_note(self.view) if self.face == READ else ""

    # what is drawn

    def face_lines(self, width: int, look: Look) -> list[Content]:
        view = self.view
        if self.face == DONE and view is not None and self.recorded is not None:
            return done_lines(view, self.recorded, width, look)
        if self.face == READ and view is not None:
            return read_lines(view, width, self.query_one("#body").size.height, look)
        if self.face == REFUSED and view is not None:
            return refused_head(view, width, look)
        return choosing_lines(view, self.line, self.answers(), width, look)

    def _strength_label(self, width: int, look: Look) -> list[Content]:
        return strength_label(self.view, width, look)

    def _explain(self) -> None:
        view = self.view
        if self.face == CHOOSE:
            self.because.explain(WHY_CHOOSE[self.line])
        elif self.face == DONE and self.recorded is not None:
            self.because.say(f"recorded {self.recorded.at}, key u on Today corrects it")
        elif view is not None:
            self.because.explain(view.because)

    # the read-back

    def action_letter(self, at: int) -> None:
        """A letter of the list; on the read-back h, r, e, v and m have their own work."""
        if self.face == CHOOSE:
            self.pick(at)
            return
        work = {
            "h": self.how,
            "r": self.reason,
            "e": self.choose_target,
            "v": self.choose_vessel,
            "g": self.given,
            "x": self.stop_it,
            "b": self.bathe,
            "a": self.at_mark,
            "l": self.read_line,
            "d": self.direct,
            "p": self.bottle,
        }
        if self.face == REFUSED:
            work["m"] = self.measure
        if self.face in (READ, REFUSED) and LETTERS[at] in work:
            work[LETTERS[at]]()

    @on(Input.Changed, "#strength")
    def _strength_typed(self, event: Input.Changed) -> None:
        event.stop()
        if self.view is None or self.face != READ:
            return
        asked = Asked("strength", "strength", "strength", self.view.strength_unit)
        self.asked = replace(self.asked, strength=meant(event.value, asked))
        self.view = before = replace(self.view, strength_matches=None)
        self._buttons()

        def worked(view: DoseView) -> None:
            if view.ready:
                self.view = view
                self.show_face(READ)
                return
            # Half a number is not yet a mistake: the read-back stays, Record stays off.
            self.view = replace(before, strength_matches=False)
            self._buttons()
            if view.stops:
                self.because.say(view.stops[0].text, "care")

        typed = self.asked
        if typed.strength:
            self.ask(lambda jobs: jobs.dose(typed), worked, group="dose")

    @on(Input.Submitted, "#strength")
    def _strength_entered(self, event: Input.Submitted) -> None:
        event.stop()
        self.query_one("#cancel").focus()

    def action_cancel(self) -> None:
        """Nothing is recorded; back to the round."""
        self.action_back()

    def action_back(self) -> None:
        """Leaves the dose as if it had not been asked for."""
        self.asked, self.view, self.recorded = DoseAsk(), None, None
        self.face, self.line, self.cursor, self.opened = CHOOSE, 0, 0, ()
        self.app.call_later(self.app.switch_mode, "today")

    def action_record_dose(self) -> None:
        """Records exactly the amount that was read back."""
        view = self.view
        if view is None or view.amount is None or not self.may_record:
            return
        asked, amount = self.asked, f"{view.amount.text} {view.amount.unit}"

        def wrote(recorded: Recorded) -> None:
            self.recorded = recorded
            self.show_face(DONE)

        self.record(lambda jobs: jobs.dose_record(asked, amount), wrote)
        self._buttons()
