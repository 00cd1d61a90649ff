"""Stopping a treatment: one list, one letter; no limit and no reading stands in the way."""

from __future__ import annotations

from collections.abc import Callable

from intake.flows.views.parts import Recorded
from intake.screens.question import PickScreen
from intake.screens.room_screen import RoomScreen

WHY = "stopping is never held back. Washing out: change water until it is gone, as you record it."
WASH = "wash out"


def ask_stop(screen: RoomScreen[None], vessel: str, then: Callable[[Recorded], None]) -> None:
    """Which treatment, and whether it is washed out."""

    def listed(found: tuple[tuple[str, str], ...]) -> None:
        if not found:
            screen.because.say(f"Nothing was dosed into {vessel}.", "soft")
            return
        options = tuple(
            (f"{treatment}{end}", f"stop {words}{said}")
            for treatment, words in found
            for end, said in (("", ""), (f"/{WASH}", ", and wash it out"))
        )
        question = PickScreen(f"Stop a treatment  {vessel}", options, WHY)
        screen.app.push_screen(question, picked)

    def picked(answer: str | None) -> None:
        if answer:
            treatment, _, wash = answer.partition("/")
            screen.record(lambda jobs: jobs.stop(vessel, treatment, wash == WASH), then)

    screen.ask(lambda jobs: jobs.under_way(vessel), listed, group="stop")
