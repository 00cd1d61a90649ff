"""Editing a protocol file: text, live problems, the sample tub before and after."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.timer import Timer
from textual.widgets import TextArea

from intake.flows.views.protocols import ProtocolText
from intake.screens.protocol_lines import effect_lines
from intake.screens.question import QuestionScreen, WordsScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import ends, shorten
from intake.screens.widgets.painted_lines import Lines

PAUSE_S = 0.3
"""The text is checked this long after the last key, seconds."""


class ProtocolEdit(QuestionScreen[tuple[str, str]]):
    """Answers the text and the reason; a moved limit asks for one."""

    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("ctrl+s", "ctrl+s", "Save"),
        Foot("escape", "esc", "Leave"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [Binding("ctrl+s", "save", show=False)]

    def __init__(self, opened: ProtocolText) -> None:
        super().__init__()
        self.opened = opened
        self._first = opened.text
        self._pause: Timer | None = None

    def compose_body(self) -> ComposeResult:
        """The text above, its effect below."""
        yield Lines(self._head)
        yield TextArea(
            self._first, id="text", show_line_numbers=True, read_only=not self.opened.writable
        )
        yield Lines(self._effect, id="effect", classes="lines")

    def on_mount(self) -> None:
        """Begins in the text, at the first problem."""
        self.because.explain(self.opened.because)
        area = self.query_one(TextArea)
        area.focus()
        if self.opened.problems:
            first = self.opened.problems[0]
            area.move_cursor((first.line - 1, first.column - 1))

    def _head(self, width: int, look: Look) -> list[Content]:
        opened = self.opened
        count = len(opened.problems)
        said = f"■ {count} problem{'s' if count > 1 else ''}" if count else "no problem"
        end = look.say((said, "stop" if count else "soft"))
        name = look.say((shorten(opened.id, width - end.cell_length - 2), "bold"))
        return [ends(name, end, width), Content("")]

    def _effect(self, width: int, look: Look) -> list[Content]:
        rows = max(4, self.size.height // 3)
        lines = effect_lines(self.opened, width, rows, look)
        return [Content(""), *lines, *[Content("")] * (rows - len(lines))]

    @on(TextArea.Changed)
    def _typed(self) -> None:
        if self._pause is not None:
            self._pause.stop()
        self._pause = self.set_timer(PAUSE_S, self._check)

    def _check(self) -> None:
        text = self.query_one(TextArea).text
        name = self.opened.id
        self.ask(lambda jobs: jobs.protocol_check(name, text), self._show, group="check")

    def _show(self, opened: ProtocolText) -> None:
        self.opened = opened
        for lines in self.query(Lines):
            lines.refresh()
        self.because.explain(opened.because)

    def action_save(self) -> None:
        """Saves when nothing is wrong; a limit that moved asks for the reason."""
        if self._pause is not None:
            self._pause.stop()
        text = self.query_one(TextArea).text
        name = self.opened.id
        self.ask(lambda jobs: jobs.protocol_check(name, text), self._checked, group="check")

    def _checked(self, opened: ProtocolText) -> None:
        self._show(opened)
        text = self.query_one(TextArea).text
        if opened.problems:
            self.because.say("It has a problem. Nothing was saved.", "stop")
        elif opened.limit_moved:
            question = WordsScreen(
                "A limit moved. Why?", "the reason is stored with the file and shown with it."
            )

            def answered(why: str | None) -> None:
                if why:
                    self.dismiss((text, why))

            self.app.push_screen(question, answered)
        else:
            self.dismiss((text, ""))
