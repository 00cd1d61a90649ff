"""Correcting: which entry, then its fields said better, or taken back; always with a reason."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from intake.flows.views.entries import EntryLine, EntryView
from intake.flows.views.parts import Recorded
from intake.screens.question import FormScreen, PickScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.widgets.quantity_field import WORDS, Asked

REASONS = (
    "pressed by mistake",
    "wrong vessel or fish",
    "wrong number",
    "looked again, it was otherwise",
    "written twice",
)

WHY = "nothing in the journal is removed: the entry stays visible, struck out, with the reason."
KEPT = "the entry as it was stays visible beside the correction; an emptied field is removed."
BETTER, BACK = "better", "back"
Then = Callable[[Recorded], None]


def begin_correct(screen: RoomScreen[None], subject: str, then: Then) -> None:
    """Picks an entry of the subject, the newest first, and corrects it."""

    def listed(lines: tuple[EntryLine, ...]) -> None:
        open_ = {str(line.entry): line for line in lines if not line.void}
        if not open_:
            screen.because.say(f"Nothing was recorded of {subject}.", "soft")
            return
        options = tuple((n, f"{line.when}  {line.text}") for n, line in open_.items())
        title = f"Correct which entry?  {subject}"
        screen.app.push_screen(
            PickScreen(title, options, "the newest first; a correction is an entry of its own."),
            lambda number: _how(screen, open_[number], then) if number else None,
        )

    screen.ask(lambda jobs: jobs.entries(subject), listed, group="entries")


def _how(screen: RoomScreen[None], line: EntryLine, then: Then) -> None:
    options = ((BETTER, "it says something else: change a value"), (BACK, "take it back"))

    def picked(way: str | None) -> None:
        if way == BACK:
            _take_back(screen, line, then)
        elif way == BETTER:
            screen.ask(lambda jobs: jobs.entry(line.entry), opened, group="entry")

    def opened(view: EntryView) -> None:
        _say_better(screen, view, then)

    title = f"Entry {line.entry}  {line.text}"
    screen.app.push_screen(PickScreen(title, options, WHY), picked)


def _take_back(screen: RoomScreen[None], line: EntryLine, then: Then) -> None:
    def reasoned(why: str | None) -> None:
        if why:
            screen.record(lambda jobs: jobs.correct_void(line.entry, why), then)

    screen.app.push_screen(PickScreen(f"Take back  {line.text}", reasons(), WHY), reasoned)


def _say_better(screen: RoomScreen[None], view: EntryView, then: Then) -> None:
    asked = (
        *(Asked(f.name, f.ask, WORDS, first=f.text) for f in view.fields),
        Asked("because-of", "why it was wrong", WORDS, needed=True),
    )

    def answered(typed: Mapping[str, str] | None) -> None:
        if typed:
            why = typed["because-of"]
            said = {f.name: typed.get(f.name, "") for f in view.fields}
            screen.record(lambda jobs: jobs.correct(view.entry, said, why), then)

    screen.app.push_screen(FormScreen(f"Correct  {view.title}", asked, KEPT), answered)


def reasons() -> tuple[tuple[str, str], ...]:
    """The reasons as (id, words)."""
    return tuple((reason, reason) for reason in REASONS)
