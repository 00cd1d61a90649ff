"""From Vessels: a vessel taken out of the water it shares or let in again; waters that touch."""

from __future__ import annotations

from collections.abc import Callable

from intake.flows.views.joined import Apart, LinkChoices
from intake.flows.views.parts import Recorded
from intake.screens.move import WhatIfScreen
from intake.screens.question import PickScreen
from intake.screens.room_screen import RoomScreen

Then = Callable[[Recorded], None]
END = "end:"
BY = {
    "air": "air: one pump, or mist that drifts",
    "splash": "splash from one into the other",
    "tools": "tools used in both",
}


def ask_apart(screen: RoomScreen[None], vessel: str, then: Then) -> None:
    """Shows what would follow, then records it with one key."""

    def show(view: Apart) -> None:
        title = f"Let {vessel} in again" if view.rejoin else f"Isolate {vessel}"
        screen.app.push_screen(
            WhatIfScreen(
                title,
                view.drags,
                told=view.told,
                label="Let it in" if view.rejoin else "Isolate it",
                because="nothing is recorded yet: open or shut the valve, then record it.",
            ),
            lambda yes: record(view.rejoin) if yes else None,
        )

    def record(rejoin: bool) -> None:
        screen.record(lambda jobs: jobs.apart_record(vessel, rejoin), then)

    screen.ask(lambda jobs: jobs.apart(vessel), show)


def ask_link(screen: RoomScreen[None], vessel: str, then: Then) -> None:
    """Which water it touches, and by what; or which link there is no longer."""

    def show(view: LinkChoices) -> None:
        ends = tuple(
            (f"{END}{at}", f"no longer: {words}") for at, (_, _, _, words) in enumerate(view.open)
        )
        named = tuple((name, f"{name}  {vessels}") for name, vessels in view.waters)
        if not named and not ends:
            screen.because.say("there is no other water in this room.", "soft")
            return
        why = "a link is watched: it shares no water and moves no clock."
        screen.app.push_screen(
            PickScreen(f"{vessel} touches", (*named, *ends), why), lambda to: chosen(view, to)
        )

    def chosen(view: LinkChoices, to: str | None) -> None:
        if not to:
            return
        if to.startswith(END):
            a, b, by, _ = view.open[int(to.removeprefix(END))]
            record(a, b, by, ended=True)
            return
        options = tuple((by, BY[by]) for by in view.by)
        question = PickScreen(f"{vessel} and {to}: by what?", options, "what goes across.")
        screen.app.push_screen(
            question, lambda by: record(vessel, to, by, ended=False) if by else None
        )

    def record(a: str, b: str, by: str, *, ended: bool) -> None:
        screen.record(lambda jobs: jobs.link(a, b, by, ended), then)

    screen.ask(lambda jobs: jobs.link_choices(vessel), show)
