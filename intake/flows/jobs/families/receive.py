"""What a shipment asks and writes."""

from __future__ import annotations

from collections.abc import Mapping

from intake.flows.jobs import receive
from intake.flows.jobs.refusals import TwoWays
from intake.flows.views.parts import Recorded
from intake.flows.views.receive import ReceiveList, ReceiveView


class ReceiveJobs(TwoWays):
    """Each is one flow that commands use too; `intake.screens.jobs.Jobs` says what it is."""

    def shipments(self) -> ReceiveList:
        return receive.shipments(self.desk)

    def bag(self, box: str, bag: int) -> ReceiveView:
        return receive.bag(self.desk, box, bag)

    def shipment_new(self, typed: Mapping[str, str]) -> Recorded:
        return receive.shipment_new(self.desk, typed)

    def bag_save(self, box: str, bag: int, typed: Mapping[str, str]) -> Recorded:
        return receive.bag_save(self.desk, box, bag, typed)

    def bag_new(self, box: str) -> Recorded:
        return receive.bag_new(self.desk, box)

    def claim(self, shipment: str, typed: Mapping[str, str]) -> Recorded:
        return receive.claim(self.desk, shipment, typed)

    def choose(self, box: str, bag: int, method: str, vessel: str, why: str) -> Recorded:
        return receive.choose(self.desk, box, bag, method, vessel, why)

    def checkpoint(self, box: str, bag: int, typed: Mapping[str, str]) -> Recorded:
        return receive.checkpoint(self.desk, box, bag, typed)

    def next_step(self, box: str, bag: int) -> Recorded:
        return receive.next_step(self.desk, box, bag)

    def hold(self, box: str, bag: int, on: bool) -> Recorded:
        return receive.hold(self.desk, box, bag, on)

    def settle(self, box: str, bag: int, vessel: str, typed: Mapping[str, str]) -> Recorded:
        return receive.settle(self.desk, box, bag, vessel, typed)
