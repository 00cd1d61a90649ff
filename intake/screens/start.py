"""Opens the screens on a room, or the first start where there is none."""

from __future__ import annotations

import os
import sys

from intake.flows.desk import Desk
from intake.screens.app import IntakeApp
from intake.screens.theme import decide_look


def run_app(desk: Desk, mode: str = "today") -> int:
    """Runs the screens until the keeper leaves; the exit code of the program."""
    from intake.flows.jobs import RoomJobs

    encoding = getattr(sys.stderr, "encoding", None) or "ascii"
    look = decide_look(os.environ, encoding, windows=os.name == "nt")
    app = IntakeApp(RoomJobs(desk), look, lambda: desk.clock.now().astimezone())
    app.begin(mode, first=not desk.room.exists())
    app.run()
    return app.return_code or 0
