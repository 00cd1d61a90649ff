"""What a vet directed, written down from Dose: read back, and its number typed twice."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from intake.flows.views.dose import DoseView
from intake.flows.views.parts import Recorded
from intake.flows.views.shelf import DirectionRead
from intake.screens.question import FormScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.widgets.quantity_field import WORDS, Asked

WHY = "only a vet's own words lift a limit; for this treatment, its days and its fish alone."
AGAIN = "a slip of ten is heard: say it aloud, then type the number again."
BY_NAME = "vet-directed"


def direction_fields(view: DoseView, before: Mapping[str, str]) -> tuple[Asked, ...]:
    """The questions, with what the dose says already, or what was typed `before`."""
    drug = "" if view.treatment == BY_NAME else view.treatment
    course = "" if view.treatment == BY_NAME else view.course
    alone = view.vessel if len(view.reaches) == 1 else ""
    asked = (
        Asked("vet", "the vet's name", WORDS, needed=True),
        Asked("words", "the vet's own words", WORDS, needed=True),
        Asked("treatment", "treatment or drug", WORDS, needed=True, first=drug),
        Asked("target", "target, like 50 mg/kg/d", WORDS, needed=True),
        Asked("days", "for how many days, else 10", WORDS),
        Asked("every", "how often, like 1 d", WORDS),
        Asked("course", "which course", WORDS, first=course),
        Asked("subject", "for which water or fish", WORDS, first=alone),
    )
    return tuple(replace(a, first=before.get(a.field, a.first)) for a in asked)


def ask_direction(
    screen: RoomScreen[None],
    view: DoseView,
    before: dict[str, str],
    then: Callable[[Recorded], None],
) -> None:
    """The vet's words; then the target digit by digit, typed a second time; then the record.

    What was typed stays in `before` until it is stored, so that a slip costs one number.
    """

    def typed(answer: Mapping[str, str] | None) -> None:
        if answer:
            before.clear()
            before.update(answer)
            screen.ask(
                lambda jobs: jobs.direction_read(answer),
                lambda read: again(answer, read),
                group="direction",
            )

    def again(answer: Mapping[str, str], read: DirectionRead) -> None:
        def twice(second: Mapping[str, str] | None) -> None:
            if second:
                number = second["again"]
                screen.record(lambda jobs: jobs.direction_record(answer, number), then)

        cares = tuple(f"care: {text}" for text in read.cares)
        fields = (Asked("again", "the target again", WORDS, needed=True),)
        form = FormScreen(f"Say it: {read.read_back}", fields, AGAIN, (*read.said, *cares))
        screen.app.push_screen(form, twice)

    title = f"What the vet directed  {view.vessel}"
    screen.app.push_screen(FormScreen(title, direction_fields(view, before), WHY), typed)
