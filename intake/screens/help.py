"""The help of one screen: its words, its keys, and the keys that work everywhere."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content

from intake.screens.question import BACK_KEY, QuestionScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import rows_of
from intake.screens.widgets.painted_lines import Lines

EVERYWHERE = (
    ("1 to 7", "Today, Receive, Dose, Calendar, Fish, Vessels, Protocols"),
    ("0", "something is wrong: three things to do; 0 g gasping, 0 p pH crash. f9 in a field"),
    ("esc", "back, nothing is recorded"),
    ("ctrl+n", "night or day colours"),
    ("ctrl+q", "quit"),
)
_LABEL = 10


class HelpScreen(QuestionScreen[None]):
    """What the screen behind it is for."""

    FEET: ClassVar[tuple[Foot, ...]] = (BACK_KEY,)

    def __init__(self, text: str, feet: tuple[Foot, ...], because: str = "") -> None:
        super().__init__()
        self._because = because
        self._text = text
        self._behind = feet

    def compose_body(self) -> ComposeResult:
        """Words first, then keys."""
        with VerticalScroll(can_focus=True):
            yield Lines(self._lines)

    def on_mount(self) -> None:
        """The one sentence that stands on every help."""
        self.because.explain(
            "the product label and your vet come first and win wherever they differ from this "
            "program. It never diagnoses and never prescribes."
        )

    async def action_help(self) -> None:
        """The same key closes it."""
        self.dismiss(None)

    def _lines(self, width: int, look: Look) -> list[Content]:
        lines = [look.say(("Help", "bold")), Content("")]
        lines += [look.say((row, "ink")) for row in rows_of(self._text, width, width, 6)]
        if self._because:
            lines.append(Content(""))
            rows = rows_of(f"because {self._because}", width, width, 8)
            lines += [look.say((row, "soft")) for row in rows]
        lines.append(Content(""))
        here = [(foot.shown, foot.label) for foot in self._behind]
        half = width // 2
        pairs = [here[i : i + 2] for i in range(0, len(here), 2)]
        for pair in pairs:
            line = Content("")
            for shown, label in pair:
                cell = look.say((shown.ljust(_LABEL), "key"), (label, "soft"))
                line = Content.assemble(line, cell, " " * max(1, half - cell.cell_length))
            lines.append(line.rstrip())
        lines.append(Content(""))
        for key, label in EVERYWHERE:
            room = width - _LABEL
            words = rows_of(label, room, room, 2)
            lines.append(look.say((key.ljust(_LABEL), "key"), (words[0], "soft")))
            lines += [look.say(" " * _LABEL, (row, "soft")) for row in words[1:]]
        return lines
