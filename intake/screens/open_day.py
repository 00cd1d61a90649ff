"""One water on one day: its tasks done or skipped, its release checks passed, the release."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from intake.flows.views.calendar import CalendarView, DayTask, QuarantineChoices, SystemStrip
from intake.screens.calendar_day import away, moved_from, task_line, why_day
from intake.screens.calendar_lines import short_day
from intake.screens.foretell import foretell
from intake.screens.papers import ask_release
from intake.screens.question import (
    BACK_KEY,
    HELP_KEY,
    LinesScreen,
    PickScreen,
    QuestionScreen,
    WordsScreen,
)
from intake.screens.tasks import ask_skip
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import padded, shorten
from intake.screens.widgets.options import first_shown
from intake.screens.widgets.painted_lines import Lines

STATES = {"met": ("✓", "good"), "open": ("○", "ink"), "passed-by-reason": ("▲", "care")}
BY_REASON = "wait for the evidence, or pass a check by a reason: p on its line"
NEEDS_LOOK = "a check is met by what was recorded; p passes it by a reason, in the release."


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the list: a task of the day, or a release check."""

    task: DayTask | None = None
    check: tuple[str, str, str] = ("", "", "")


class OpenDayScreen(QuestionScreen[None]):
    """Tasks over checks, one cursor through both; the because line has the evidence."""

    HELP: ClassVar[str] = (
        "The tasks of the day stand over the release checks of this water; the arrows move. "
        "Space writes that a task is done, k skips it with a reason; a look, a water test, a "
        "slide or a dose is better recorded by its own key, which ticks it off. On a check the "
        "because line shows the evidence, enter all of it; p passes it by a reason that goes into "
        "the release, and r releases: the whole water, or one fish or group of it. Who would be "
        "free is shown first; while a check is open and no reason passes it, nothing is released. "
        "o puts all of it on paper."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("space", "space", "Done"),
        Foot("k", "k", "Skip"),
        Foot("p", "p", "Pass check"),
        Foot("r", "r", "Release"),
        Foot("o", "o", "Paper"),
        BACK_KEY,
        HELP_KEY,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
        Binding("space", "done", show=False),
        Binding("enter", "whole", show=False),
        Binding("k", "skip", show=False),
        Binding("p", "pass_check", show=False),
        Binding("r", "release", show=False),
        Binding("o", "paper", show=False),
    ]

    def __init__(self, view: CalendarView, system: str, day: date) -> None:
        super().__init__()
        self.view = view
        self.system = system
        self.day = day
        self.cursor = 0
        self.passed: dict[str, str] = {}

    def compose_body(self) -> ComposeResult:
        """One list."""
        yield Lines(self._lines, id="open-day", classes="tall")

    def on_mount(self) -> None:
        """Says why the first line is there."""
        self._explain()

    def wrong_vessel(self) -> str:
        """The water shown."""
        return self.system

    @property
    def strip(self) -> SystemStrip | None:
        """The water shown; None once it is released."""
        return next((s for s in self.view.systems if s.system == self.system), None)

    @property
    def rows(self) -> list[Row]:
        """Tasks, then checks."""
        strip = self.strip
        if strip is None:
            return []
        tasks = [Row(task=t) for t in strip.tasks if t.day == self.day]
        return [*tasks, *(Row(check=check) for check in strip.checks)]

    @property
    def row(self) -> Row:
        """The line under the cursor."""
        rows = self.rows
        return rows[min(self.cursor, len(rows) - 1)] if rows else Row()

    def _explain(self) -> None:
        row, strip = self.row, self.strip
        if row.task is not None:
            self.because.explain(row.task.because)
        elif row.check[0]:
            name, _, evidence = row.check
            reason = self.passed.get(name)
            told = f"passed by reason once released: {reason}; {evidence}" if reason else evidence
            self.because.explain(told)
        elif strip is not None:
            self.because.explain(why_day(strip, self.day))
        else:
            self.because.explain(f"{self.system} is not in quarantine any more.")
        self.query_one("#open-day", Lines).refresh()

    # what is drawn

    def _lines(self, width: int, look: Look) -> list[Content]:
        strip = self.strip
        head = f"{self.system}  {short_day(self.day)}"
        if strip is None:
            return [look.say((shorten(head, width), "bold")), Content(""),
                    look.say(("released", "good"))]  # fmt: skip
        said = f"   {away(self.day, self.view.today)}, {strip.said}"
        lines = [look.say((head, "bold"), (shorten(said, width - len(head)), "soft"))]
        body, at = self._body(strip, width, look)
        room = max(1, self.query_one("#body").size.height - 2)
        first = first_shown(at, len(body), room) if len(body) > room else 0
        return [*lines, Content(""), *body[first : first + room]]

    def _body(self, strip: SystemStrip, width: int, look: Look) -> tuple[list[Content], int]:
        """All lines, and which of them the cursor is on."""
        lines: list[Content] = []
        place = 0
        rows = self.rows
        tasks = [r.task for r in rows if r.task is not None]
        for at, task in enumerate(tasks):
            place = len(lines) if at == self.cursor else place
            lines.append(task_line(task, width, look, here=at == self.cursor))
        for task in moved_from(strip, self.day):
            words = f"{task.text} moved to {short_day(task.day)}"
            lines.append(look.say("  ", ("→", "soft"), "  ", (shorten(words, width - 5), "soft")))
        if not lines:
            lines.append(look.say("  ", ("nothing is due that day", "faint")))
        when = short_day(strip.earliest_release) if strip.earliest_release else "not known"
        text = f"release checks   earliest release {when}, set by {strip.decided_by or 'none'}"
        lines += [Content(""), look.say((shorten(text, width), "soft"))]
        for at, row in enumerate(rows[len(tasks) :], len(tasks)):
            place = len(lines) if at == self.cursor else place
            lines.append(self._check(row.check, width, look, here=at == self.cursor))
        return lines, place

    def _check(
        self, check: tuple[str, str, str], width: int, look: Look, *, here: bool
    ) -> Content:
        name, state, evidence = check
        state = "passed-by-reason" if name in self.passed else state
        mark, role = STATES[state]
        told = f"by reason: {self.passed[name]}" if name in self.passed else evidence
        return look.say(
            ("▌ " if here else "  ", "touch"),
            (mark, role),
            "  ",
            (padded(name, 16), "bold" if here else "ink"),
            (shorten(told, width - 22), "faint" if state == "met" else "soft"),
        )

    # what is written

    def action_step(self, by: int) -> None:
        """The line before or after."""
        self.cursor = max(0, min(self.cursor + by, len(self.rows) - 1))
        self._explain()

    def _again(self, _recorded: object = None) -> None:
        self.ask(lambda jobs: jobs.calendar(), self._show)

    def _show(self, view: CalendarView) -> None:
        self.view = view
        self.cursor = max(0, min(self.cursor, len(self.rows) - 1))
        self._explain()

    def action_whole(self) -> None:
        """All that is known of the line under the cursor: the evidence, or the chain of causes."""
        row, strip = self.row, self.strip
        if row.task is not None:
            when = short_day(row.task.day)
            told = row.task.why or (row.task.because,)
            self.app.push_screen(LinesScreen(f"Why {row.task.text} on {when}", told))
        elif strip is not None and row.check[0]:
            name, state, evidence = row.check
            title = f"{name}: {state.replace('-', ' ')}  {strip.system}"
            told = tuple(part for part in evidence.split("; ") if part)
            self.app.push_screen(LinesScreen(title, told, f"{strip.decided_by} sets the date."))

    def action_done(self) -> None:
        """The task under the cursor is done."""
        task = self.row.task
        if task is None:
            self.because.say(NEEDS_LOOK, "soft")
        elif task.state in ("done", "skipped"):
            self.because.say(f"This one is {task.state} already.", "soft")
        elif task.state == "upcoming":
            self.because.say(f"Not before {short_day(task.day)}; k skips it ahead.", "soft")
        else:
            self.record(lambda jobs: jobs.done(task.id), self._again)

    def action_skip(self) -> None:
        """The task under the cursor is skipped, with a reason."""
        task = self.row.task
        if task is None:
            self.because.say(NEEDS_LOOK, "soft")
        elif task.state in ("done", "skipped"):
            self.because.say(f"This one is {task.state} already.", "soft")
        else:
            ask_skip(self, task.id, self.view.skip_reasons, self._again)

    def action_pass_check(self) -> None:
        """The check under the cursor is to be passed by a reason, said in the release."""
        name, state, _ = self.row.check
        if not name or state != "open":
            self.because.say("Only an open check is passed: move to one of them.", "soft")
            return

        def answered(why: str | None) -> None:
            if why:
                self.passed[name] = why
                self._explain()

        title = f"Why may {name} be passed?"
        because = "it is stored with the release; ask your vet before fish meet your own."
        self.app.push_screen(WordsScreen(title, because), answered)

    def action_release(self) -> None:
        """The water, or one fish or group of it; what follows is shown first."""
        if self.strip is not None:
            self.ask(lambda jobs: jobs.quarantine_choices(), self._whom, group="choices")

    def action_paper(self) -> None:
        """The release of this water as a file, or what is still open."""
        ask_release(self, self.system)

    def _whom(self, choices: QuarantineChoices) -> None:
        own = [(name, detail) for name, detail, water in choices.fish if water == self.system]
        whole = f"{self.system}: the whole water, {len(own)} fish and groups"
        options = ((self.system, whole), *((n, f"{n}  {detail}") for n, detail in own))
        if len(own) < 2:
            self._release(self.system)
            return
        why = "one fish by itself must be in clean water of its own within a day."
        question = PickScreen("Release whom?", options, why)
        self.app.push_screen(question, lambda name: self._release(name) if name else None)

    def _release(self, name: str) -> None:
        typed: dict[str, object] = {"subject": [name]}
        if self.passed:
            typed["pass"] = [f"{check}:{why}" for check, why in self.passed.items()]
        foretell(
            self, "release", typed, f"Release  {name}", "Release", self._released, way=BY_REASON
        )

    def _released(self, _recorded: object) -> None:
        self.passed.clear()
        self._again()
