"""A bath on a screen: what there is to choose, one worked out, begun and ended."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from intake.clock import utc_text
from intake.flows.bath_water import ROUTES
from intake.flows.desk import Book, Desk, at_work
from intake.flows.dose_asking import Asking
from intake.flows.doses import system_named, treatment_named, with_tool
from intake.flows.forms.bathed import who
from intake.flows.forms.baths import KITCHEN_TIMER, asked_bath
from intake.flows.forms.every import FORMS
from intake.flows.forms.form import Filling
from intake.flows.forms.readers import Asked
from intake.flows.jobs.doses import strength_unit
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.words import clock_text, recorded
from intake.flows.record import record as record_entry
from intake.flows.views.bath import BathAsk, BathChoices, BathCourse, BathView
from intake.flows.views.parts import Care, Recorded
from intake.science.figures import time_text
from intake.science.problem import Problem, Unreadable
from intake.science.show import in_words, show


def choices(desk: Desk, treatment: str, vessel: str) -> BathChoices:
    """The baths of a treatment, and the fish of a vessel's water: one of each first."""
    with at_work(desk) as book:
        found = treatment_named(book.shelf, treatment)
        animals = book.facts.occupants(system_named(book, vessel).vessels)
        ones = [(f"{a.name}:1", f"one of {a.name}") for a in animals if a.count > 1]
        alone = [(a.name, a.name) for a in animals if a.count == 1]
        groups = [(a.name, f"{a.name}, all {a.count}") for a in animals if a.count > 1]
        every = ",".join(a.name for a in animals)
        whole = [(every, "all of them")] if len(animals) > 1 else []
        return BathChoices(
            found.id,
            found.title,
            tuple(
                BathCourse(
                    c.name,
                    f"{c.name}, {show(c.low, '')} to {show(c.high, c.unit)}, "
                    f"{time_text(c.duration_min_h or 0)} to {time_text(c.duration_max_h or 0)}",
                    tuple(dict.fromkeys(x.quantity for x in c.conditions)),
                )
                for c in found.courses
                if c.route in (*ROUTES, "eggs")
            ),
            (*alone, *ones, *groups, *whole),
            found.from_label,
            f"strength on its label, {strength_unit(found)}".rstrip(", "),
        )


def view(desk: Desk, ask: BathAsk) -> BathView:
    """The bath worked out, to be begun now.

    Raises
    ------
    Usage, Unreadable, Refused
        As the record of it, so that nobody weighs what will not be recorded.
    """
    with as_unreadable(), at_work(desk) as book:
        asked = asked_bath(_filling(book, ask))
        answer = with_tool(Asking({"vessel": ask.fish}, book.now, book.shelf, book), asked.request)
        step = answer.measured / answer.steps if answer.measured and answer.steps else None
        amount = answer.amount if answer.measured is None else answer.measured
        text = show(amount, "", step=step) if step else show(amount, "", digits=4)
        water = asked.request.volume
        assert water is not None
        return BathView(
            title=answer.title,
            course=answer.course,
            who=who(list(asked.fish)),
            amount=f"{text.replace(',', '')} {answer.amount_unit}",
            spoken=in_words(Decimal(text.replace(",", "")), answer.amount_unit),
            tool="" if step is None else f"in steps of {show(step, answer.amount_unit, digits=6)}",
            water=show(water.volume_l, "L"),
            comes_to=show(answer.result, answer.target_unit),
            lasts=time_text(asked.hours),
            ends=clock_text(book, asked.ends),
            cares=tuple(Care(w.code, w.text, (), "") for w in answer.warnings),
            said=(KITCHEN_TIMER, *(f"stop: {s}" for s in answer.stop_signs), *answer.during),
            because="; ".join(answer.because[:2]),
        )


def _typed(ask: BathAsk) -> dict[str, str]:
    typed = {
        "treatment": ask.treatment, "course": ask.course, "fish": ask.fish, "in": ask.volume,
        "for": ask.lasts, "strength": ask.strength, **dict(ask.readings),
    }  # fmt: skip
    return {name: text for name, text in typed.items() if text}


def _filling(book: Book, ask: BathAsk) -> Filling:
    """The form as far as it is typed: all but the amount, which is to be worked out."""
    typed, form = _typed(ask), FORMS["bath"]
    asked = Asked(book, book.now, typed)
    read = {f.name: f.read.read(typed[f.key], asked) for f in form.fields if f.key in typed}
    options = {f.name: f.option for f in form.fields}
    wrong = [v.placed(options[n]) for n, v in read.items() if isinstance(v, Problem)]
    if wrong:
        raise Unreadable(*wrong)
    return Filling(book, book.now, None, read, typed)


def begin(desk: Desk, ask: BathAsk, amount: str) -> Recorded:
    """The bath recorded as begun now, through the same form as the command line's.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then nothing is written.
    """
    with at_work(desk) as book:
        now = utc_text(book.now)
    typed: dict[str, Any] = {**_typed(ask), "amount": amount, "started": now}
    with as_unreadable():
        answer = record_entry(desk, "bath", typed)
    ends = str(answer["ends_at"])[11:16]
    text = f"{answer['fish']} in the {ask.treatment} bath, lift them at {ends}"
    return recorded(desk, answer, text, next_text=KITCHEN_TIMER)


def lift(desk: Desk, entry: int) -> Recorded:
    """A bath ended: they are out. Never held back.

    Raises
    ------
    Unreadable, RoomTrouble
        And then nothing is written.
    """
    with as_unreadable():
        answer = record_entry(desk, "stop", {"system": str(entry)})
    return recorded(desk, answer, f"{answer['fish']} out of the bath", next_text="watch them")
