"""What a dose, a bath and a shelf ask and write."""

from __future__ import annotations

from collections.abc import Mapping

from intake.flows.jobs import bathing, directions, dose_choices, doses, given
from intake.flows.jobs.refusals import TwoWays
from intake.flows.views.bath import BathAsk, BathChoices, BathView
from intake.flows.views.dose import DoseAsk, DoseChoices, DoseView
from intake.flows.views.parts import Recorded
from intake.flows.views.shelf import BottleChoice, DirectionRead


class DoseJobs(TwoWays):
    """Each is one flow that commands use too; `intake.screens.jobs.Jobs` says what it is."""

    def dose_choices(self) -> DoseChoices:
        return dose_choices.choices(self.desk)

    def dose(self, ask: DoseAsk) -> DoseView:
        return doses.view(self.desk, ask)

    def dose_record(self, ask: DoseAsk, amount: str) -> Recorded:
        return doses.record(self.desk, ask, amount)

    def shelf(self, treatment: str) -> tuple[BottleChoice, ...]:
        return directions.shelf(self.desk, treatment)

    def direction_read(self, typed: Mapping[str, str]) -> DirectionRead:
        return directions.direction_read(self.desk, typed)

    def direction_record(self, typed: Mapping[str, str], again: str) -> Recorded:
        return directions.direction_record(self.desk, typed, again)

    def bath_choices(self, treatment: str, vessel: str) -> BathChoices:
        return bathing.choices(self.desk, treatment, vessel)

    def bath(self, ask: BathAsk) -> BathView:
        return bathing.view(self.desk, ask)

    def bath_begin(self, ask: BathAsk, amount: str) -> Recorded:
        return bathing.begin(self.desk, ask, amount)

    def bath_lift(self, entry: int) -> Recorded:
        return bathing.lift(self.desk, entry)

    def given(self, ask: DoseAsk, typed: Mapping[str, str]) -> Recorded:
        return given.given(self.desk, ask, typed)
