"""What the round asks and writes."""

from __future__ import annotations

from collections.abc import Mapping

from intake.flows.jobs import change, given, losses, today, today_record
from intake.flows.jobs.refusals import TwoWays
from intake.flows.views.change import ChangeView
from intake.flows.views.parts import Recorded
from intake.flows.views.today import SeenChoice, TodayView


class TodayJobs(TwoWays):
    """Each is one flow that commands use too; `intake.screens.jobs.Jobs` says what it is."""

    def today(self) -> TodayView:
        return today.view(self.desk)

    def all_well(self, vessel: str) -> Recorded:
        return today_record.all_well(self.desk, vessel)

    def appetite(self, vessel: str, ate: str) -> Recorded:
        return today_record.appetite(self.desk, vessel, ate)

    def death(self, subject: str, typed: Mapping[str, str]) -> Recorded:
        return losses.death(self.desk, subject, typed)

    def under_way(self, vessel: str) -> tuple[tuple[str, str], ...]:
        return given.under_way(self.desk, vessel)

    def stop(self, vessel: str, treatment: str, wash_out: bool) -> Recorded:
        return given.stop(self.desk, vessel, treatment, wash_out)

    def seen_choice(self, vessel: str) -> SeenChoice:
        return today_record.seen_choice(self.desk, vessel)

    def seen(self, subject: str, sign: str, grade: int, affected: int | None) -> Recorded:
        return today_record.seen(self.desk, subject, sign, grade, affected)

    def reading(self, vessel: str, typed: Mapping[str, str]) -> Recorded:
        return today_record.reading(self.desk, vessel, typed)

    def change_foretold(self, vessel: str, typed: Mapping[str, str]) -> ChangeView:
        return change.foretold(self.desk, vessel, typed)

    def change(self, vessel: str, typed: Mapping[str, str]) -> Recorded:
        return change.change(self.desk, vessel, typed)

    def feed(self, vessel: str, typed: Mapping[str, str]) -> Recorded:
        return today_record.feed(self.desk, vessel, typed)

    def skip(self, task: str, why: str) -> Recorded:
        return today_record.skip(self.desk, task, why)

    def done(self, task: str) -> Recorded:
        return today_record.done(self.desk, task)
