"""The doses a water or a fish met: one picked, its twenty read one by one, or all on paper."""

from __future__ import annotations

from intake.screens.question import LinesScreen, PickScreen
from intake.screens.room_screen import RoomScreen

FILES = (
    (".pdf", "all of it as a PDF"),
    (".html", "all of it as a page for a browser and its printer"),
    (".txt", "all of it as plain text"),
)
WHY = "what nobody said stands as unknown; how it ended follows from what was recorded later."


def ask_doses(screen: RoomScreen[None], subject: str) -> None:
    """Picks a dose of a vessel or a fish, the newest first, and shows its record."""

    def listed(doses: tuple[tuple[int, str], ...]) -> None:
        if not doses:
            screen.because.say(f"No dose was recorded that {subject} met.", "soft")
            return
        options = tuple((str(entry), words) for entry, words in doses)
        why = "the newest first; a fish met what went into the water it was in."
        screen.app.push_screen(
            PickScreen(f"Doses  {subject}", options, why),
            lambda entry: ask_record(screen, int(entry)) if entry else None,
        )

    screen.ask(lambda jobs: jobs.doses_met(subject), listed, group="doses")


def ask_record(screen: RoomScreen[None], entry: int) -> None:
    """The twenty of one dose; enter reads one whole, the last lines make a file."""

    def told(parts: tuple[tuple[str, tuple[str, ...]], ...]) -> None:
        options = tuple((name, f"{name}: {lines[0]}") for name, lines in parts)
        title = f"Record of a treatment  entry {entry}"

        def again(_read: None) -> None:
            screen.app.push_screen(PickScreen(title, (*options, *FILES), WHY), picked)

        def picked(name: str | None) -> None:
            if name is None:
                return
            if name in dict(FILES):
                make(name)
            else:
                screen.app.push_screen(LinesScreen(name, dict(parts)[name], WHY), again)

        again(None)

    def make(end: str) -> None:
        screen.ask(
            lambda jobs: jobs.dose_paper(entry, end),
            lambda said: screen.because.keep(said),
            group="paper",
            waiting="setting the record",
        )

    screen.ask(lambda jobs: jobs.dose_whole(entry), told, group="record")
