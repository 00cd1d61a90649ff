"""Programs that are started to be measured: an app, bare or on a room, seen from outside.

`python -m tests.bench.programs bare|screens ROOM|keys ROOM KEY...` prints one JSON object. Moments
are seconds of the monotonic clock, which the process that started it reads as well.
"""

from __future__ import annotations

import asyncio
import json
import sys
from pathlib import Path
from time import monotonic, perf_counter

SIZE = (80, 24)
PRESSES = 60
LATEST_S = 5.0
"""A key that paints nothing for so long is a mistake of the measurement."""
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


async def waits_ms(room: Path, keys: list[str]) -> list[float]:
    """From each key to the display that follows it [ms], nothing else under way."""
    from datetime import UTC, datetime

    from textual.events import Key

    from intake.clock import Clock
    from intake.flows.desk import Desk
    from intake.flows.jobs import RoomJobs
    from intake.screens.app import IntakeApp
    from intake.screens.theme import Look

    jobs = RoomJobs(Desk(room, clock=Clock(datetime(2026, 11, 25, 18, tzinfo=UTC))))
    # A clock that leaps a minute at every look: no key here is a drip, no screen dead to keys.
    ticks = iter(range(0, 10**9, 60))
    app = IntakeApp(jobs, Look(), jobs.desk.clock.now, tick=lambda: float(next(ticks)))
    displayed = asyncio.Event()
    app.post_display_hook = displayed.set  # type: ignore[method-assign]
    found: list[float] = []
    async with app.run_test(size=(120, 40)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause(0.2)
        for turn in range(PRESSES):
            await app.workers.wait_for_complete()
            await pilot.pause()
            displayed.clear()
            at = perf_counter()
            app.post_message(Key(keys[turn % len(keys)], None))
            await asyncio.wait_for(displayed.wait(), LATEST_S)
            found.append((perf_counter() - at) * 1000)
    return found


def held_mb() -> dict[str, float]:
    """The most memory this process held so far [MB], where the system tells it of one process.

    What `getrusage` tells begins with what the process that started this one held.
    """
    status = Path("/proc/self/status")
    lines = status.read_text(encoding="ascii").splitlines() if status.exists() else []
    told = [int(line.split()[1]) for line in lines if line.startswith("VmHWM")]
    return {"held_mb": told[0] / 1e3} if told else {}


def main(what: str, *words: str) -> dict[str, object]:
    """What one program saw."""
    if what == "keys":
        return {"waits_ms": asyncio.run(waits_ms(Path(words[0]), list(words[1:])))}
    if what == "bare":
        bare()
    else:
        screens(Path(words[0]))
    return {**moments, **held_mb()}


if __name__ == "__main__":
    print(json.dumps(main(*sys.argv[1:])))
