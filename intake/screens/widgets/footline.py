"""The last row: at most seven keys, each also a place to tap."""

from __future__ import annotations

from dataclasses import dataclass

from textual import events
from textual.content import Content
from textual.widget import Widget

from intake.screens.painted import look_of

MOST = 7


@dataclass(frozen=True, slots=True)
class Foot:
    """One key of the footer: the key as pressed, as shown, and what it does."""

    key: str
    shown: str
    label: str


class FootLine(Widget):
    """Shows the keys of the screen that is open."""

    def __init__(self, feet: tuple[Foot, ...]) -> None:
        super().__init__(id="foot")
        self.feet = feet
        self._places: list[tuple[int, int, str]] = []

    def show(self, feet: tuple[Foot, ...]) -> None:
        """Other keys, when the face of the screen changes."""
        self.feet = feet
        self.refresh()

    def render(self) -> Content:
        """Keys from the left, two blanks between; the tighter setting where room is short."""
        for blanks in (2, 1):
            line = self._set(blanks)
            if line.cell_length <= self.size.width - 1:
                return line
        return self._keys_alone()

    def _set(self, blanks: int) -> Content:
        look = look_of(self)
        line = Content(" ")
        self._places = []
        for foot in self.feet:
            part = look.say((foot.shown, "key"), " ", (foot.label, "soft"))
            self._places.append((line.cell_length, line.cell_length + part.cell_length, foot.key))
            line = Content.assemble(line, part, " " * blanks)
        return line.rstrip()

    def _keys_alone(self) -> Content:
        """On a phone: as many whole keys as fit, and help always."""
        look = look_of(self)
        last = self.feet[-1]
        line = Content(" ")
        self._places = []
        room = self.size.width - 3 - len(last.shown) - len(last.label)
        for foot in (*self.feet[:-1], last):
            part = look.say((foot.shown, "key"), " ", (foot.label, "soft"), " ")
            if foot is not last and line.cell_length + part.cell_length > room:
                continue
            self._places.append((line.cell_length, line.cell_length + part.cell_length, foot.key))
            line = Content.assemble(line, part)
        return line.rstrip()

    def on_click(self, event: events.Click) -> None:
        """A tap is the key."""
        for start, end, key in self._places:
            if start <= event.x < end:
                self.app.simulate_key(key)
