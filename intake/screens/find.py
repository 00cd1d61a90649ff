"""Find anything that has a name: type, move, enter opens it."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input

from intake.flows.views.parts import Found
from intake.screens.question import BACK_KEY, QuestionScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import padded, shorten
from intake.screens.widgets.painted_lines import Lines

GOES_TO = {
    "vessel": "vessels",
    "fish": "fish",
    "group": "fish",
    "shipment": "receive",
    "box": "receive",
    "treatment": "dose",
    "quarantine": "calendar",
}

KIND = 12
"""Cells of what a name is of."""


class FindScreen(QuestionScreen[None]):
    """The first name that fits is under the cursor."""

    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("up", "↑ ↓", "Move"),
        Foot("enter", "enter", "Open"),
        BACK_KEY,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.found: tuple[Found, ...] = ()
        self.cursor = 0

    def compose_body(self) -> ComposeResult:
        """The field over what it found."""
        yield Lines(lambda _w, look: [look.say(("Find", "bold"))])
        with Vertical(classes="lines"):
            yield Input(id="words", classes="words", max_length=40)
        yield Lines(lambda _w, _look: [Content("")])
        yield Lines(self._lines, id="found", classes="wide")

    def on_mount(self) -> None:
        """Begins in the field."""
        self.because.explain(
            "vessels, fish, groups, quarantines, shipments and boxes, by any part of a name."
        )
        self.query_one(Input).focus()

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        text = event.value.strip()
        if text:
            self.ask(lambda jobs: jobs.find(text), self._show, group="find")
        else:
            self._show(())

    def _show(self, found: tuple[Found, ...]) -> None:
        self.found = found
        self.cursor = 0
        self.query_one("#found", Lines).refresh(layout=True)

    def _lines(self, width: int, look: Look) -> list[Content]:
        if not self.found:
            typed = self.query_one(Input).value.strip() if self.is_mounted else ""
            return [look.say("  ", ("nothing by that name" if typed else "", "soft"))]
        shown = max(1, self.query_one("#body").size.height - 3)
        first = max(0, min(self.cursor - shown // 2, len(self.found) - shown))
        lines = []
        for at in range(first, min(len(self.found), first + shown)):
            found, here = self.found[at], at == self.cursor
            bar = ("▌ ", "touch") if here else ("  ", "ink")
            name = padded(found.name, max(20, width // 3))
            room = width - 4 - len(name) - KIND
            lines.append(
                look.say(
                    bar,
                    (name, "bold" if here else "ink"),
                    (found.kind.ljust(KIND), "faint"),
                    (shorten(found.detail, max(0, room)), "soft"),
                )
            )
        return lines

    def action_step(self, by: int) -> None:
        """The name before or after."""
        self.cursor = max(0, min(self.cursor + by, len(self.found) - 1))
        self.query_one("#found", Lines).refresh()

    @on(Input.Submitted)
    async def _open(self, event: Input.Submitted) -> None:
        event.stop()
        if not self.found:
            return
        found = self.found[self.cursor]
        mode = GOES_TO.get(found.kind, "")
        if not mode:
            self.because.say(f"{found.name}: {found.detail}", "soft")
            return
        self.desk.carry(**{found.kind: found.name})
        self.dismiss(None)
        self.app.call_later(self.app.switch_mode, mode)
