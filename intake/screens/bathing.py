"""A bath from Dose: who, which course, how much water; then one amount, and one confirmation."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content

from intake.flows.views.bath import BathAsk, BathChoices, BathCourse, BathView
from intake.flows.views.parts import Recorded
from intake.screens.dose_faces import MEASURES
from intake.screens.question import BACK_KEY, HELP_KEY, FormScreen, PickScreen, QuestionScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import rows_of
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.quantity_field import WORDS, Asked

WHO = "one fish first where none has met it: alive a day later, it has tried it for them all."
FORM = "the water in the bucket, and what was read in it; nothing of it comes into any water here."

Then = Callable[[Recorded], None]


def ask_bath(screen: RoomScreen[None], treatment: str, vessel: str, then: Then) -> None:
    """Asks who, which course and how much water, shows what to weigh, and records it once."""

    def listed(found: BathChoices) -> None:
        if not found.courses:
            screen.because.say(f"{found.title} has no course that is a bath.", "soft")
        elif not found.fish:
            screen.because.say(f"No fish is in {vessel}.", "soft")
        else:
            _ask_who(screen, found, then)

    screen.ask(lambda jobs: jobs.bath_choices(treatment, vessel), listed, group="bath")


def _ask_who(screen: RoomScreen[None], found: BathChoices, then: Then) -> None:
    def picked(fish: str | None) -> None:
        if fish:
            _ask_course(screen, found, BathAsk(found.treatment, "", fish, ""), then)

    screen.app.push_screen(PickScreen(f"Bath in {found.title}: who", found.fish, WHO), picked)


def _ask_course(screen: RoomScreen[None], found: BathChoices, asked: BathAsk, then: Then) -> None:
    def picked(name: str | None) -> None:
        course = next((c for c in found.courses if c.course == name), None)
        if course is not None:
            _ask_water(screen, found, course, replace(asked, course=course.course), then)

    if len(found.courses) == 1:
        picked(found.courses[0].course)
        return
    options = tuple((c.course, c.words) for c in found.courses)
    why = "each has its own strength and its own longest time."
    screen.app.push_screen(PickScreen(f"Bath in {found.title}: course", options, why), picked)


def _ask_water(
    screen: RoomScreen[None], found: BathChoices, course: BathCourse, asked: BathAsk, then: Then
) -> None:
    fields = [
        Asked("in", "water in the bucket", "volume", "L", needed=True),
        Asked("for", "how long, else least", "duration", "min"),
    ]
    if found.asks_strength:
        fields.append(Asked("strength", found.strength_unit, WORDS, needed=True))
    fields += [replace(MEASURES[n], needed=True) for n in course.readings if n in MEASURES]

    def typed(answer: Mapping[str, str] | None) -> None:
        if not answer:
            return
        own = ("in", "for", "strength")
        read = tuple((n, text) for n, text in answer.items() if n not in own)
        _confirm(
            screen,
            replace(
                asked, volume=answer["in"], lasts=answer.get("for", ""),
                strength=answer.get("strength", ""), readings=read,
            ),
            then,
        )  # fmt: skip

    screen.app.push_screen(FormScreen(f"Bath in {found.title}", tuple(fields), FORM), typed)


def _confirm(screen: RoomScreen[None], asked: BathAsk, then: Then) -> None:
    def worked(view: BathView) -> None:
        def answered(yes: bool | None) -> None:
            if yes:
                screen.record(lambda jobs: jobs.bath_begin(asked, view.amount), then)

        screen.app.push_screen(BathScreen(view), answered)

    screen.ask(lambda jobs: jobs.bath(asked), worked, group="bath")


class BathScreen(QuestionScreen[bool]):
    """One confirmation; Cancel has the focus, so that enter alone begins nothing."""

    HELP: ClassVar[str] = (
        "Weigh it, stir it in, then move to Start bath and press enter as they go in. The bath "
        "is over by the clock on the wall; f8 on every screen says that they are out."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (Foot("tab", "tab", "Move"), BACK_KEY, HELP_KEY)
    BUTTONS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("cancel", "", "Cancel"),
        ("start", "", "Start bath"),
    )

    def __init__(self, view: BathView) -> None:
        super().__init__()
        self._view = view

    def compose_body(self) -> ComposeResult:
        """Who, what to weigh, until when, and what to watch for."""
        with VerticalScroll(can_focus=False):
            yield Lines(self._lines)

    def on_mount(self) -> None:
        """Says where the amount comes from."""
        self.because.explain(self._view.because)
        self.query_one("#cancel").focus()

    def _lines(self, width: int, look: Look) -> list[Content]:
        v = self._view
        rows: list[tuple[str, str]] = [
            (f"Bath in {v.title}, {v.course}: {v.who}", "bold"),
            ("", "ink"),
            (f"{v.amount} into {v.water}, that is {v.comes_to}", "bold"),
            (f"{v.spoken} {v.tool}".strip(), "soft"),
            (f"{v.lasts}: lift them at {v.ends}", "bold"),
            ("", "ink"),
            *((f"▲ {c.text}", "care") for c in v.cares),
            *((text, "ink") for text in v.said),
        ]
        lines: list[Content] = []
        for text, role in rows:
            cut = rows_of(look.glyphs(text), width, width, 3) if text else [""]
            lines += [look.say((row, role)) for row in cut]
        return lines

    def action_cancel(self) -> None:
        """Nothing is recorded."""
        self.dismiss(None)

    def action_start(self) -> None:
        """They go in now."""
        self.dismiss(True)
