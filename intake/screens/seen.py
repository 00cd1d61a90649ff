"""Something seen: whom, what, how much, filling three columns from the left."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from intake.flows.views.today import SeenChoice
from intake.screens.question import BACK_KEY, HELP_KEY, FormScreen, QuestionScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import padded, shorten
from intake.screens.widgets.options import LETTERS
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.quantity_field import Asked

NO_GRADE = -1
"""No grade is preset, so that enter alone never records one."""

GRADES = ("not there", "slight", "plain", "severe")


@dataclass(frozen=True, slots=True)
class Seen:
    """What was seen: `affected` None means the one fish."""

    subject: str
    sign: str
    grade: int
    affected: int | None


class SeenScreen(QuestionScreen[Seen]):
    """A letter, a letter, a figure, enter."""

    HELP: ClassVar[str] = (
        "Press the letter of the fish, the letter of the sign, then how plain it is from 0 to 3. "
        "Enter records it; backspace goes one column back. Grade 3, or a second fish with the "
        "same sign, is a reason to ring the vet."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("up", "↑ ↓", "Move"),
        Foot("enter", "enter", "Take"),
        Foot("backspace", "backspace", "Column"),
        BACK_KEY,
        HELP_KEY,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
        Binding("enter", "take", show=False),
        Binding("backspace", "column_back", show=False),
        *[Binding(str(n), f"grade({n})", show=False) for n in range(4)],
        *[Binding(letter, f"letter({at})", show=False) for at, letter in enumerate(LETTERS)],
    ]

    def __init__(self, choice: SeenChoice, subject: str = "") -> None:
        super().__init__()
        self.choice = choice
        self.column = 0
        self.cursor = [0, 0, NO_GRADE]
        names = [name for name, _, _ in choice.subjects]
        if subject in names:
            self.cursor[0] = names.index(subject)
            self.column = 1

    def compose_body(self) -> ComposeResult:
        """Three columns; the one being answered has its letters lit."""
        yield Lines(lambda w, look: [look.say(("Something seen", "bold"), self._where(w))])
        yield Lines(lambda _w, _look: [Content("")])
        yield Lines(self._lines, id="columns", classes="wide")

    def _where(self, width: int) -> tuple[str, str]:
        return (f"  {shorten(self.choice.vessel, width - 18)}", "soft")

    def on_mount(self) -> None:
        """Asks for the fish first; a vessel with one fish has answered that already."""
        if len(self.choice.subjects) == 1:
            self.column = 1
        self._explain()

    def _explain(self) -> None:
        said = (
            "which fish; a group counts as one line, and how many of it is asked after.",
            "one sign at a time; another one is another line.",
            "0 not there, 1 slight, 2 plain, 3 severe. Enter records it.",
        )
        self.because.explain(said[self.column])
        self.query_one("#columns", Lines).refresh(layout=True)

    def _options(self, column: int) -> list[tuple[str, str]]:
        if column == 0:
            return [(name, detail) for name, detail, _ in self.choice.subjects]
        if column == 1:
            return [(words, "") for _, words, _ in self.choice.signs]
        return [(str(n), words) for n, words in enumerate(self._grade_words())]

    def _grade_words(self) -> tuple[str, ...]:
        words = self.choice.signs[self.cursor[1]][2] if self.choice.signs else GRADES
        return tuple(w or g for w, g in zip(words, GRADES, strict=True))

    def _lines(self, width: int, look: Look) -> list[Content]:
        each = (width - 2) // 3
        rows = max(4, self.query_one("#body").size.height - 2)
        columns = [self._column(n, each, rows, look) for n in range(3)]
        return [
            Content.assemble(*(column[y] for column in columns))
            for y in range(rows)
            if any(column[y].plain.strip() for column in columns)
        ]

    def _column(self, n: int, width: int, rows: int, look: Look) -> list[Content]:
        heads = ("who", "sign", "grade")
        lines = [look.say((f"  {heads[n]}".ljust(width), "faint"))]
        if n == 2 and self.column < 2:
            return self._filled(lines, width, rows)
        options = self._options(n)
        shown = rows - 1
        first = max(0, min(self.cursor[n] - shown // 2, len(options) - shown))
        for at in range(first, min(len(options), first + shown)):
            lines.append(self._option(n, at, options[at], width, look))
        return self._filled(lines, width, rows)

    def _filled(self, lines: list[Content], width: int, rows: int) -> list[Content]:
        return [*lines, *[Content(" " * width)] * (rows - len(lines))]

    def _option(self, n: int, at: int, option: tuple[str, str], width: int, look: Look) -> Content:
        here = at == self.cursor[n]
        active = n == self.column
        letter = option[0] if n == 2 else (LETTERS[at] if at < len(LETTERS) else " ")
        words = option[1] if n == 2 else " ".join(part for part in option if part)
        bar = ("▌ ", "touch") if here and active else ("  ", "ink")
        chosen = here and n < self.column
        role = "bold" if here and (active or chosen) else "soft" if active else "faint"
        mark = (letter, "key") if active else ("✓" if chosen else " ", "soft")
        return look.say(bar, mark, "  ", (padded(words, width - 6), role), " ")

    def action_step(self, by: int) -> None:
        """Up and down in the column being answered."""
        last = len(self._options(self.column)) - 1
        at = self.cursor[self.column]
        self.cursor[self.column] = max(0, min(at + by, last))
        self._explain()

    def action_letter(self, at: int) -> None:
        """Takes the line with that letter and goes on."""
        if self.column < 2 and at < len(self._options(self.column)):
            self.cursor[self.column] = at
            self.column += 1
            self._explain()

    def action_grade(self, grade: int) -> None:
        """Says how plain it is; enter still records it."""
        if self.column == 2:
            self.cursor[2] = grade
            self._explain()

    def action_column_back(self) -> None:
        """One column back."""
        self.column = max(0, self.column - 1)
        self._explain()

    def action_take(self) -> None:
        """Takes the line under the cursor; on the last column records."""
        if self.column < 2:
            self.column += 1
            self._explain()
            return
        if self.cursor[2] == NO_GRADE:
            self.because.say("Press 0, 1, 2 or 3 first: how plain is it?", "soft")
            return
        name, _, count = self.choice.subjects[self.cursor[0]]
        if count <= 1:
            self._answer(name, None)
            return
        asked = (Asked("affected", "how many show it", "count", needed=True),)
        why = f"{name} has {count}; the share that shows a sign decides when to ring the vet."
        form = FormScreen(f"How many of  {name}", asked, why)
        self.app.push_screen(form, lambda typed: self._counted(name, typed))

    def _counted(self, name: str, typed: Mapping[str, str] | None) -> None:
        if typed:
            self._answer(name, int(typed["affected"]))

    def _answer(self, name: str, affected: int | None) -> None:
        sign = self.choice.signs[self.cursor[1]][0]
        self.dismiss(Seen(name, sign, self.cursor[2], affected))
