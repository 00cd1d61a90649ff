"""What the calendar of the quarantines asks and writes."""

from __future__ import annotations

from intake.flows.jobs import calendar
from intake.flows.jobs.refusals import TwoWays
from intake.flows.views.calendar import CalendarView


class QuarantineJobs(TwoWays):
    """Each is one flow that commands use too; `intake.screens.jobs.Jobs` says what it is."""

    def calendar(self) -> CalendarView:
        return calendar.view(self.desk)
