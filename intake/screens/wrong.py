"""Something is wrong: asks nothing first. Three actions in order, then what to record."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from intake.flows.views.parts import Wrong
from intake.screens.question import BACK_KEY, HELP_KEY, PickScreen, QuestionScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import rows_of
from intake.screens.widgets.painted_lines import Lines

FIRST = Wrong(
    title="Something is wrong",
    do=(
        "Air on, lights low, stop feeding.",
        "Stop any treatment under way; if it began today, change a third of the water with "
        "matched, dechlorinated water.",
        "Read temperature, pH and TAN, and look at every fish.",
    ),
    amounts=(),
    then_record=("w on Today: the water test", "s on Today: what you saw"),
)
"""What helps and does little harm whatever it was (common practice)."""


class WrongScreen(QuestionScreen[None]):
    """First what to do at once; the list of what it may be comes after."""

    HELP: ClassVar[str] = (
        "Nothing here is held back and nothing is asked first. Press w to say what it looks "
        "like; the three actions then become those for it."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (Foot("w", "w", "What it is"), BACK_KEY, HELP_KEY)
    BINDINGS: ClassVar[list[BindingType]] = [Binding("w", "what", show=False)]

    def __init__(self, vessel: str) -> None:
        super().__init__()
        self._vessel = vessel
        self._shown = FIRST

    def compose_body(self) -> ComposeResult:
        """The actions, large and numbered."""
        yield Lines(self._lines, id="actions")

    def on_mount(self) -> None:
        """Says what is never held back."""
        self.because.explain(
            "stopping a treatment, a water change and moving a fish out are never held back; "
            "write them down afterwards."
        )

    async def action_wrong(self) -> None:
        """Already here."""

    def action_what(self) -> None:
        """Picks what it looks like."""
        self.ask(lambda jobs: jobs.rescues(), self._pick)

    def _pick(self, rescues: tuple[tuple[str, str], ...]) -> None:
        question = PickScreen(
            "What does it look like?",
            rescues,
            "the actions for it come from the rescue files; the label and your vet come first.",
        )
        self.app.push_screen(question, self._known)

    def _known(self, rescue: str | None) -> None:
        if rescue:
            self.ask(lambda jobs: jobs.wrong(self._vessel, rescue), self._show)

    def _show(self, wrong: Wrong) -> None:
        self._shown = wrong
        self.query_one("#actions", Lines).show(self._lines)

    def _lines(self, width: int, look: Look) -> list[Content]:
        wrong = self._shown
        where = f"  {self._vessel}" if self._vessel else ""
        lines = [look.say((wrong.title, "bold"), (where, "soft")), Content("")]
        for number, text in enumerate(wrong.do, 1):
            rows = rows_of(text, width - 5, width - 5, 3)
            lines.append(look.say((f"  {number}  ", "key"), (rows[0], "bold")))
            lines += [look.say("     ", (row, "bold")) for row in rows[1:]]
        for head, texts in (("amounts", wrong.amounts), ("then", wrong.then_record)):
            if texts:
                lines.append(Content(""))
            for at, text in enumerate(texts):
                rows = rows_of(text, width - 9, width - 9, 2)
                lines.append(look.say(((head if at == 0 else "").ljust(9), "bold"), rows[0]))
                lines += [look.say(" " * 9, row) for row in rows[1:]]
        return lines
