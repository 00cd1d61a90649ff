"""The top row: seven modes and the clock, which becomes a banner when something is overdue."""

from __future__ import annotations

from rich.cells import cell_len
from textual import events
from textual.content import Content
from textual.message import Message
from textual.widget import Widget

from intake.screens.painted import PaintedApp, look_of
from intake.screens.watch import ended_text, over

MODES = ("Today", "Receive", "Dose", "Calendar", "Fish", "Vessels", "Protocols")

_SHAPES = ((1, True), (0, True), (1, False), (0, False))
"""How tight the strip is set, roomiest first: blanks around a name, all names shown."""


class ModeStrip(Widget):
    """Shows where you are; a tap on a name goes there."""

    class Picked(Message):
        """A mode was tapped."""

        def __init__(self, mode: str) -> None:
            self.mode = mode
            super().__init__()

    def __init__(self, current: str) -> None:
        super().__init__(id="strip")
        self.current = current
        self._places: list[tuple[int, int, str]] = []

    def on_mount(self) -> None:
        """The clock is looked at every second and repainted when it shows something else."""
        self._clock = self._clock_text()
        self.set_interval(1, self._tick)

    def _tick(self) -> None:
        text = self._clock_text()
        if text != self._clock:
            self._clock = text
            self.refresh()

    def _clock_text(self) -> tuple[str, bool]:
        app = self.app
        if not isinstance(app, PaintedApp):
            return "", False
        now = app.now()
        ended = over(app.timers, now)
        if ended:
            return f" {ended_text(ended[0], now)} {ended[0].word} ", True
        return f" {now:%H:%M} ", False

    def render(self) -> Content:
        """The roomiest strip that fits, the clock at the right end."""
        look = look_of(self)
        width = self.size.width
        clock, overdue = self._clock_text()
        names, places = self._fitting(width - cell_len(clock))
        self._places = places
        end = look.say((clock, "stop-block" if overdue else "soft"))
        gap = width - names.cell_length - end.cell_length
        return Content.assemble(names, " " * max(0, gap), end)

    def _fitting(self, room: int) -> tuple[Content, list[tuple[int, int, str]]]:
        for blanks, all_names in _SHAPES:
            content, places = self._set(blanks, all_names)
            if content.cell_length <= room:
                break
        return content, places

    def _set(self, blanks: int, all_names: bool) -> tuple[Content, list[tuple[int, int, str]]]:
        look = look_of(self)
        parts: list[Content] = []
        places: list[tuple[int, int, str]] = []
        at = 0
        for number, name in enumerate(MODES, 1):
            here = name.lower() == self.current
            shown = f"{number} {name}" if all_names or here else f"{number}"
            pad = " " * (blanks if not here else 1)
            if here:
                part = look.say((f"{pad}{shown}{pad}", "touch-block"))
            else:
                label = shown[1:]
                part = look.say(pad, (str(number), "touch"), (label, "soft"), pad)
            if not blanks and not here:
                part = Content.assemble(part, " ")
            places.append((at, at + part.cell_length, name.lower()))
            at += part.cell_length
            parts.append(part)
        return Content.assemble(*parts), places

    def on_click(self, event: events.Click) -> None:
        """Goes to the mode under the finger."""
        for start, end, mode in self._places:
            if start <= event.x < end:
                self.post_message(self.Picked(mode))
