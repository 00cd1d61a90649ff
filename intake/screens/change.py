"""A change of water: what it does is seen while it is typed, before it is recorded."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.content import Content

from intake.flows.views.change import ChangeView
from intake.flows.views.parts import Recorded
from intake.science.problem import Refused, Unreadable
from intake.screens.question import FormScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.theme import Look
from intake.screens.widgets.lines import padded, rows_of, shorten
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.quantity_field import CHANGE, Asked, QuantityField

ASKED = (
    Asked("volume", "water changed, or 30 %", CHANGE, "L", needed=True),
    Asked("temp", "new water", "temperature", "C"),
    Asked("kh", "its KH, if not tap", "alkalinity", "dKH"),
    Asked("salt", "its salt", "salt", "g/L"),
)
"""What is asked of a change: how much, and what the new water is where it is not the tap's."""
LABEL, NOW = 17, 20


class ChangeScreen(FormScreen):
    """How much was changed; under it pH, NH3 and the rest, now and after. Answers the texts."""

    HELP: ClassVar[str] = (
        "Type how much is changed, in litres or as 30 %, and press enter. Under the fields stands "
        "what it does: likely at this vessel's own CO2, at most once it has lost it to the air. "
        "The new water is the tap's as last tested, under r on Today; say its temperature, its KH "
        "where it is rain or mixed, its salt. Nothing is held back: what was done is recorded."
    )

    def __init__(self, vessel: str) -> None:
        super().__init__(f"Change  {vessel}", ASKED, "what it does is worked out here.")
        self._vessel = vessel
        self.view: ChangeView | None = None

    def compose_body(self) -> ComposeResult:
        """The fields over what they do."""
        yield from super().compose_body()
        yield Lines(self._lines, id="foretold", classes="tall")

    def on_mount(self) -> None:
        """Begins in the first field, with the water as it stands."""
        super().on_mount()
        self._work_out()

    @on(QuantityField.Changed)
    def _typed(self, event: QuantityField.Changed) -> None:
        event.stop()
        self._work_out()

    def _work_out(self) -> None:
        typed = {f.asked.field: f.said for f in self.fields if f.text.strip() and not f.problem}
        self.ask(
            lambda jobs: jobs.change_foretold(self._vessel, typed),
            self._show,
            failed=self._unknown,
            group="foretold",
        )

    def _show(self, view: ChangeView) -> None:
        self.view = view
        self.because.explain(view.because)
        self.query_one("#foretold", Lines).refresh(layout=True)

    def _unknown(self, no: Refused | Unreadable) -> None:
        """What cannot be worked out keeps nobody from writing the change down."""
        self.because.explain(no.text if isinstance(no, Refused) else no.problems[0].text)

    def _lines(self, width: int, look: Look) -> list[Content]:
        view = self.view
        if view is None:
            return []
        room = self.query_one("#foretold", Lines).size.height
        cares = list(_care_lines(view, width, look))
        table = list(_row_lines(view, width, look))
        left = room - 1 - len(cares)
        return [Content(""), *cares, *(table[:left] if left > 1 else [])][:room]


def _care_lines(view: ChangeView, width: int, look: Look) -> Iterable[Content]:
    """What to take care of; in a crash the way out right under it."""
    for at, text in enumerate(view.cares):
        role, mark = ("stop", "■ ") if view.crash and at == 0 else ("care", "▲ ")
        rows = rows_of(text, width - 2, width - 2, 2)
        yield look.say((mark + rows[0], role))
        yield from (look.say(("  " + row, role)) for row in rows[1:])
        if view.crash and at == 0:
            yield from _do_lines(view.do, width, look)


def _do_lines(do: tuple[str, ...], width: int, look: Look) -> Iterable[Content]:
    for number, text in enumerate(do, 1):
        rows = rows_of(text, width - 5, width - 5, 2)
        yield look.say((f"  {number}  ", "faint"), (rows[0], "ink"))
        yield from (look.say("     ", (row, "ink")) for row in rows[1:])


def _row_lines(view: ChangeView, width: int, look: Look) -> Iterable[Content]:
    if not view.rows:
        return
    limit = f"after    NH3 limit {view.limit}"
    yield look.say((padded("", LABEL), "faint"), (padded("now", NOW), "faint"), (limit, "faint"))
    for label, now, after in view.rows:
        yield look.say(
            (padded(label, LABEL), "soft"),
            (padded(now, NOW), "ink"),
            (shorten(after, width - LABEL - NOW), "bold"),
        )


def ask_change(screen: RoomScreen[None], vessel: str, then: Callable[[Recorded], None]) -> None:
    """How much of a vessel's water was changed, with what that does."""

    def answered(typed: object) -> None:
        if isinstance(typed, dict) and typed:
            screen.record(lambda jobs: jobs.change(vessel, typed), then)

    screen.app.push_screen(ChangeScreen(vessel), answered)
