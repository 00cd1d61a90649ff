"""What the files in force ask and write."""

from __future__ import annotations

from intake.flows.jobs import protocols
from intake.flows.jobs.refusals import TwoWays
from intake.flows.views.parts import Recorded
from intake.flows.views.protocols import ProtocolsView, ProtocolText


class ProtocolJobs(TwoWays):
    """Each is one flow that commands use too; `intake.screens.jobs.Jobs` says what it is."""

    def protocols(self) -> ProtocolsView:
        return protocols.view(self.desk)

    def protocol(self, id: str) -> ProtocolText:
        return protocols.one(self.desk, id)

    def protocol_check(self, id: str, text: str) -> ProtocolText:
        return protocols.check(self.desk, id, text)

    def protocol_save(self, id: str, text: str, why: str) -> Recorded:
        return protocols.save(self.desk, id, text, why)

    def protocol_restore(self, id: str) -> Recorded:
        return protocols.restore(self.desk, id)
