"""Found dead: which fish, how many, when it was last seen alive; then what to do with it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from intake.flows.views.parts import Recorded
from intake.screens.question import FormScreen, PickScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.widgets.quantity_field import WORDS, Asked

HOW = ("found", "killed-humanely")
FRESH = "a fresh body tells a vet most: keep it cool, not frozen, and say when it last lived."


def ask_death(
    screen: RoomScreen[None],
    vessel: str,
    subjects: tuple[tuple[str, str, int], ...],
    then: Callable[[Recorded], None],
) -> None:
    """Asks who, how many and since when; the answer says what to do with the body."""
    counts = {name: count for name, _, count in subjects}
    if not subjects:
        screen.because.say(f"{vessel} has no fish.", "soft")
        return

    def who(name: str | None) -> None:
        if name is None:
            return
        several = counts[name] > 1
        asked = (
            Asked("count", f"how many of {counts[name]}", "count", needed=True, first="1"),
            Asked("last-seen", "last seen alive, 22:00", WORDS),
            Asked("how", "found, killed-humanely", WORDS, one_of=HOW, first=HOW[0]),
        )
        form = FormScreen(f"Found dead  {name}", asked if several else asked[1:], FRESH)
        screen.app.push_screen(form, lambda typed: write(name, typed))

    def write(name: str, typed: Mapping[str, str] | None) -> None:
        if typed:
            screen.record(lambda jobs: jobs.death(name, typed), then)

    if len(subjects) == 1:
        who(subjects[0][0])
        return
    options = tuple((name, f"{name}  {detail}") for name, detail, _ in subjects)
    screen.app.push_screen(PickScreen(f"Which one died?  {vessel}", options, FRESH), who)
