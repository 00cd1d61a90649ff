"""What the keys of Fish write, each for the fish under the cursor or its vessel."""

from __future__ import annotations

from collections.abc import Mapping

from intake.flows.views.fish import FishRow, FishView
from intake.flows.views.parts import Recorded
from intake.flows.views.today import SeenChoice
from intake.screens.question import FormScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.widgets.quantity_field import Asked
from intake.screens.widgets.rows import PagedRows


class FishRecords(RoomScreen[None]):
    """The jobs of the list; the rows and how they are drawn are in the screen itself."""

    view: FishView | None
    vessel: str

    @property
    def rows(self) -> PagedRows[FishRow]:
        """The list."""
        raise NotImplementedError

    def written(self, recorded: Recorded) -> None:
        """Shows the list again after something was recorded."""
        raise NotImplementedError

    def action_all_well(self) -> None:
        """One look for every fish of the vessel."""
        vessel = self.vessel
        if not vessel:
            self.because.say("Choose a vessel first: v.", "soft")
            return
        self.record(lambda jobs: jobs.all_well(vessel), self.written)

    def action_seen(self) -> None:
        """The fish is known; sign and grade are asked."""
        row = self.rows.row
        if row is not None:
            self.ask(lambda jobs: jobs.seen_choice(row.vessel), lambda c: self._seen(c, row))

    def _seen(self, choice: SeenChoice, row: FishRow) -> None:
        from intake.screens.seen import Seen, SeenScreen

        def answered(seen: Seen | None) -> None:
            if seen is not None:
                self.record(
                    lambda jobs: jobs.seen(seen.subject, seen.sign, seen.grade, seen.affected),
                    self.written,
                )

        self.app.push_screen(SeenScreen(choice, row.name), answered)

    def action_weigh(self) -> None:
        """The mass of the fish under the cursor."""
        row = self.rows.row
        if row is None:
            return

        def answered(typed: Mapping[str, str] | None) -> None:
            if typed:
                self.record(lambda jobs: jobs.weigh(row.name, typed["mass"]), self.written)

        asked = (Asked("mass", "mass", "mass", "g", needed=True),)
        why = "the mass counts for feed courses, for ammonia in a bag and for growth."
        self.app.push_screen(FormScreen(f"Weigh  {row.name}", asked, why), answered)

    def action_correct(self) -> None:
        """An entry of this fish, said better or taken back."""
        from intake.screens.correct import begin_correct

        row = self.rows.row
        if row is not None:
            begin_correct(self, row.name, self.written)

    def action_doses(self) -> None:
        """The doses this fish met, and the whole record of one."""
        from intake.screens.dose_papers import ask_doses

        row = self.rows.row
        if row is not None:
            ask_doses(self, row.name)

    def action_slide(self) -> None:
        """What was on a slide of the fish under the cursor."""
        from intake.screens.slides import ask_slide

        row = self.rows.row
        if row is not None:
            ask_slide(self, "", row.name, self.written)

    def action_contact(self) -> None:
        """Something wet went from another water to that of the fish under the cursor."""
        from intake.screens.contact import ask_contact

        row = self.rows.row
        if row is not None:
            ask_contact(self, row.vessel, self.written)

    def action_dead(self) -> None:
        """The fish under the cursor, or so many of a group, found dead."""
        from intake.screens.losses import ask_death

        row = self.rows.row
        if row is not None:
            ask_death(self, row.vessel, ((row.name, row.detail, row.count),), self.written)

    def action_move(self) -> None:
        """Moves the fish under the cursor; what it would drag in is shown first."""
        from intake.screens.move import begin_move

        row = self.rows.row
        if row is not None and self.view is not None:
            begin_move(self, row, tuple(self.view.vessels), self.view.quarantined, self.written)
