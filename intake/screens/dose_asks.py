"""What a dose asks for on the way: readings measured on the spot, and what went in already."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from intake.flows.views.dose import DoseAsk, DoseView
from intake.flows.views.parts import Recorded
from intake.screens.dose_faces import MEASURES
from intake.screens.question import FormScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.widgets.quantity_field import WORDS, Asked


def measure_needed(
    screen: RoomScreen[None], view: DoseView, then: Callable[[Recorded], None]
) -> None:
    """Asks for every reading the dose needs and records them as one water test."""
    needed = [need.measures for need in view.needs if need.measures in MEASURES]
    if not needed:
        return

    def typed(answer: Mapping[str, str] | None) -> None:
        if answer:
            screen.record(lambda jobs: jobs.reading(view.vessel, answer), then)

    fields = tuple(replace(MEASURES[name], needed=True) for name in dict.fromkeys(needed))
    why = "asked for, never assumed: this dose depends on it."
    screen.app.push_screen(FormScreen(f"Water test  {view.vessel}", fields, why), typed)


def ask_given(
    screen: RoomScreen[None], view: DoseView, asked: DoseAsk, then: Callable[[Recorded], None]
) -> None:
    """What went in already, whatever the limits say: the amount and why."""
    unit = view.amount.unit if view.amount else "g"
    fields = [
        Asked("amount", "what went in", "amount", unit, needed=True),
        Asked("why", "how it came to that", WORDS, needed=True),
    ]
    if view.asks_strength:
        fields.append(Asked("strength", "strength on the label, if it is at hand", WORDS))

    def typed(answer: Mapping[str, str] | None) -> None:
        if answer:
            screen.record(lambda jobs: jobs.given(asked, answer), then)

    why = "never refused: it is written down with the limits it broke, and raises an alert."
    title = f"Went in already: {view.title} into {view.vessel}"
    screen.app.push_screen(FormScreen(title, tuple(fields), why), typed)
