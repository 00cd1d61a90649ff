"""Three-row buttons for a thumb: pressed and released inside, the letter is the key."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.binding import Binding
from textual.content import Content
from textual.message import Message
from textual.widget import Widget

from intake.screens.painted import PaintedApp, look_of


class BigButton(Widget, can_focus=True):
    """A target of three rows. `key` is the letter on it, "" where the words are enough."""

    BINDINGS: ClassVar = [Binding("enter,space", "press", "Press", show=False)]

    class Pressed(Message):
        """The button was meant."""

        def __init__(self, button: BigButton) -> None:
            self.button = button
            super().__init__()

        @property
        def control(self) -> BigButton:
            """The button, so that handlers can name its id."""
            return self.button

    def __init__(
        self, label: str, key: str = "", *, id: str, first: bool = False, off: bool = False
    ) -> None:
        super().__init__(id=id, disabled=off)
        self.first = first
        self.label = label
        self.key = key

    def render(self) -> Content:
        """The letter and the words in the middle of three rows."""
        look = look_of(self)
        lit = self.has_class("-lit")
        role = "off" if self.disabled else ("touch-block" if lit else "bold")
        parts: list[tuple[str, str]] = [(self.label, role)]
        if self.key:
            letter = role if lit or self.disabled else "key"
            if len(self.key) + 2 + len(self.label) > self.size.width - 2:
                return look.say((self.key, letter)) + Content("\n") + look.say(*parts)
            parts = [(self.key, letter), ("  ", role if lit else "ink"), *parts]
        marked = look.say(*parts)
        if look.plain:
            ends = ("> ", " <") if lit else ("[ ", " ]")
            marked = look.say((ends[0], "bold"), marked, (ends[1], "bold"))
        return marked

    def action_press(self) -> None:
        """Means it."""
        self.post_message(self.Pressed(self))

    def on_click(self, event: events.Click) -> None:
        """A click counts only when press and release were both inside; a drip is dropped."""
        event.stop()
        app = self.app
        if isinstance(app, PaintedApp) and app.guard.drops(f"tap {self.id}"):
            return
        self.action_press()

    def on_mount(self) -> None:
        """The first button is lit until another has the focus."""
        self.set_class(self.first, "-lit")

    def watch_has_focus(self, has_focus: bool) -> None:
        """The light moves with the focus."""
        super().watch_has_focus(has_focus)
        if not self.is_attached:
            return
        buttons = list(self.screen.query(BigButton))
        any_focus = any(button.has_focus for button in buttons)
        for button in buttons:
            button.set_class(button.has_focus or (button.first and not any_focus), "-lit")
            button.refresh()
