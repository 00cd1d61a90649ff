"""A vessel's line: at the mark in one key, a number only if not; Vessels and Dose ask alike."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from intake.flows.views.parts import Recorded
from intake.flows.views.vessels import VesselView
from intake.screens.room_screen import RoomScreen
from intake.screens.sketch import SketchScreen
from intake.screens.widgets.quantity_field import WORDS, Asked

CAUSES = ("evaporation", "rain", "top-up", "leak")
Then = Callable[[Recorded], None]


def record_mark(screen: RoomScreen[None], vessel: str, then: Then) -> None:
    """The line is at its mark: written at once, key u takes it back."""
    screen.record(lambda jobs: jobs.waterline_mark(vessel), then)


def ask_line(screen: RoomScreen[None], view: VesselView, then: Then) -> None:
    """One number, and why it moved where that is known; nothing is saved before enter."""
    if not view.has_depth:
        screen.because.say(
            f"{view.vessel} was gauged at one line only: key a when the water is at it, "
            "else gauge it again. Nothing was recorded.",
            "care",
        )
        return

    def typed(answer: Mapping[str, str] | None) -> None:
        if answer:
            depth, by = answer["depth"], answer.get("by", "")
            screen.record(lambda jobs: jobs.waterline_record(view.vessel, depth, by), then)

    asked = (
        Asked("depth", "depth of water now", "length", "cm", needed=True),
        Asked("by", "why it moved, if you know", WORDS, one_of=CAUSES),
    )
    why = (
        "every dose follows the line. A fall nobody explains counts as evaporation, what is "
        f"dissolved stays; why: {', '.join(CAUSES)}."
    )
    title = f"Waterline  {view.vessel}, now {view.depth_text}"
    sketch = SketchScreen(
        title, asked, why, lambda jobs, t: jobs.waterline(view.vessel, t.get("depth", "")), view
    )
    screen.app.push_screen(sketch, typed)
