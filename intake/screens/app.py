"""The app: seven modes, each built on first use, and the keys that work everywhere."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import ClassVar, cast

from textual import events
from textual.binding import Binding, BindingType
from textual.screen import Screen

from intake.screens.desk_app import DeskApp
from intake.screens.room_screen import RoomScreen
from intake.screens.widgets.footline import FootLine

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
    _first = False
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

    def begin(self, mode: str, *, first: bool) -> None:
        """What is shown first: a mode, and in front of it the choices where no room is yet."""
        self.DEFAULT_MODE = mode  # type: ignore[misc]  # each app has its own first mode
        self._first = first

    def on_mount(self) -> None:
        """The first start stands in front of everything."""
        if self._first:
            from intake.screens.first import FirstScreen

            self.push_screen(FirstScreen())

    def action_help_here(self) -> None:
        """The help of the screen in front."""
        from intake.screens.help import HelpScreen

        screen = self.screen
        if isinstance(screen, RoomScreen):
            cut = "" if screen.because.whole else screen.because.text
            feet = screen.query_one(FootLine).feet
            self.push_screen(HelpScreen(screen.HELP, feet, cut))

    def action_wrong_here(self) -> None:
        """What to do at once, with the vessel of the screen in front, or of the one behind it."""
        from intake.screens.wrong import WrongScreen

        rooms = [s for s in reversed(self.screen_stack) if isinstance(s, RoomScreen)]
        meant = next((s for s in rooms if s.wrong_vessel() or s.wrong_bag()), None)
        vessel, bag = (meant.wrong_vessel(), meant.wrong_bag()) if meant else ("", None)
        self.push_screen(WrongScreen(vessel, bag))

    def action_lift_here(self) -> None:
        """The fish of a bath are out, whatever screen is in front."""
        from intake.screens.lifting import lift_out

        if isinstance(self.screen, RoomScreen):
            lift_out(self.screen)

    def new_day(self) -> None:
        """The screen in front shows the new day; one behind it does when it comes forward."""
        if isinstance(self.screen, RoomScreen):
            self.screen.new_day()

    def action_night_or_day(self) -> None:
        """Turns the palette over; plain has none to turn."""
        if not self.look.plain:
            self.theme = "day" if self.theme == "night" else "night"

    def on_app_focus(self, event: events.AppFocus) -> None:
        """Coming back to the terminal counts as a screen appearing: the tap that woke it."""
        self.guard.screen_appeared()
        del event
