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
    *,
    way: str = "",
) -> None:
    """Shows every clock, date and fish it would move, then records it; or says why it cannot.

    `way` is said in place of a way out that names an option of the command line.
    """

    def show(follows: tuple[str, ...]) -> None:
        question = WhatIfScreen(title, follows, label=label, because=BEFORE)
        screen.app.push_screen(question, write)

    def write(yes: bool | None) -> None:
        if yes:
            screen.record(lambda jobs: jobs.quarantine_write(kind, typed, ""), then)

    def refused(no: Refused | Unreadable) -> None:
        screen.app.push_screen(LinesScreen(title, *_refusal(no, way)))

    screen.ask(lambda jobs: jobs.would_follow(kind, typed), show, failed=refused, group="would")


def _refusal(no: Refused | Unreadable, way: str) -> tuple[tuple[str, ...], str]:
    """What stands against it and the way out, one to a line."""
    if isinstance(no, Unreadable):
        told = (f"{p.text}; {p.hint}" if p.hint else p.text for p in no.problems)
        return tuple(told), "nothing was recorded."
    ways = (one.strip() for one in no.way_out.split(";") if one.strip())
    shown = dict.fromkeys(way if way and "--" in one else one for one in ways)
    return (f"{no.text}.", *shown), "nothing was recorded; what is open, and the way out."
