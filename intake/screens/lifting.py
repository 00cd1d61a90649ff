"""The fish of a bath are out: one key on every screen, never asked about where only one runs."""

from __future__ import annotations

from typing import Any

from intake.flows.views.parts import Recorded
from intake.screens.question import PickScreen
from intake.screens.room_screen import RoomScreen

WHICH = "the one that is due first stands first; nothing holds this back."


def lift_out(screen: RoomScreen[Any]) -> None:
    """Ends the bath that runs; where several do, the one that is picked."""
    baths = sorted((t for t in screen.desk.timers if t.bath), key=lambda t: t.ends)

    def ended(entry: int) -> None:
        def wrote(_recorded: Recorded) -> None:
            left = tuple(t for t in screen.desk.timers if t.bath != entry)
            screen.desk.show_timers(left)

        screen.record(lambda jobs: jobs.bath_lift(entry), wrote)

    def picked(answer: str | None) -> None:
        if answer:
            ended(int(answer))

    if not baths:
        screen.because.say("No bath runs.", "soft")
    elif len(baths) == 1:
        ended(baths[0].bath)
    else:
        options = tuple((str(t.bath), t.where) for t in baths)
        screen.app.push_screen(PickScreen("Which are out", options, WHICH), picked)
