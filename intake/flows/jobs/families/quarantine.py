"""What the calendar of the quarantines asks and writes."""

from __future__ import annotations

from collections.abc import Mapping

from intake.flows.jobs import calendar, follow_words, quarantine_record
from intake.flows.jobs.refusals import TwoWays
from intake.flows.views.calendar import CalendarView, QuarantineChoices
from intake.flows.views.parts import Recorded


class QuarantineJobs(TwoWays):
    """Each is one flow that commands use too; `intake.screens.jobs.Jobs` says what it is."""

    def calendar(self) -> CalendarView:
        return calendar.view(self.desk)

    def quarantine_choices(self) -> QuarantineChoices:
        return quarantine_record.choices(self.desk)

    def would_follow(self, kind: str, typed: Mapping[str, object]) -> tuple[str, ...]:
        return follow_words.foretold(self.desk, kind, typed)

    def quarantine_write(self, kind: str, typed: Mapping[str, object], why: str) -> Recorded:
        return quarantine_record.write_kind(self.desk, kind, typed, why)
