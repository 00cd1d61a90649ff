"""The first start: a demo room to look at, or a room of one's own in five minutes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from intake.flows.views.start import FirstStart
from intake.screens.question import HELP_KEY, FormScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import path_rows, rows_of
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.quantity_field import WORDS, Asked

SAYS = (
    "Receive live fish, match their water, dose by true volume, keep the quarantine.",
    "The product label, your vet and your local law come first, and win where they differ.",
)


class FirstScreen(RoomScreen[None]):
    """Two choices; nothing is made before one of them is taken."""

    MODE: ClassVar[str] = "today"
    HELP: ClassVar[str] = (
        "d builds a room with an invented keeper and invented fish beside yours and opens it; "
        "s asks your name, the time zone and the step of your tape and scale, and makes your own "
        "room. Vessels are measured after that on Vessels, key 6. ctrl+q leaves without making "
        "anything."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("d", "d", "Demo"),
        Foot("s", "s", "Set up"),
        Foot("ctrl+q", "ctrl+q", "Leave"),
        HELP_KEY,
    )
    BUTTONS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("demo", "d", "See the demo room"),
        ("set_up", "s", "Set up mine, 5 minutes"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("d", "demo", show=False),
        Binding("s", "set_up", show=False),
        Binding("1,2,3,4,5,6,7", "no_room", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.view: FirstStart | None = None

    def compose_body(self) -> ComposeResult:
        """What the program is for, and where the room would be."""
        yield Lines(self._lines, id="first", classes="tall")

    def appeared(self) -> None:
        """Asks where the room would be; asking makes nothing."""
        self.ask(lambda jobs: jobs.first_start(), self._show)

    def action_back(self) -> None:
        """There is nothing behind this screen yet."""

    def action_no_room(self) -> None:
        """A mode needs a room."""
        self.because.say("There is no room to show yet: d or s.", "soft")

    def _show(self, view: FirstStart) -> None:
        self.view = view
        slip = "that place was named; is it the one you meant? " if view.named else ""
        self.because.explain(f"{slip}nothing is made before you choose.")
        self.query_one("#first", Lines).refresh()

    def _lines(self, width: int, look: Look) -> list[Content]:
        lines = [look.say(("intake", "bold")), Content("")]
        for text in SAYS:
            lines += [look.say((row, "ink")) for row in rows_of(text, width, width, 2)]
        if self.view is not None:
            demo = "is there already" if self.view.demo_there else "is built beside it"
            lines += [
                Content(""),
                look.say(("There is no room yet at", "soft")),
                *(look.say((row, "bold")) for row in path_rows(self.view.room, width, 3)),
                Content(""),
                look.say((f"The demo room {demo}:", "soft")),
                *(look.say((row, "soft")) for row in path_rows(self.view.demo, width, 3)),
            ]
        return lines

    def action_demo(self) -> None:
        """Builds the demo room where it is not there, and opens it."""
        self.ask(
            lambda jobs: jobs.demo_room(),
            lambda _none: self._opened(),
            waiting="building the demo room",
        )

    def action_set_up(self) -> None:
        """Who records here, and what is measured with."""
        view = self.view
        if view is None:
            return
        asked = (
            Asked("keeper", "your name", WORDS, needed=True, first=view.keeper),
            Asked("time-zone", "time zone", WORDS, needed=True, first=view.time_zone),
            Asked("tape", "step of your tape", "length", "cm", first="1 cm"),
            Asked("scale", "step of your scale", "amount", "g", first="1 g"),
        )

        def typed(answer: Mapping[str, str] | None) -> None:
            if answer:
                self.record(lambda jobs: jobs.room_new(answer), lambda _done: self._opened())

        why = f"makes a room at {view.room}"
        self.app.push_screen(FormScreen("A room of your own", asked, why), typed)

    def _opened(self) -> None:
        self.dismiss(None)
