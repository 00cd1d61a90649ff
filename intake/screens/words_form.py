"""A form of words: names, times, sellers; nothing here is a quantity."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Input

from intake.screens.question import BACK_KEY, QuestionScreen
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import shorten
from intake.screens.widgets.painted_lines import Lines, Make


def _question(question: str) -> Make:
    return lambda width, look: [look.say((shorten(question, width), "soft"))]


class WordsForm(QuestionScreen[Mapping[str, str]]):
    """(field, question, needed) one under the other. Answers what was typed."""

    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("tab", "tab", "Next"),
        Foot("enter", "enter", "Record"),
        BACK_KEY,
    )

    def __init__(self, title: str, asked: tuple[tuple[str, str, bool], ...]) -> None:
        super().__init__()
        self._title = title
        self._asked = asked

    def compose_body(self) -> ComposeResult:
        """The title over the questions."""
        yield Lines(lambda width, look: [look.say((shorten(self._title, width), "bold"))])
        with Vertical(id="words-form"):
            for field, question, _ in self._asked:
                yield Lines(_question(question))
                with Horizontal(classes="word"):
                    yield Input(id=f"word-{field}", max_length=200, classes="words")

    def on_mount(self) -> None:
        """Begins in the first field."""
        self.because.explain("what is not known stays empty and can be added later.")
        self.query(Input).first().focus()

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        typed = {
            field: self.query_one(f"#word-{field}", Input).value.strip()
            for field, _, _ in self._asked
        }
        missing = next((f for f, _, needed in self._asked if needed and not typed[f]), None)
        if missing is not None:
            self.query_one(f"#word-{missing}", Input).focus()
            self.because.say("This one is needed. Nothing was recorded.", "stop")
        else:
            self.dismiss({field: text for field, text in typed.items() if text})
