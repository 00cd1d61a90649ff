"""The app: seven modes, each built on first use, and the keys that work everywhere."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import ClassVar, cast

from textual import events
from textual.binding import Binding, BindingType
from textual.screen import Screen

from intake.screens.room_screen import DeskApp

MODES = {
    "today": "TodayScreen",
    "receive": "ReceiveScreen",
    "dose": "DoseScreen",
    "calendar": "CalendarScreen",
    "fish": "FishScreen",
    "vessels": "VesselsScreen",
    "protocols": "ProtocolsScreen",
}


def _factory(mode: str, screen: str) -> Callable[[], Screen[object]]:
    def build() -> Screen[object]:
        module = import_module(f"intake.screens.{mode}")
        return cast(Screen[object], getattr(module, screen)())

    return build


class IntakeApp(DeskApp):
    """The screens of one room."""

    TITLE = "intake"
    MODES: ClassVar = {mode: _factory(mode, screen) for mode, screen in MODES.items()}
    DEFAULT_MODE = "today"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q", "quit", "Quit", show=False, priority=True),
        Binding("ctrl+n", "night_or_day", "Night or day", show=False),
        *[
            Binding(str(number), f"mode({mode!r})", show=False)
            for number, mode in enumerate(MODES, 1)
        ],
    ]

    async def action_mode(self, mode: str) -> None:
        """Goes to a mode; questions of the mode that is left stay as they are."""
        await self.switch_mode(mode)

    def action_night_or_day(self) -> None:
        """Turns the palette over; plain has none to turn."""
        if not self.look.plain:
            self.theme = "day" if self.theme == "night" else "night"

    def on_app_focus(self, event: events.AppFocus) -> None:
        """Coming back to the terminal counts as a screen appearing: the tap that woke it."""
        self.guard.screen_appeared()
        del event
