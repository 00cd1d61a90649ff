"""Which bottle a dose is taken from, and a new one put on the shelf from Dose."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from intake.flows.views.dose import DoseView
from intake.flows.views.parts import Recorded
from intake.flows.views.shelf import BottleChoice
from intake.screens.question import FormScreen, PickScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.room_things import FIELDS

NEW = "new"
WHY = "its strength is the one the amount is worked out with; one that is past is said."


def ask_bottle(
    screen: RoomScreen[None],
    view: DoseView,
    taken: Callable[[str], None],
    then: Callable[[Recorded], None],
) -> None:
    """Picks a bottle of this treatment, or records one more."""

    def listed(found: tuple[BottleChoice, ...]) -> None:
        past = {b.product for b in found if b.past}
        lines = [(b.product, f"{'past  ' if b.product in past else ''}{b.words}") for b in found]
        options = (*lines, (NEW, "a new bottle or packet"))
        question = PickScreen(f"Taken from  {view.title}", options, WHY)
        screen.app.push_screen(question, picked)

    def picked(answer: str | None) -> None:
        if answer == NEW:
            fields = tuple(
                replace(f, first=view.title) if f.field == "name" else f
                for f in FIELDS["product"]
                if f.field != "treatment"
            )
            screen.app.push_screen(FormScreen(f"New bottle  {view.title}", fields, WHY), typed)
        elif answer:
            taken(answer)

    def typed(answer: Mapping[str, str] | None) -> None:
        if answer:
            known = {**answer, "treatment": view.treatment}
            screen.record(lambda jobs: jobs.room_add("product", known), then)

    screen.ask(lambda jobs: jobs.shelf(view.treatment), listed, group="shelf")
