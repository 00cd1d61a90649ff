"""A wet contact between two waters: from where, to where, by what, and what that would move."""

from __future__ import annotations

from collections.abc import Callable

from intake.flows.views.calendar import QuarantineChoices
from intake.flows.views.parts import Recorded
from intake.screens.foretell import foretell
from intake.screens.question import PickScreen
from intake.screens.room_screen import RoomScreen

WORDS = {
    "water": "water itself",
    "net": "a wet net",
    "hose": "a hose",
    "sponge": "a filter sponge",
    "hands": "wet hands",
    "back-siphon": "a siphon that ran back",
}
DRIED = "what was dried right through or disinfected between two waters is no wet contact."


def ask_contact(screen: RoomScreen[None], system: str, then: Callable[[Recorded], None]) -> None:
    """To which water, from which, by what; the dates it would move are shown before it is kept."""
    app = screen.app

    def asked(choices: QuarantineChoices) -> None:
        order = sorted(choices.waters, key=lambda w: w[0] != system)
        if len(order) < 2:
            screen.because.say("There is only one water in this room.", "soft")
            return
        options = tuple((name, f"{name}  {fish}") for name, fish in order)
        question = PickScreen("Wet contact: which water did it reach?", options, DRIED)
        app.push_screen(question, lambda to: origin(choices, to) if to else None)

    def origin(choices: QuarantineChoices, to: str) -> None:
        options = tuple((name, f"{name}  {fish}") for name, fish in choices.waters if name != to)
        title = f"Wet contact: from which water did it come to {to}?"
        app.push_screen(
            PickScreen(title, options, DRIED), lambda come: by(choices, come, to) if come else None
        )

    def by(choices: QuarantineChoices, come: str, to: str) -> None:
        options = tuple((way, WORDS.get(way, way)) for way in choices.ways)
        title = f"By what, from {come} to {to}?"
        why = "a wet contact begins the days of a water in quarantine again."
        app.push_screen(
            PickScreen(title, options, why), lambda way: show(come, to, way) if way else None
        )

    def show(come: str, to: str, way: str) -> None:
        typed = {"from": come, "to": to, "by": way}
        title = f"Wet contact by {WORDS.get(way, way)}, {come} to {to}"
        foretell(screen, "contact", typed, title, "Record contact", then)

    screen.ask(lambda jobs: jobs.quarantine_choices(), asked, group="choices")
