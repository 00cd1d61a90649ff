"""What fish and groups ask and write."""

from __future__ import annotations

from intake.flows.jobs import fish
from intake.flows.jobs.refusals import TwoWays
from intake.flows.views.fish import FishDetail, FishPage, FishView
from intake.flows.views.parts import Recorded


class FishJobs(TwoWays):
    """Each is one flow that commands use too; `intake.screens.jobs.Jobs` says what it is."""

    def fish(self, vessel: str) -> FishView:
        return fish.view(self.desk, vessel)

    def fish_page(self, vessel: str, start: int, count: int) -> FishPage:
        return fish.page(self.desk, vessel, start, count)

    def fish_place(self, vessel: str, name: str) -> int:
        return fish.place(self.desk, vessel, name)

    def fish_detail(self, name: str) -> FishDetail:
        return fish.detail(self.desk, name)

    def weigh(self, name: str, mass: str) -> Recorded:
        return fish.weigh(self.desk, name, mass)

    def move(
        self, name: str, count: int | None, to: str, why: str, mixing: bool = False
    ) -> Recorded:
        return fish.move(self.desk, name, count, to, why, mixing=mixing)

    def move_what_if(
        self, name: str, count: int | None, to: str, mixing: bool = False
    ) -> tuple[str, ...]:
        return fish.move_what_if(self.desk, name, count, to, mixing=mixing)
