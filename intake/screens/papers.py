"""Papers asked for on a screen: which kind of file, where, and then where it is."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from intake.screens.jobs import Jobs
from intake.screens.question import FormScreen, PickScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.widgets.quantity_field import WORDS, Asked

KINDS = (
    (".pdf", "PDF: the table, and a tape at full size to cut out"),
    (".html", "page for a browser and its printer: the same"),
    (".txt", "plain text: the table alone"),
)
PAPERS = (
    ("line", "waterline table: the litres at every line"),
    ("card", "card to tape to the tub: litres, fish, doses, when to stop"),
    ("doses", "the record of a dose that went in"),
)
WHY_PAPERS = "a file of its own in the folder worked in; none that is there is written over."
CARD_KINDS = (
    (".pdf", "PDF: one sheet, the name and amounts large"),
    (".html", "page for a browser and its printer: the same"),
    (".txt", "plain text"),
)
STEPS = ("1 cm", "2 cm")
DRAWING = "drawing the charts"


def ask_papers(screen: RoomScreen[None], vessel: str) -> None:
    """What is printed of a vessel."""
    from intake.screens.dose_papers import ask_doses

    ways = {"line": ask_waterline, "card": ask_card, "doses": ask_doses}

    def picked(which: str | None) -> None:
        if which:
            ways[which](screen, vessel)

    screen.app.push_screen(PickScreen(f"Papers  {vessel}", PAPERS, WHY_PAPERS), picked)


def ask_card(screen: RoomScreen[None], vessel: str) -> None:
    """The card that is taped to the tub; the file is a new one and is said."""
    why = "true when it is printed: print it again after a dose or a change."
    question = PickScreen(f"Card  {vessel}", CARD_KINDS, why)
    _ask_kind(screen, question, lambda jobs, end: jobs.tub_card(vessel, end), "setting the card")


def _ask_kind(
    screen: RoomScreen[None],
    question: PickScreen,
    make: Callable[[Jobs, str], str],
    waiting: str,
) -> None:
    """Asks which kind of file, makes a new one and says where it is."""

    def picked(end: str | None) -> None:
        if end:
            screen.ask(
                lambda jobs: make(jobs, end),
                lambda said: screen.because.keep(said),
                group="paper",
                waiting=waiting,
            )

    screen.app.push_screen(question, picked)


def ask_waterline(screen: RoomScreen[None], vessel: str) -> None:
    """The waterline table of a vessel; the place is offered and never one that is taken."""

    def picked(end: str | None) -> None:
        if end:
            screen.ask(lambda jobs: jobs.waterline_file(vessel, end), placed, group="paper")

    def placed(path: str) -> None:
        fields = (
            Asked("out", "the file to make", WORDS, needed=True, first=path),
            Asked("every", "a line every", WORDS, one_of=STEPS, first=STEPS[0]),
        )
        why = "a file that is there already is never written over."
        screen.app.push_screen(FormScreen(f"Waterline table  {vessel}", fields, why), typed)

    def typed(answer: Mapping[str, str] | None) -> None:
        if answer:
            out, every = answer["out"], answer.get("every", STEPS[0])
            screen.ask(
                lambda jobs: jobs.waterline_table(vessel, out, every),
                lambda said: screen.because.keep(said),
                group="paper",
                waiting="setting the table",
            )

    why = "litres at every line, low and high; measure the printed bar before it is taped on."
    screen.app.push_screen(PickScreen(f"Waterline table  {vessel}", KINDS, why), picked)


RUN_KINDS = (
    (".pdf", "PDF: the charts, what was read, the steps, a table"),
    (".html", "page for a browser and its printer: the same"),
    (".txt", "plain text: all but the charts"),
)


def ask_crossing(screen: RoomScreen[None], box: str, bag: int) -> None:
    """The way across of a bag; the file is a new one and is said."""
    why = "a file of its own in the folder worked in; none that is there is written over."
    question = PickScreen(f"Way across  {box} · bag {bag}", RUN_KINDS, why)
    _ask_kind(screen, question, lambda jobs, end: jobs.crossing_paper(box, bag, end), DRAWING)


CALENDAR_KINDS = (
    (".ics", "events for another calendar: read in again, they replace"),
    (".pdf", "PDF: strips of days, release checks, boxes to tick"),
    (".html", "page for a browser and its printer: the same"),
    (".txt", "plain text: the same, the days as letters"),
)


def ask_calendar(screen: RoomScreen[None], system: str) -> None:
    """The calendar as a file, of one water system or all of them."""

    def picked(end: str | None) -> None:
        if end:
            screen.ask(lambda jobs: jobs.calendar_file(end), placed, group="paper")

    def placed(path: str) -> None:
        fields = (
            Asked("out", "the file to make", WORDS, needed=True, first=path),
            Asked("system", "one water alone", WORDS),
        )
        name = system or "North tub"
        why = (
            f"nothing in the second line: every water; or a name, like {name}. Events this room "
            "wrote are written again; any other file that is there stays."
        )
        screen.app.push_screen(FormScreen("Calendar on paper", fields, why), typed)

    def typed(answer: Mapping[str, str] | None) -> None:
        if answer:
            out, alone = answer["out"], answer.get("system", "")
            screen.ask(
                lambda jobs: jobs.calendar_paper(alone, out),
                lambda said: screen.because.keep(said),
                group="paper",
                waiting="setting the calendar",
            )

    why = "dates as the journal stands now: make it again after a new fish, a sign, a cold night."
    screen.app.push_screen(PickScreen("Calendar on paper", CALENDAR_KINDS, why), picked)


RELEASE_KINDS = (
    (".pdf", "PDF: checks, windows, slides, charts, lines to sign"),
    (".html", "page for a browser and its printer: the same"),
    (".txt", "plain text: the readings as numbers"),
)


def ask_release(screen: RoomScreen[None], subject: str) -> None:
    """The release of a water or a fish, or what is still open; the file is a new one."""
    why = "before release it says what is still open, afterwards on what evidence they went."
    question = PickScreen(f"Release on paper  {subject}", RELEASE_KINDS, why)
    _ask_kind(screen, question, lambda jobs, end: jobs.release_paper(subject, end), DRAWING)
