"""What a room keeps beside vessels and fish: tools, kits, products, people, its tap."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from intake.flows.views.parts import Recorded
from intake.flows.views.start import KeptKind
from intake.screens.question import FormScreen, PickScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.widgets.quantity_field import WORDS, Asked

ROLES = ("vet", "lab", "seller", "helper", "authority")
FIELDS = {
    "tool": (
        Asked("step", "its smallest step, like 0.1 g", "amount", "g", needed=True),
        Asked("name", "what you call it", WORDS, needed=True),
    ),
    "kit": (
        Asked("name", "what you call it", WORDS, needed=True),
        Asked("tests", "what it tests, like tan", WORDS, first="tan"),
        Asked("reports", "ammonia as N, NH3 or NH4", WORDS, one_of=("N", "NH3", "NH4")),
        Asked("steps", "its colours: 0 0.5 1 2", WORDS),
        Asked("error", "its error, like 0.1 pH", WORDS),
        Asked("fooled-by", "fooled by, like binder", WORDS),
        Asked("expires", "expires, like 2027-05-01", WORDS),
    ),
    "product": (
        Asked("treatment", "treatment, like salt", WORDS, needed=True),
        Asked("strength", "strength on the label", WORDS, needed=True),
        Asked("name", "what the label calls it", WORDS),
        Asked("batch", "batch", WORDS),
        Asked("expires", "expires, like 2027-05-01", WORDS),
        Asked("opened", "opened, like 2026-11-01", WORDS),
        Asked("keeps-opened", "keeps opened: 6 months", WORDS),
    ),
    "person": (
        Asked("name", "name", WORDS, needed=True),
        Asked("role", ", ".join(ROLES), WORDS, needed=True, one_of=ROLES),
        Asked("phone", "telephone", WORDS),
    ),
    "keeper": (Asked("name", "name", WORDS, needed=True),),
    "tap": (
        Asked("ph", "pH", "ph"),
        Asked("kh", "KH", "alkalinity", "dKH"),
        Asked("temp", "temperature", "temperature", "C"),
        Asked("tan", "TAN", "tan", "mg/L as N"),
        Asked("chlorine", "free chlorine", "chlorine", "mg/L"),
        Asked("combined", "combined chlorine", "chlorine", "mg/L"),
        Asked("salt", "salt", "salt", "g/L"),
    ),
}
TITLES = {"tap": "Tap water"}
WHY = {"tap": "new water is taken to be like this; test it again when it may have changed."}


def ask_room_thing(screen: RoomScreen[None], then: Callable[[Recorded], None]) -> None:
    """Picks a kind, shows what there is of it, and adds one."""
    there: dict[str, tuple[str, ...]] = {}

    def kinds(kept: tuple[KeptKind, ...]) -> None:
        there.update((k.kind, k.items) for k in kept)
        options = tuple((k.kind, f"{k.title}: {k.there}") for k in kept)
        why = "a dose is counted in whole steps of a scale or syringe you really have."
        screen.app.push_screen(PickScreen("What stands in this room?", options, why), form)

    def form(kind: str | None) -> None:
        if not kind:
            return

        def typed(answer: Mapping[str, str] | None) -> None:
            if answer:
                screen.record(lambda jobs: jobs.room_add(kind, answer), then)

        why = WHY.get(kind, "added with what is known; the rest can be corrected later.")
        title = TITLES.get(kind, f"New {kind}")
        screen.app.push_screen(FormScreen(title, FIELDS[kind], why, there[kind]), typed)

    screen.ask(lambda jobs: jobs.room_things(), kinds)
