"""Programs that are started to be measured: an app, bare or on a room, seen from outside.

`python -m tests.bench.programs bare|screens ROOM` prints one JSON object. Moments are seconds of
the monotonic clock, which the process that started it reads as well.
"""

from __future__ import annotations

import asyncio
import json
import sys
from pathlib import Path
from time import monotonic

SIZE = (80, 24)
moments: dict[str, float] = {}
"""When something was seen for the first time."""


def bare() -> None:
    """The least Textual app that looks like one: two bars and a text."""
    from textual.app import App, ComposeResult
    from textual.widgets import Footer, Header, Static

    class BareApp(App[None]):
        def compose(self) -> ComposeResult:
            yield Header()
            yield Static("something to read")
            yield Footer()

        def post_display_hook(self) -> None:
            if self.query_one(Static).region:
                moments.setdefault("painted", monotonic())

    async def seen() -> None:
        async with BareApp().run_test(size=SIZE) as pilot:
            await pilot.pause()

    asyncio.run(seen())


def screens(room: Path) -> None:
    """The program's screens, opened as `intake` opens them, until the round stands there."""
    from datetime import UTC, datetime

    from intake.clock import Clock
    from intake.flows.desk import Desk
    from intake.screens import start
    from intake.screens.app import IntakeApp
    from intake.screens.widgets.walk import WalkList

    def displayed(app: IntakeApp) -> None:
        walk = app.screen.query(WalkList)
        if walk and walk.first().region:
            moments.setdefault("painted", monotonic())
            if walk.first().stops:
                moments.setdefault("filled", monotonic())

    async def seen(app: IntakeApp) -> None:
        async with app.run_test(size=SIZE) as pilot:
            while "filled" not in moments:
                await pilot.pause(0.01)

    # The app is made where `intake` makes it, so it is watched through its class.
    watched = {"post_display_hook": displayed, "run": lambda app: asyncio.run(seen(app))}
    for name, method in watched.items():
        setattr(IntakeApp, name, method)
    start.run_app(Desk(room, clock=Clock(datetime(2026, 11, 25, 18, tzinfo=UTC))))


def held_mb() -> dict[str, float]:
    """The most memory this process held so far [MB], where the system tells it of one process.

    What `getrusage` tells begins with what the process that started this one held.
    """
    status = Path("/proc/self/status")
    lines = status.read_text(encoding="ascii").splitlines() if status.exists() else []
    told = [int(line.split()[1]) for line in lines if line.startswith("VmHWM")]
    return {"held_mb": told[0] / 1e3} if told else {}


if __name__ == "__main__":
    if sys.argv[1] == "bare":
        bare()
    else:
        screens(Path(sys.argv[2]))
    print(json.dumps(moments | held_mb()))
