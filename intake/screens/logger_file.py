"""From Vessels: a logger's file asked for, looked at, then recorded."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.worker import get_current_worker

from intake.flows.views.logged import DayLogged, LogLook
from intake.flows.views.parts import Recorded
from intake.science.problem import Problem, Refused, Unreadable
from intake.screens.jobs import Jobs
from intake.screens.question import BACK_KEY, FormScreen, QuestionScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import rows_of, shorten
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.quantity_field import WORDS, Asked

FIELDS = (
    Asked("file", "logger's CSV file", WORDS, needed=True),
    Asked("dates", "dates like 3/4", WORDS, one_of=("day-first", "month-first")),
    Asked("unit", "unit, if none is named", WORDS, one_of=("C", "F")),
    Asked("column", "column, if several", WORDS),
    Asked("offset", "clock's offset, if fixed", WORDS),
)
WHY = "only the file is needed; what could be read two ways is asked for when it turns up."
NOT_YET = "nothing is recorded yet: r records all of it as one entry."
SAME = "this file is entry {0} already: nothing more is written."
PROBLEMS_SHOWN = 3
HEAD = ("day", "low C", "high C", "mean C", "rows", "gap")
WIDTHS = (12, 7, 8, 8, 9, 9)


def ask_logger(screen: RoomScreen[None], vessel: str, then: Callable[[Recorded], None]) -> None:
    """Asks which file, shows what it says, and records it with one key."""

    def ask(first: Mapping[str, str], wrong: tuple[str, ...] = ()) -> None:
        fields = tuple(
            Asked(f.field, f.ask, f.kind, needed=f.needed, one_of=f.one_of,
                  first=first.get(f.field, ""))
            for f in FIELDS
        )  # fmt: skip
        form = FileForm(f"Temperatures of a logger  {vessel}", fields, WHY, wrong)
        screen.app.push_screen(form, typed)

    def typed(answer: Mapping[str, str] | None) -> None:
        if not answer:
            return

        def look(jobs: Jobs) -> LogLook:
            return jobs.logger_look(vessel, answer, told)

        def no(why: Refused | Unreadable) -> None:
            ask(answer, _wrong(why))

        screen.ask(look, lambda found: show(answer, found), failed=no, group="logger",
                   waiting="reading the file")  # fmt: skip

    def told(share: float) -> None:
        if not get_current_worker().is_cancelled:
            screen.app.call_from_thread(
                screen.because.wait, f"reading the file, {share:.0%} · · ·"
            )

    def show(answer: Mapping[str, str], found: LogLook) -> None:
        def yes(record: bool | None) -> None:
            if record:
                screen.record(lambda jobs: jobs.logger_record(vessel, answer), then)

        screen.app.push_screen(LogScreen(found), yes)

    ask({})


def _wrong(why: Refused | Unreadable) -> tuple[str, ...]:
    """What keeps a file out, the first lines and what would be right; nothing was recorded."""
    if isinstance(why, Refused):
        return (why.text, why.way_out)
    first = why.problems[0]
    hint = first.hint.replace("--", "")  # the fields have the names of the options
    told = [_told(p) for p in why.problems[:PROBLEMS_SHOWN]]
    told[1:1] = [hint] if hint else []
    last, left = why.problems[-1], len(why.problems) - PROBLEMS_SHOWN
    if left > 0:
        told.append(last.text if last.code == "more-problems" else f"and {left} more")
    return tuple(told)


def _told(p: Problem) -> str:
    return f"line {p.line}: {p.text}" if p.line > 1 else p.text


class FileForm(FormScreen):
    """Which file; enter only looks at it."""

    HELP: ClassVar[str] = (
        "The path of the file as the logger's program saved it. Fill the other fields only where "
        "they are asked for: what comes first in dates like 3/4, the unit, the heading or number "
        "of the column, and the offset of a clock that keeps no summer time, as +00:00. Enter "
        "looks at the file and records nothing yet."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("tab", "tab", "Next"),
        Foot("enter", "enter", "Look at it"),
        BACK_KEY,
    )


class LogScreen(QuestionScreen[bool]):
    """What a file says, day by day. Enter does nothing here; r records it."""

    HELP: ClassVar[str] = (
        "What the file says of each day of the room's calendar, with the longest time between two "
        "of its rows. Up and down move through the days. r records all of it as one entry, which "
        "u on Vessels takes back; escape records nothing."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("r", "r", "Record"),
        Foot("down", "↑ ↓", "Days"),
        BACK_KEY,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("r", "take", show=False),
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
        Binding("pageup", "step(-10)", show=False),
        Binding("pagedown", "step(10)", show=False),
    ]

    def __init__(self, look: LogLook) -> None:
        super().__init__()
        self._log = look
        self._top = 0

    def compose_body(self) -> ComposeResult:
        """The file, what is to be watched, how it was read, its days."""
        yield Lines(self._lines, id="log", classes="tall")

    def on_mount(self) -> None:
        """Nothing is stored yet."""
        same = self._log.same
        self.because.explain(SAME.format(same) if same else NOT_YET)

    def action_take(self) -> None:
        """Yes, record it; a file that is there already has nothing to record."""
        if not self._log.same:
            self.dismiss(True)

    def action_step(self, by: int) -> None:
        """Other days."""
        self._top = max(0, min(self._top + by, len(self._log.days) - 1))
        self.query_one("#log", Lines).refresh()

    def _lines(self, width: int, look: Look) -> list[Content]:
        log = self._log
        lines = [
            look.say((shorten(f"{log.file}  into {log.vessel}", width), "bold")),
            look.say((shorten(log.said, width), "ink")),
        ]
        for sign, role, texts in (("▲ ", "care", log.care), ("  ", "faint", log.told)):
            for text in texts:
                rows = rows_of(text, width - 2, width - 2, 2)
                lines.append(
                    look.say((sign, role), (rows[0], "ink" if role == "care" else "soft"))
                )
                lines += [look.say(("  ", "ink"), (row, "soft")) for row in rows[1:]]
        room = self.query_one("#body").size.height - len(lines) - 1
        head = look.say((_row(HEAD, width), "faint"))
        return [*lines, head, *self._days(max(1, room), width, look)]

    def _days(self, room: int, width: int, look: Look) -> list[Content]:
        days = self._log.days
        # The last page stays full.
        self._top = max(0, min(self._top, len(days) - room))
        shown = days[self._top : self._top + room]
        return [look.say((_row(_cells(d), width), "ink")) for d in shown]


def _cells(d: DayLogged) -> tuple[str, ...]:
    return (d.day, d.low, d.high, d.mean, d.rows, d.gap)


def _row(cells: tuple[str, ...], width: int) -> str:
    """As many of the columns as there is room for, the day's low and high first."""
    fit = [n for n in range(1, len(WIDTHS) + 1) if sum(WIDTHS[:n]) <= width]
    first, *rest = cells[: len(fit)]
    more = (cell.rjust(w) for cell, w in zip(rest, WIDTHS[1:], strict=False))
    return first.ljust(WIDTHS[0]) + "".join(more)
