"""Something is wrong: asks nothing first. What to do in order, then what to record."""

from __future__ import annotations

from dataclasses import replace
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content

from intake.flows.views.parts import Recorded, Wrong
from intake.science.problem import Refused, Unreadable
from intake.screens.question import BACK_KEY, HELP_KEY, PickScreen, QuestionScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.saying import no_text
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import rows_of
from intake.screens.widgets.painted_lines import Lines

FIRST = Wrong(
    title="Something is wrong",
    do=(
        "Air on, lights low, stop feeding.",
        "Stop any treatment under way. Did it begin today: change a third of the water with "
        "matched, dechlorinated water, unless its pH may be under 7 with ammonia in it.",
        "Read temperature, pH and TAN, and look at every fish.",
    ),
    amounts=(),
    then_record=("w on Today, the water test", "s on Today, what you saw"),
    because="stopping a treatment, a water change and moving a fish out are never held back; "
    "write them down afterwards.",
)
"""What helps and does little harm whatever it was (common practice)."""

MOST_ROWS = 6
GASPING = "gasping"


class WrongScreen(QuestionScreen[None]):
    """First what to do at once; one key more for what it looks like."""

    HELP: ClassVar[str] = (
        "Nothing here is held back and nothing is asked first. Press g when fish gasp, p when the "
        "pH has crashed, w for all that can be looked up; the actions then become those for it, "
        "with the amounts of the vessel you stood at."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("g", "g", "Gasping"),
        Foot("p", "p", "pH crash"),
        Foot("w", "w", "All"),
        Foot("down", "↑ ↓", "More"),
        BACK_KEY,
        HELP_KEY,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("g", "known('gasping')", show=False),
        Binding("p", "known('ph-crash')", show=False),
        Binding("w", "what", show=False),
        Binding("up,pageup", "roll(-1)", show=False),
        Binding("down,pagedown", "roll(1)", show=False),
    ]
    URGENT: ClassVar[frozenset[str]] = RoomScreen.URGENT | {"g", "p"}

    def __init__(self, vessel: str, bag: tuple[str, int] | None = None) -> None:
        super().__init__()
        self._vessel = vessel
        self._bag = bag
        self._noted = False
        self._shown = FIRST

    def compose_body(self) -> ComposeResult:
        """The actions, large and numbered."""
        with VerticalScroll(id="wrong", can_focus=False):
            yield Lines(self._lines, id="actions")

    def on_mount(self) -> None:
        """Says what is never held back."""
        self.because.explain(self._shown.because)

    async def action_wrong(self) -> None:
        """Already here."""

    def action_roll(self, by: int) -> None:
        """The rows that do not fit."""
        self.query_one("#wrong", VerticalScroll).scroll_relative(
            y=by * max(1, self.size.height // 3), animate=False
        )

    def action_what(self) -> None:
        """Picks what it looks like."""
        self.ask(lambda jobs: jobs.rescues(), self._pick, failed=self._not_read)

    def _pick(self, rescues: tuple[tuple[str, str], ...]) -> None:
        question = PickScreen(
            "What does it look like?",
            rescues,
            "the actions for it come from the rescue files; the label and your vet come first.",
        )
        self.app.push_screen(question, self.action_known)

    def action_known(self, rescue: str | None) -> None:
        """The actions for it, with the amounts of the vessel the keeper stood at."""
        if rescue == GASPING and self._bag is not None:
            self._show(self._shown)
            self._note_gasping(*self._bag)
        if rescue:
            vessel = self._vessel
            self.ask(
                lambda jobs: jobs.wrong(vessel, rescue),
                self._show,
                failed=self._not_read,
                group="wrong",
            )

    def _note_gasping(self, box: str, bag: int) -> None:
        """Written down after it is shown what to do, without a question, once for a held key."""
        if self._noted:
            return
        typed = {GASPING: "yes"}
        self.record(
            lambda jobs: jobs.bag_save(box, bag, typed), self._was_noted, failed=self._not_read
        )

    def _was_noted(self, recorded: Recorded) -> None:
        self._noted = True
        del recorded

    def _show(self, wrong: Wrong) -> None:
        lift = self._lift()
        if lift and lift not in wrong.do:
            wrong = replace(wrong, do=(lift, *wrong.do))
        self._shown = wrong
        self.because.explain(wrong.because)
        self.query_one("#actions", Lines).show(self._lines)
        self.query_one("#wrong", VerticalScroll).scroll_home(animate=False)

    def _lift(self) -> str:
        """What comes first for fish in a bag."""
        if self._bag is None:
            return ""
        box, bag = self._bag
        there = self._vessel or "the best water there is"
        return (
            f"{box}, bag {bag}: open it and lift the fish across into {there} now, by wet hand"
            " or bowl, none of the bag's water with them."
        )

    def _not_read(self, no: Refused | Unreadable) -> None:
        self.because.keep(f"{no_text(no)} What stands above holds all the same.", "stop")

    def _lines(self, width: int, look: Look) -> list[Content]:
        wrong = self._shown
        where = wrong.where or self._vessel
        lines = [look.say((wrong.title, "bold"), (f"  {where}" if where else "", "soft"))]
        lines.append(Content(""))
        for number, text in enumerate(wrong.do, 1):
            rows = rows_of(text, width - 5, width - 5, MOST_ROWS)
            lines.append(look.say((f"{number:>3}  ", "key"), (rows[0], "bold")))
            lines += [look.say("     ", (row, "bold")) for row in rows[1:]]
        for head, texts in (("amounts", wrong.amounts), ("then", wrong.then_record)):
            if texts:
                lines.append(Content(""))
            for at, text in enumerate(texts):
                rows = rows_of(text, width - 9, width - 9, MOST_ROWS)
                lines.append(look.say(((head if at == 0 else "").ljust(9), "bold"), rows[0]))
                lines += [look.say(" " * 9, row) for row in rows[1:]]
        return lines
