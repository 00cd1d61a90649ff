"""What vessels, their waterlines and their gauging ask and write."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from intake.flows.jobs import gauging, joined, lines, logger_file, vessels
from intake.flows.jobs.refusals import TwoWays
from intake.flows.views.gauging import GaugingState, SaltAsked
from intake.flows.views.joined import Apart, LinkChoices
from intake.flows.views.logged import LogLook
from intake.flows.views.parts import Recorded
from intake.flows.views.vessels import SizeQuestion, VesselsView, VesselView


class VesselJobs(TwoWays):
    """Each is one flow that commands use too; `intake.screens.jobs.Jobs` says what it is."""

    def vessels(self) -> VesselsView:
        return vessels.view(self.desk)

    def vessel(self, name: str) -> VesselView:
        return vessels.one(self.desk, name)

    def waterline(self, name: str, depth: str) -> VesselView:
        return vessels.waterline(self.desk, name, depth)

    def waterline_record(self, name: str, depth: str, by: str = "") -> Recorded:
        return lines.at_depth(self.desk, name, depth, by)

    def waterline_mark(self, name: str) -> Recorded:
        return lines.at_mark(self.desk, name)

    def sizes(self, shape: str) -> tuple[SizeQuestion, ...]:
        return vessels.sizes(self.desk, shape)

    def vessel_sketch(self, name: str, shape: str, typed: Mapping[str, str]) -> VesselView:
        return vessels.sketch(self.desk, name, shape, typed)

    def vessel_record(self, name: str, shape: str, typed: Mapping[str, str]) -> Recorded:
        return vessels.record(self.desk, name, shape, typed)

    def gravel(self, name: str, gravel: str) -> VesselView:
        return vessels.gravel(self.desk, name, gravel)

    def logger_look(
        self, vessel: str, typed: Mapping[str, str], progress: Callable[[float], None]
    ) -> LogLook:
        return logger_file.look(self.desk, vessel, typed, progress)

    def logger_record(self, vessel: str, typed: Mapping[str, str]) -> Recorded:
        return logger_file.write(self.desk, vessel, typed)

    def gauging(self, vessel: str) -> GaugingState:
        return gauging.state(self.desk, vessel)

    def salt_needed(self, vessel: str, typed: Mapping[str, str]) -> SaltAsked:
        return gauging.salt(self.desk, vessel, typed)

    def gauging_record(self, kind: str, typed: Mapping[str, str], why: str) -> Recorded:
        return gauging.write(self.desk, kind, typed, why)

    def apart(self, vessel: str) -> Apart:
        return joined.apart(self.desk, vessel)

    def apart_record(self, vessel: str, rejoin: bool) -> Recorded:
        return joined.apart_record(self.desk, vessel, rejoin)

    def link_choices(self, vessel: str) -> LinkChoices:
        return joined.link_choices(self.desk, vessel)

    def link(self, a: str, b: str, by: str, ended: bool) -> Recorded:
        return joined.link(self.desk, a, b, by, ended)
