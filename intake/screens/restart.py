"""A proposed restart: the days are kept, or begin again, with a reason; else its hours decide."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from intake.flows.views.calendar import Proposal
from intake.flows.views.parts import Recorded
from intake.screens.question import (
    BACK_KEY,
    HELP_KEY,
    PickScreen,
    QuestionScreen,
    WordsScreen,
)
from intake.screens.room_screen import RoomScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import rows_of, shorten
from intake.screens.widgets.painted_lines import Lines

KEEP, RESTART = "keep", "restart"
WHY = {
    KEEP: ("Why are the days kept?", "the reason stays beside the days in the journal."),
    RESTART: ("Why do the days begin again?", "the reason stays beside the days in the journal."),
}


def left(proposal: Proposal) -> str:
    """`61 h left`."""
    return f"{proposal.hours_left} h left" if proposal.hours_left else "under 1 h left"


class SettleScreen(QuestionScreen[str]):
    """What either answer makes of the days. Answers keep or restart."""

    HELP: ClassVar[str] = (
        "The record proposes that the days begin again. k keeps the days as they are, r begins "
        "them again; either asks for a reason, which is stored. Where nobody answers, they begin "
        "again by themselves once the hours are over, counted from the day of the sign. Nothing "
        "here says what the fish have: ask your vet."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("k", "k", "Keep days"),
        Foot("r", "r", "Begin again"),
        BACK_KEY,
        HELP_KEY,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("k", "answer('keep')", show=False),
        Binding("r", "answer('restart')", show=False),
    ]

    def __init__(self, proposal: Proposal) -> None:
        super().__init__()
        self._proposal = proposal

    def compose_body(self) -> ComposeResult:
        """What is proposed over both answers."""
        yield Lines(self._lines, classes="tall")

    def on_mount(self) -> None:
        """What happens by itself."""
        p = self._proposal
        self.because.explain(
            f"what spreads or kills without a known cause may be catching; with no answer the "
            f"days begin again by themselves {p.stands}."
        )

    def action_answer(self, choice: str) -> None:
        """Keep or restart."""
        self.dismiss(choice)

    def _lines(self, width: int, look: Look) -> list[Content]:
        p = self._proposal
        title = shorten(f"Restart proposed  {p.system}", width - 16)
        lines = [look.say((title, "bold"), "   ", (left(p), "care")), Content("")]
        lines += [
            look.say("     ", (row, "ink")) for row in rows_of(p.text, width - 5, width - 5, 3)
        ]
        for key, words, said in (
            ("k", "keep the days", p.keep),
            ("r", "begin again", p.restart),
            (" ", "no answer", f"begin again by themselves {p.stands}"),
        ):
            lines += [Content(""), look.say("  ", (key, "key"), "  ", (words, "bold"))]
            lines += [
                look.say("     ", (row, "soft")) for row in rows_of(said, width - 5, width - 5, 2)
            ]
        return lines


def ask_settle(
    screen: RoomScreen[None],
    found: tuple[Proposal, ...],
    then: Callable[[Recorded], None],
) -> None:
    """Which of them, which answer, why; then the record."""

    def one(proposal: Proposal) -> None:
        screen.app.push_screen(
            SettleScreen(proposal), lambda choice: reason(proposal, choice) if choice else None
        )

    def reason(proposal: Proposal, choice: str) -> None:
        title, because = WHY[choice]
        screen.app.push_screen(
            WordsScreen(title, because), lambda why: write(proposal, choice, why)
        )

    def write(proposal: Proposal, choice: str, why: str | None) -> None:
        if why:
            typed = {"system": proposal.system, choice: str(proposal.entry)}
            screen.record(lambda jobs: jobs.quarantine_write("clock", typed, why), then)

    def picked(entry: str | None) -> None:
        if entry is not None:
            one(next(p for p in found if str(p.entry) == entry))

    if len(found) == 1:
        one(found[0])
        return
    options = tuple((str(p.entry), f"{left(p)}  {p.system}: {p.text}") for p in found)
    screen.app.push_screen(
        PickScreen("Which restart is settled?", options, "each has an answer of its own."), picked
    )
