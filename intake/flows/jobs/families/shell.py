"""What every screen asks: the room, its clocks, its entries, and the first start."""

from __future__ import annotations

from collections.abc import Mapping

from intake.flows.jobs import entries, forecast, residue, shell, start
from intake.flows.jobs.refusals import TwoWays
from intake.flows.views.entries import EntryLine, EntryView
from intake.flows.views.forecast import ForecastView
from intake.flows.views.parts import Found, Recorded, RoomFacts, Timer, Wrong
from intake.flows.views.residue import ResidueView
from intake.flows.views.start import FirstStart, KeptKind


class ShellJobs(TwoWays):
    """Each is one flow that commands use too; `intake.screens.jobs.Jobs` says what it is."""

    def room(self) -> RoomFacts:
        return shell.room(self.desk)

    def timers(self) -> tuple[Timer, ...]:
        return shell.running_now(self.desk)

    def find(self, text: str) -> tuple[Found, ...]:
        return shell.find(self.desk, text)

    def wrong(self, vessel: str, rescue: str) -> Wrong:
        return shell.wrong(self.desk, vessel, rescue)

    def forecast(self, vessel: str) -> ForecastView:
        return forecast.view(self.desk, vessel)

    def residue(self, vessel: str, changes_a_day: int) -> ResidueView:
        return residue.view(self.desk, vessel, changes_a_day)

    def rescues(self) -> tuple[tuple[str, str], ...]:
        return shell.rescues()

    def correct_void(self, entry: int, why: str) -> Recorded:
        return shell.correct_void(self.desk, entry, why)

    def entries(self, subject: str) -> tuple[EntryLine, ...]:
        return entries.entries(self.desk, subject)

    def entry(self, number: int) -> EntryView:
        return entries.entry(self.desk, number)

    def correct(self, number: int, typed: Mapping[str, str], why: str) -> Recorded:
        return entries.correct(self.desk, number, typed, why)

    def first_start(self) -> FirstStart:
        return start.first_start(self.desk)

    def demo_room(self) -> None:
        self.desk = start.demo_room(self.desk)

    def room_new(self, typed: Mapping[str, str]) -> Recorded:
        return start.room_new(self.desk, typed)

    def room_things(self) -> tuple[KeptKind, ...]:
        return start.room_things(self.desk)

    def room_add(self, kind: str, typed: Mapping[str, str]) -> Recorded:
        return start.room_add(self.desk, kind, typed)
