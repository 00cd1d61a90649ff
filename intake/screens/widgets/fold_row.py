"""A row that opens what most vessels do not need."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message

from intake.screens.theme import Look
from intake.screens.widgets.lines import shorten
from intake.screens.widgets.painted_lines import Lines


class FoldRow(Lines, can_focus=True):
    """Enter, space or a tap opens it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "open", show=False),
        Binding("space", "open", show=False),
    ]

    class Opened(Message):
        """It was opened."""

        def __init__(self, row: FoldRow) -> None:
            self.row = row
            super().__init__()

    def __init__(self, words: str) -> None:
        super().__init__(self._draw, classes="fold")
        self.words = words

    def _draw(self, width: int, look: Look) -> list[Content]:
        here = self.has_focus
        mark = ("▌ ", "touch") if here else ("+ ", "key")
        role = "bold" if here else "soft"
        return [look.say(mark, (shorten(self.words, width - 2), role))]

    def watch_has_focus(self, has_focus: bool) -> None:
        """The mark follows the cursor."""
        super().watch_has_focus(has_focus)
        self.refresh()

    def action_open(self) -> None:
        """Opens it."""
        self.post_message(self.Opened(self))

    def on_click(self) -> None:
        """A tap is enter."""
        self.action_open()
