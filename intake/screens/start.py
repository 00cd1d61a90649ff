"""Opens the screens on a room, or the first start where there is none."""

from __future__ import annotations

import os
import sys
from functools import cached_property
from typing import TYPE_CHECKING, cast

from intake.flows.desk import Desk
from intake.screens.app import IntakeApp
from intake.screens.theme import decide_look

if TYPE_CHECKING:
    from intake.flows.jobs import RoomJobs
    from intake.screens.jobs import Jobs


class LateJobs:
    """The jobs of a room, imported by the worker that first asks: first comes the picture."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk

    @cached_property
    def _jobs(self) -> RoomJobs:
        from intake.flows.jobs import RoomJobs

        return RoomJobs(self._desk)

    def __getattr__(self, name: str) -> object:
        return getattr(self._jobs, name)


def run_app(desk: Desk, mode: str = "today") -> int:
    """Runs the screens until the keeper leaves; the exit code of the program."""
    encoding = getattr(sys.stderr, "encoding", None) or "ascii"
    look = decide_look(os.environ, encoding, windows=os.name == "nt")
    jobs = cast("Jobs", LateJobs(desk))
    app = IntakeApp(jobs, look, lambda: desk.clock.now().astimezone())
    app.begin(mode, first=not desk.room.exists())
    app.run()
    return app.return_code or 0
