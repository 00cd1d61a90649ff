"""What an entry would move is shown before it is written; only r writes it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from intake.flows.views.parts import Recorded
from intake.science.problem import Refused, Unreadable
from intake.screens.move import WhatIfScreen
from intake.screens.question import LinesScreen
from intake.screens.room_screen import RoomScreen

BEFORE = "nothing is recorded yet: this is what would follow."


def foretell(
    screen: RoomScreen[None],
    kind: str,
    typed: Mapping[str, object],
    title: str,
    label: str,
    then: Callable[[Recorded], None],
) -> None:
    """Shows every clock, date and fish it would move, then records it; or says why it cannot."""

    def show(follows: tuple[str, ...]) -> None:
        question = WhatIfScreen(title, follows, label=label, because=BEFORE)
        screen.app.push_screen(question, write)

    def write(yes: bool | None) -> None:
        if yes:
            screen.record(lambda jobs: jobs.quarantine_write(kind, typed, ""), then)

    def refused(no: Refused | Unreadable) -> None:
        screen.app.push_screen(LinesScreen(title, *_refusal(no)))

    screen.ask(lambda jobs: jobs.would_follow(kind, typed), show, failed=refused, group="would")


def _refusal(no: Refused | Unreadable) -> tuple[tuple[str, ...], str]:
    """What stands against it and the way out, one to a line."""
    if isinstance(no, Unreadable):
        told = (f"{p.text}; {p.hint}" if p.hint else p.text for p in no.problems)
        return tuple(told), "nothing was recorded."
    ways = tuple(way.strip() for way in no.way_out.split(";") if way.strip())
    return (f"{no.text}.", *ways), "nothing was recorded; what is open, and the way out."
