"""A quarantine begun: on which water, by which plan, with what; its dates shown first."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from intake.flows.views.calendar import PlanChoice, QuarantineChoices
from intake.flows.views.parts import Recorded
from intake.screens.foretell import foretell
from intake.screens.plan_pick import PlanScreen
from intake.screens.question import FormScreen, PickScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.widgets.quantity_field import WORDS, Asked

NO_COURSE = ""
EXPECTED = Asked("expected", "expected, YYYY-MM-DD", WORDS)
MORE = (
    Asked("bag-temp", "bag temperature", "temperature", "C"),
    Asked("fish", "how many fish", "count"),
    Asked("mass", "mass of one", "mass", "g"),
)
"""What else may be known of a shipment that is awaited; what the form takes is asked."""
NO_FISH = "no fish"


def begin_quarantine(screen: RoomScreen[None], then: Callable[[Recorded], None]) -> None:
    """Asks water, plan, course and the day the fish are expected, shows the dates, records."""
    app = screen.app

    def asked(choices: QuarantineChoices) -> None:
        if not choices.idle:
            screen.because.say("Every water of this room is in quarantine already.", "soft")
            return
        options = tuple((name, f"{name}  {fish}") for name, fish in choices.idle)
        why = "the days belong to the water: all that share it wait together."
        question = PickScreen("Begin a quarantine: on which water?", options, why)
        app.push_screen(question, lambda name: plan(choices, name) if name else None)

    def plan(choices: QuarantineChoices, system: str) -> None:
        title = f"Quarantine of {system}: by which plan?"
        app.push_screen(
            PlanScreen(title, choices.plans),
            lambda id_: course(choices, system, _of(choices.plans, id_)) if id_ else None,
        )

    def course(choices: QuarantineChoices, system: str, chosen: PlanChoice) -> None:
        if not chosen.courses:
            more(choices, system, chosen, NO_COURSE)
            return
        options = ((NO_COURSE, "none: treat only what is seen"), *chosen.courses)
        why = "a preventive course is your vet's and the label's decision; none is usual."
        question = PickScreen("A preventive course?", options, why)
        app.push_screen(
            question,
            lambda name: more(choices, system, chosen, name) if name is not None else None,
        )

    def more(choices: QuarantineChoices, system: str, chosen: PlanChoice, name: str) -> None:
        typed: dict[str, object] = {"system": system, "plan": chosen.id}
        if name:
            typed["preventive"] = name
        if dict(choices.idle)[system] != NO_FISH:
            show(typed, chosen)
            return
        fields = [EXPECTED, *(asked for asked in MORE if asked.field in choices.asks)]
        why = "the seven days before are dated back from that day; leave it empty where unknown."
        form = ExpectedForm(f"Quarantine of {system}, {chosen.days} days", tuple(fields), why)
        app.push_screen(form, lambda told: told_of(typed, chosen, told))

    def told_of(
        typed: dict[str, object], chosen: PlanChoice, told: Mapping[str, str] | None
    ) -> None:
        if told is not None:
            show(typed | {field.replace("-", "_"): text for field, text in told.items()}, chosen)

    def show(typed: dict[str, object], chosen: PlanChoice) -> None:
        title = f"Quarantine of {typed['system']}: {chosen.title}"
        foretell(screen, "quarantine", typed, title, "Begin", then)

    screen.ask(lambda jobs: jobs.quarantine_choices(), asked, group="choices")


def _of(plans: tuple[PlanChoice, ...], id_: str) -> PlanChoice:
    return next(p for p in plans if p.id == id_)


class ExpectedForm(FormScreen):
    """A form that may be left empty: nobody may know yet when the fish come."""

    MAY_BE_EMPTY = True
