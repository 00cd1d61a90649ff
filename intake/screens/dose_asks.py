"""What a dose asks for on the way: the readings it needs, measured on the spot."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from intake.flows.views.dose import DoseView
from intake.flows.views.parts import Recorded
from intake.screens.dose_faces import MEASURES
from intake.screens.question import FormScreen
from intake.screens.room_screen import RoomScreen


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
