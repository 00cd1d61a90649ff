"""What is due at one vessel, each task done or skipped by itself."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from intake.flows.views.parts import Recorded
from intake.flows.views.today import RoundTask
from intake.screens.question import BACK_KEY, HELP_KEY, PickScreen, QuestionScreen, WordsScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import shorten
from intake.screens.widgets.options import first_shown
from intake.screens.widgets.painted_lines import Lines

OWN_WORDS = "own words"
STAYS = "a skipped task stays in the journal with its reason."
MARKS = {"done": ("✓", "faint"), "skipped": ("┄", "faint"), "overdue": ("▲", "care")}


class TasksScreen(QuestionScreen[None]):
    """Space or enter says done, k skips with a reason; the list stays open."""

    HELP: ClassVar[str] = (
        "Move with the arrows. Space or enter writes that the task under the cursor is done; k "
        "skips it, with a reason. A look, a water test, a change or a dose is better recorded by "
        "its own key: that ticks the task off by itself."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("up", "↑ ↓", "Move"),
        Foot("space", "space", "Done"),
        Foot("k", "k", "Skip"),
        BACK_KEY,
        HELP_KEY,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
        Binding("space,enter", "done", show=False),
        Binding("k", "skip", show=False),
        Binding("t", "back", show=False),
    ]

    def __init__(
        self, vessel: str, tasks: tuple[RoundTask, ...], reasons: tuple[str, ...]
    ) -> None:
        super().__init__()
        self._vessel = vessel
        self.tasks = tasks
        self._reasons = reasons
        self.states = [task.state for task in tasks]
        self.cursor = 0

    def compose_body(self) -> ComposeResult:
        """The vessel over its tasks."""
        yield Lines(
            lambda width, look: [
                look.say(("Due", "bold"), ("  " + shorten(self._vessel, width - 5), "soft"))
            ]
        )
        yield Lines(lambda _width, _look: [Content("")])
        yield Lines(self._lines, id="tasks", classes="wide")

    def on_mount(self) -> None:
        """Says why the first one is due."""
        self._explain()

    def _explain(self) -> None:
        self.because.explain(self.tasks[self.cursor].because)
        self.query_one("#tasks", Lines).refresh()

    def _lines(self, width: int, look: Look) -> list[Content]:
        rows = max(1, self.query_one("#body").size.height - 2)
        first = first_shown(self.cursor, len(self.tasks), rows)
        lines = []
        for at in range(first, min(len(self.tasks), first + rows)):
            task, state, here = self.tasks[at], self.states[at], at == self.cursor
            mark, role = MARKS.get(state, ("○", "ink"))
            words = f"{task.text} {task.figure} {task.at}".replace("  ", " ").strip()
            said = "" if state == "due" else f"  {state}"
            lines.append(
                look.say(
                    ("▌ " if here else "  ", "touch"),
                    (mark, role),
                    "  ",
                    (shorten(words, width - 18), "bold" if here else "ink"),
                    (said, role),
                )
            )
        return lines

    @property
    def _open(self) -> bool:
        if self.states[self.cursor] in ("due", "overdue"):
            return True
        self.because.say(f"This one is {self.states[self.cursor]} already.", "soft")
        return False

    def action_step(self, by: int) -> None:
        """The task before or after."""
        self.cursor = max(0, min(self.cursor + by, len(self.tasks) - 1))
        self._explain()

    def action_done(self) -> None:
        """The task under the cursor is done."""
        if self._open:
            at = self.cursor
            self.record(lambda jobs: jobs.done(self.tasks[at].id), lambda _: self._now(at, "done"))

    def action_skip(self) -> None:
        """The task under the cursor is skipped, with a reason."""
        if not self._open:
            return
        at = self.cursor
        task = self.tasks[at].id
        ask_skip(self, task, self._reasons, lambda _: self._now(at, "skipped"))

    def _now(self, at: int, state: str) -> None:
        self.states[at] = state
        self.query_one("#tasks", Lines).refresh()


def ask_skip(
    screen: RoomScreen[None],
    task: str,
    reasons: tuple[str, ...],
    then: Callable[[Recorded], None],
) -> None:
    """Asks why a task is skipped, one of the usual reasons or words of one's own."""

    def write(why: str | None) -> None:
        if why:
            screen.record(lambda jobs: jobs.skip(task, why), then)

    def answered(why: str | None) -> None:
        if why == OWN_WORDS:
            screen.app.push_screen(WordsScreen("Why is it skipped?", STAYS), write)
        else:
            write(why)

    options = (*((reason, reason) for reason in reasons), (OWN_WORDS, "in your own words"))
    screen.app.push_screen(PickScreen("Why is it skipped?", options, STAYS), answered)
