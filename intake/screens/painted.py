"""An app that knows its look: the themes, the guard and the clock every widget asks for."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import datetime
from typing import ClassVar

from rich.console import Console
from textual import events
from textual.app import App
from textual.dom import DOMNode
from textual.widgets import Input, TextArea

from intake.flows.views.parts import Timer
from intake.screens.guard import Guard
from intake.screens.theme import NIGHT, Look, themes

Now = Callable[[], datetime]
"""The room's wall time, with its zone."""


class PaintedApp(App[None]):
    """Registers the palettes before the first style sheet is read."""

    CSS_PATH = "room.tcss"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar = []

    def __init__(
        self,
        look: Look,
        now: Now,
        *,
        tick: Callable[[], float] = time.monotonic,
    ) -> None:
        self.look = look
        self.now = now
        self.timers: tuple[Timer, ...] = ()
        self.guard = Guard(tick)
        super().__init__(ansi_color=True if look.plain else None)
        if look.plain:
            # A dumb terminal gets no attributes from rich by itself, and attributes are all
            # plain has to tell STOP from the rest.
            self.console = Console(
                file=self.console.file,
                color_system="standard",
                force_terminal=True,
                legacy_windows=False,
                highlight=False,
                emoji=False,
            )
        for theme in themes():
            self.register_theme(theme)
        self.theme = look.theme

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """The roles exist before any theme is registered."""
        return {**super().get_theme_variable_defaults(), **NIGHT}

    async def on_event(self, event: events.Event) -> None:
        """Drops drips and dead-time keys before anything can answer them."""
        if isinstance(event, events.Key) and not event.is_forwarded and self._dropped(event):
            event.stop()
            return
        await super().on_event(event)

    def _dropped(self, event: events.Key) -> bool:
        in_field = isinstance(self.focused, (Input, TextArea))
        edits = event.is_printable or event.key in ("backspace", "delete")
        typing = in_field and edits
        urgent = not typing and event.key in getattr(self.screen, "URGENT", ())
        return self.guard.drops(event.key, typing=typing, urgent=urgent)


def look_of(node: DOMNode) -> Look:
    """The look of the app a widget lives in."""
    app = node.app
    return app.look if isinstance(app, PaintedApp) else Look()
