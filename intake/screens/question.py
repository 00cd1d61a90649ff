"""Questions in front of a mode: one list, one reason, a form of quantities, a search."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input

from intake.screens.room_screen import Answer, RoomScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import rows_of, shorten
from intake.screens.widgets.options import LETTERS, option_lines
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.quantity_field import Asked, QuantityField

MOST_THERE = 5
"""How much of what is there already is told over a form."""
BACK_KEY = Foot("escape", "esc", "Back")
HELP_KEY = Foot("question_mark", "?", "Help")


class QuestionScreen(RoomScreen[Answer], ModalScreen[Answer]):
    """Fills the screen; digits answer here instead of changing the mode."""


class PickScreen(QuestionScreen[str]):
    """One line is picked by its letter, or with the arrows and enter. Answers its id."""

    HELP: ClassVar[str] = "Press the letter of a line, or move with the arrows and press enter."
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("up", "↑ ↓", "Move"),
        Foot("enter", "enter", "Take"),
        BACK_KEY,
        HELP_KEY,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
        Binding("enter", "take", show=False),
        *[Binding(letter, f"letter({at})", show=False) for at, letter in enumerate(LETTERS)],
    ]

    def __init__(self, title: str, options: tuple[tuple[str, str], ...], because: str) -> None:
        super().__init__()
        self._title = title
        self.options = options
        self._why = because
        self.cursor = 0

    def compose_body(self) -> ComposeResult:
        """The question over its answers."""
        yield Lines(lambda width, look: [look.say((shorten(self._title, width), "bold"))])
        yield Lines(lambda _width, _look: [Content("")])
        yield Lines(self._lines, id="options", classes="wide")

    def on_mount(self) -> None:
        """Says why it is asked."""
        self.because.explain(self._why)

    def _lines(self, width: int, look: Look) -> list[Content]:
        rows = max(1, self.query_one("#body").size.height - 2)
        shown = [(words, "") for _, words in self.options]
        return option_lines(shown, self.cursor, rows, width, look)

    def action_step(self, by: int) -> None:
        """The line before or after."""
        self.cursor = max(0, min(self.cursor + by, len(self.options) - 1))
        self.query_one("#options", Lines).refresh()

    def action_take(self) -> None:
        """Takes the line under the cursor."""
        if self.options:
            self.dismiss(self.options[self.cursor][0])

    def action_letter(self, at: int) -> None:
        """Takes the line with that letter."""
        if at < len(self.options):
            self.dismiss(self.options[at][0])


class FormScreen(QuestionScreen[Mapping[str, str]]):
    """Quantities one under the other. Answers the texts that were typed, with their units."""

    MAY_BE_EMPTY: ClassVar[bool] = False
    HELP: ClassVar[str] = (
        "Type a number, with its unit if it is another one than the field says. Leave a field "
        "empty when you did not read it. <0.25, >8 and 0.5..1 are read as bands. Enter takes "
        "the form when nothing in it is wrong."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("tab", "tab", "Next"),
        Foot("enter", "enter", "Record"),
        BACK_KEY,
    )

    def __init__(
        self,
        title: str,
        asked: tuple[Asked, ...],
        because: str,
        there: tuple[str, ...] = (),
    ) -> None:
        super().__init__()
        self._title = title
        self._asked = asked
        self._why = because
        self._there = there

    def compose_body(self) -> ComposeResult:
        """The title, what is there already, and the fields."""
        yield Lines(lambda width, look: [look.say((shorten(self._title, width), "bold"))])
        yield Lines(self._already)
        with VerticalScroll(id="fields", can_focus=False):
            for asked in self._asked:
                yield QuantityField(asked)

    def _already(self, width: int, look: Look) -> list[Content]:
        """What there is of it, the newest few, and an empty row."""
        more = len(self._there) - MOST_THERE
        lines = [(shorten(text, width), "soft") for text in self._there[-MOST_THERE:]]
        if more > 0:
            lines.insert(0, (f"and {more} more", "faint"))
        return [*(look.say(line) for line in lines), Content("")]

    def on_mount(self) -> None:
        """Begins in the first field."""
        self.because.explain(self._why)
        self.query(QuantityField).first().take_focus()

    @property
    def fields(self) -> list[QuantityField]:
        """The fields in their order."""
        return list(self.query(QuantityField))

    @on(QuantityField.Entered)
    def _entered(self) -> None:
        self.take_form()

    def take_form(self) -> None:
        """Answers what was typed, or goes to the field that keeps it from being taken."""
        wrong = next((f for f in self.fields if f.problem is not None), None)
        missing = next((f for f in self.fields if f.asked.needed and not f.text.strip()), None)
        typed = {f.asked.field: f.said for f in self.fields if f.text.strip()}
        if wrong is not None:
            wrong.take_focus()
            self.because.say("One field cannot be read yet. Nothing was recorded.", "stop")
        elif missing is not None or not (typed or self.MAY_BE_EMPTY):
            (missing or self.fields[0]).take_focus()
            what = (missing or self.fields[0]).asked.ask
            self.because.say(f"Type the {what} first. Nothing was recorded.", "stop")
        else:
            self.dismiss(typed)


class WordsScreen(QuestionScreen[str]):
    """One line of words, for a reason of one's own. Answers it, never empty."""

    FEET: ClassVar[tuple[Foot, ...]] = (Foot("enter", "enter", "Take"), BACK_KEY)

    def __init__(self, title: str, because: str) -> None:
        super().__init__()
        self._title = title
        self._why = because

    def compose_body(self) -> ComposeResult:
        """The question over one wide field."""
        yield Lines(lambda width, look: [look.say((shorten(self._title, width), "bold"))])
        yield Lines(lambda _width, _look: [Content("")])
        with Vertical(classes="lines"):
            yield Input(id="words", classes="words", max_length=2000)

    def on_mount(self) -> None:
        """Begins in the field."""
        self.because.explain(self._why)
        self.query_one(Input).focus()

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        if event.value.strip():
            self.dismiss(event.value.strip())


class LinesScreen(QuestionScreen[None]):
    """Words to read, nothing to answer."""

    FEET: ClassVar[tuple[Foot, ...]] = (BACK_KEY,)

    def __init__(self, title: str, texts: tuple[str, ...], because: str = "") -> None:
        super().__init__()
        self._title = title
        self._texts = texts
        self._why = because

    def compose_body(self) -> ComposeResult:
        """The title over numbered lines."""
        with VerticalScroll(can_focus=True):
            yield Lines(self._lines)

    def on_mount(self) -> None:
        """Says where it comes from."""
        self.because.explain(self._why)

    def _lines(self, width: int, look: Look) -> list[Content]:
        lines = [look.say((shorten(self._title, width), "bold")), Content("")]
        for number, text in enumerate(self._texts, 1):
            rows = rows_of(text, width - 5, width - 5, 3)
            lines.append(look.say((f"{number:>3}  ", "faint"), (rows[0], "ink")))
            lines += [look.say("     ", (row, "ink")) for row in rows[1:]]
        return lines
