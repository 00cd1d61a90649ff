"""Moving a fish: where to, what that would do, then the record with its reason."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content

from intake.flows.views.fish import FishRow
from intake.flows.views.parts import Recorded
from intake.screens.question import BACK_KEY, FormScreen, PickScreen, QuestionScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot, FootLine
from intake.screens.widgets.lines import rows_of, shorten
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.quantity_field import Asked

REASONS = (
    ("hospital", "to treat it alone"),
    ("crowded", "too crowded where it is"),
    ("chased", "it is chased"),
    ("size", "to keep sizes together"),
    ("breeding", "to breed"),
    ("released", "its quarantine is over"),
)
MIXING = "mixing"
TEST = ("test", "to see whether it falls ill among the new ones")
INTO = (
    (MIXING, "as a mixing test: your own healthy fish in"),
    ("for-good", "for good: the days of all fish there begin again"),
)
RESIDENT = (
    "a mixing test takes one or two released fish of your own; they share the new ones' days "
    "from then on."
)


class WhatIfScreen(QuestionScreen[bool]):
    """What a move drags in, before anything is lifted. Enter does nothing here."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("r", "take", show=False)]

    def __init__(
        self,
        title: str,
        drags: tuple[str, ...],
        *,
        told: tuple[str, ...] = (),
        label: str = "Record move",
        because: str = "nothing is recorded yet: this is what would follow from the move.",
    ) -> None:
        super().__init__()
        self._told = told
        self._label = label
        self._because = because
        self._title = title
        self._drags = drags

    def compose_body(self) -> ComposeResult:
        """Every clock, date and fish it would touch."""
        with VerticalScroll(can_focus=True):
            yield Lines(self._lines, classes="lines")

    def on_mount(self) -> None:
        """Nothing is stored yet."""
        self.query_one(FootLine).show((Foot("r", "r", self._label), BACK_KEY))
        self.because.explain(self._because)

    def action_take(self) -> None:
        """Yes, record it."""
        self.dismiss(True)

    def _lines(self, width: int, look: Look) -> list[Content]:
        lines = [look.say((shorten(self._title, width), "bold")), Content("")]
        for text in self._told:
            rows = rows_of(text, width - 4, width - 4, 3)
            lines += [look.say(("    ", "ink"), (row, "ink")) for row in rows]
        if self._told:
            lines.append(Content(""))
        if not self._drags:
            lines.append(look.say(("No clock and no date changes.", "ink")))
        for text in self._drags:
            rows = rows_of(text, width - 4, width - 4, 3)
            lines.append(look.say(("▲ ", "care"), "  ", (rows[0], "ink")))
            lines += [look.say("    ", (row, "ink")) for row in rows[1:]]
        return lines


def begin_move(
    screen: RoomScreen[None],
    row: FishRow,
    vessels: tuple[tuple[str, int], ...],
    quarantined: tuple[str, ...],
    then: Callable[[Recorded], None],
) -> None:
    """Asks where to, how many of a group, shows what would follow, asks why, records."""
    app = screen.app

    def where(to: str | None) -> None:
        if not to:
            return
        if to not in quarantined or row.vessel in quarantined:
            how_many(to, False)
            return
        question = PickScreen(f"{row.name} goes into {to}, which is in quarantine", INTO, RESIDENT)
        app.push_screen(question, lambda how: how_many(to, how == MIXING) if how else None)

    def how_many(to: str, mixing: bool) -> None:
        if row.count <= 1:
            what_if(to, None, mixing)
            return
        asked = (Asked("count", "how many of them", "count", needed=True),)
        why = f"{row.name} has {row.count}; moving fewer makes a second group."
        form = FormScreen(f"Move  {row.name} to {to}", asked, why)
        app.push_screen(form, lambda typed: counted(to, typed, mixing))

    def counted(to: str, typed: Mapping[str, str] | None, mixing: bool) -> None:
        if typed:
            what_if(to, int(typed["count"]), mixing)

    def what_if(to: str, count: int | None, mixing: bool) -> None:
        def show(drags: tuple[str, ...]) -> None:
            test = " as a mixing test" if mixing else ""
            title = f"Move  {row.name} from {row.vessel} to {to}{test}"
            app.push_screen(
                WhatIfScreen(title, drags), lambda yes: reason(to, count, mixing) if yes else None
            )

        screen.ask(lambda jobs: jobs.move_what_if(row.name, count, to, mixing), show)

    def reason(to: str, count: int | None, mixing: bool) -> None:
        reasons = (TEST, *REASONS) if mixing else REASONS
        question = PickScreen("Why is it moved?", reasons, "the reason is stored with the move.")
        app.push_screen(question, lambda why: record(to, count, why, mixing))

    def record(to: str, count: int | None, why: str | None, mixing: bool) -> None:
        if why:
            words = dict((TEST, *REASONS))[why]
            screen.record(lambda jobs: jobs.move(row.name, count, to, words, mixing), then)

    options = tuple((name, f"{name}  {n}") for name, n in vessels if name != row.vessel)
    app.push_screen(
        PickScreen(f"Move  {row.name} to", options, "clean to dirty, never back."), where
    )
