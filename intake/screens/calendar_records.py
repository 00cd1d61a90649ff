"""What the keys of Calendar write, each for the water system under the cursor."""

from __future__ import annotations

from datetime import date

from intake.flows.views.calendar import CalendarView, Proposal, SystemStrip
from intake.flows.views.parts import Recorded
from intake.screens.room_screen import RoomScreen


class CalendarRecords(RoomScreen[None]):
    """The jobs of the calendar; the days and how they are drawn are in the screen itself."""

    view: CalendarView | None
    cursor: date

    @property
    def strip(self) -> SystemStrip | None:
        """The water system under the cursor."""
        raise NotImplementedError

    def written(self, recorded: Recorded) -> None:
        """Shows the dates again after something was recorded."""
        raise NotImplementedError

    def action_open(self) -> None:
        """The tasks of the day and the release checks, each with what can be done about it."""
        from intake.screens.open_day import OpenDayScreen

        strip, view = self.strip, self.view
        if strip is None or view is None:
            return
        opened = OpenDayScreen(view, strip.system, self.cursor)
        self.app.push_screen(opened, lambda _: self.appeared())

    def action_settle(self) -> None:
        """A proposed restart is kept or begins the days again."""
        from intake.screens.restart import ask_settle

        found = self.view.proposals if self.view else ()
        if not found:
            self.because.say("No restart is proposed.", "soft")
            return
        ask_settle(self, self._own_first(found), self.written)

    def _own_first(self, found: tuple[Proposal, ...]) -> tuple[Proposal, ...]:
        here = self.strip.system if self.strip else ""
        return tuple(sorted(found, key=lambda p: (p.system != here, p.hours_left)))

    def action_begin(self) -> None:
        """A quarantine begins on a water."""
        from intake.screens.begin_quarantine import begin_quarantine

        begin_quarantine(self, self.written)

    def action_contact(self) -> None:
        """Something wet went from one water to another."""
        from intake.screens.contact import ask_contact

        ask_contact(self, self.strip.system if self.strip else "", self.written)

    def action_slide(self) -> None:
        """A slide of a fish of this water."""
        from intake.screens.slides import ask_slide

        ask_slide(self, self.strip.system if self.strip else "", "", self.written)

    def action_correct(self) -> None:
        """An entry of this water, said better or taken back."""
        from intake.screens.correct import begin_correct

        if self.strip is not None:
            begin_correct(self, self.strip.system, self.written)

    def action_papers(self) -> None:
        """The calendar on paper, or as events for another one."""
        from intake.screens.papers import ask_calendar

        ask_calendar(self, self.strip.system if self.strip else "")
