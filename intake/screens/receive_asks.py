"""The questions of Receive: a shipment, another way than the one advised, a reading, settling."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from intake.flows.views.parts import Recorded
from intake.flows.views.receive import BagQuestion, Method, ReceiveView
from intake.science.problem import Problem
from intake.screens.question import FormScreen, PickScreen
from intake.screens.receive_keys import SHIPMENT, UNITS
from intake.screens.room_screen import RoomScreen
from intake.screens.widgets.quantity_field import NOT_READ, WORDS, Asked, meant, read_field
from intake.screens.words_form import WordsForm

Then = Callable[[Recorded], None]
DILUTED = re.compile(r"(.*\S)\s+diluted\s+\d+")
"""A TAN of a sample that was diluted before it was read."""


def answer_of(question: BagQuestion, text: str) -> str | Problem:
    """What was answered, with the unit meant where a bare number was typed."""
    if question.kind == WORDS or text == NOT_READ:
        return text
    unit = UNITS.get(question.kind, "")
    if question.basis:
        unit = unit.partition(" as ")[0]  # the kit says what it counts as
    asked = Asked(question.field, question.ask, question.kind, unit, question.basis)
    diluted = DILUTED.fullmatch(text) if question.field == "tan" else None
    number = diluted[1] if diluted is not None else text
    read = read_field(number, asked)
    if isinstance(read, Problem):
        return read
    return meant(number, asked) + text[len(number) :]


def ask_shipment(screen: RoomScreen[None], then: Then) -> None:
    """A shipment at the door: what to call it, who packed it, when it came."""

    def typed(answer: Mapping[str, str] | None) -> None:
        if answer:
            screen.record(lambda jobs: jobs.shipment_new(answer), then)

    screen.app.push_screen(WordsForm("New shipment", SHIPMENT), typed)


def ask_way(screen: RoomScreen[None], view: ReceiveView, method: Method, then: Then) -> None:
    """Takes the way advised at once, another one with its reason; both are recorded."""

    def chosen(why: str | None) -> None:
        if why is not None:
            screen.record(
                lambda jobs: jobs.choose(view.box, view.bag, method.name, view.vessel, why), then
            )

    if method.best:
        chosen("")
        return
    title = f"Why {method.letter} {method.title}, and not the one advised?"
    because = "both are recorded: what was advised and what you took."
    screen.app.push_screen(PickScreen(title, view.reasons, because), chosen)


def ask_checkpoint(screen: RoomScreen[None], view: ReceiveView, then: Then) -> None:
    """A measured temperature or pH; the end of the run moves with it."""

    def typed(answer: Mapping[str, str] | None) -> None:
        if answer:
            screen.record(lambda jobs: jobs.checkpoint(view.box, view.bag, answer), then)

    asked = (Asked("temp", "bag temperature", "temperature", "C"), Asked("ph", "pH", "ph"))
    why = "what is measured counts more than what was foretold; the end moves with it."
    title = f"Reading  {view.box} · bag {view.bag}"
    screen.app.push_screen(FormScreen(title, asked, why), typed)


def ask_settle(screen: RoomScreen[None], view: ReceiveView, then: Then) -> None:
    """How many came across alive, how many did not."""

    def typed(answer: Mapping[str, str] | None) -> None:
        if answer:
            screen.record(lambda jobs: jobs.settle(view.box, view.bag, view.vessel, answer), then)

    asked = (
        Asked("alive", "alive", "count", needed=True),
        Asked("dead", "dead on arrival", "count"),
        Asked("fish", "names, with commas between", WORDS),
        Asked("group", "or one name for all of them", WORDS),
        Asked("variety", "variety, like black moor", WORDS),
    )
    why = f"they become fish of {view.vessel}; day 0 is today."
    title = f"Settle  {view.box} · bag {view.bag}"
    screen.app.push_screen(FormScreen(title, asked, why), typed)


def ask_vessel(screen: RoomScreen[None], view: ReceiveView, then: Then) -> None:
    """Which vessel the fish of this bag go to."""

    def picked(vessel: str | None) -> None:
        if vessel:
            typed = {"vessel": vessel}
            screen.record(lambda jobs: jobs.bag_save(view.box, view.bag, typed), then)

    options = tuple((name, f"{name}  {detail}") for name, detail in view.vessels)
    why = "the two waters are compared for the vessel they go to."
    screen.app.push_screen(PickScreen("Where do they go?", options, why), picked)


def ask_claim(
    screen: RoomScreen[None], shipments: tuple[tuple[str, str], ...], then: Then
) -> None:
    """A claim that was sent to the seller of one shipment."""

    def form(shipment: str | None) -> None:
        def typed(answer: Mapping[str, str] | None) -> None:
            if answer:
                screen.record(lambda jobs: jobs.claim(shipment or "", answer), then)

        asked = (
            Asked("sent", "sent at, like 10:40", WORDS, needed=True),
            Asked("answer", "what the seller said", WORDS),
        )
        why = "the window is counted from the carrier's stamp; pictures of the shut bag decide."
        if shipment:
            screen.app.push_screen(FormScreen(f"Claim  {shipment}", asked, why), typed)

    if len(shipments) == 1:
        form(shipments[0][0])
        return
    options = tuple((name, f"{name}  {detail}") for name, detail in shipments)
    screen.app.push_screen(PickScreen("A claim for which shipment?", options, "one each."), form)
