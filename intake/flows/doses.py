"""Working out a dose: what was typed, what the room knows, and the science between them."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from intake.flows.desk import Book
from intake.flows.dose_asking import Asking, tool_of
from intake.flows.dose_typed import READINGS, typed_parts
from intake.flows.dosed_water import room_request
from intake.flows.facts.things import KeptTool, System, Vessel
from intake.flows.later_doses import book_then
from intake.flows.names import unknown
from intake.flows.usage import Usage
from intake.science.dose import DoseAnswer, DoseRequest
from intake.science.dosing import plan_dose
from intake.science.problem import Problem, Unreadable
from intake.science.treatment import Course, Treatment

STEP_SHARE = Decimal("0.01")
"""A tool is fine enough when one step is at most this share of the amount (common practice)."""
TYPED_OVER = ("volume", "fish_mass", "already", "strength", "stage")
"""What wins over the room where it is typed beside a vessel, and is named then."""


def treatment_named(shelf: Any, text: str) -> Treatment:
    """The treatment of that name.

    Raises
    ------
    Unreadable
        With the nearest names where there is none.
    """
    if text in shelf.treatments:
        found: Treatment = shelf.treatments[text]
        return found
    raise Unreadable(unknown(text, shelf.treatments, "a treatment").placed("TREATMENT"))


def course_named(treatment: Treatment, text: str | None) -> Course:
    """The course of that name, the first for None.

    Raises
    ------
    Unreadable
        With the names there are where there is none.
    """
    course = treatment.course(text)
    if course is None:
        names = [c.name for c in treatment.courses]
        raise Unreadable(unknown(text or "", names, "a course of it").placed("--course"))
    return course


def request_for(ask: Asking, treatment: Treatment, course: Course) -> DoseRequest:
    """The whole request, from what was typed and, with a vessel, from the room.

    Raises
    ------
    Usage, Unreadable
        Where nothing says what is dosed, or what was typed cannot be read.
    """
    base = DoseRequest(treatment, ask.now, course.name, never_mix=ask.shelf.never_mix)
    if ask.text("vessel") is not None:
        base = _from_room(ask, base, course)
    elif ask.text("volume") is None and ask.text("fish_mass") is None and course.rate is None:
        raise Usage("give --vessel, --volume or --fish-mass")
    typed = typed_parts(ask, treatment, course)
    ask.stop_if_faulty()
    if ask.text("vessel") is not None:
        beside = [n for n in (*TYPED_OVER, *READINGS) if ask.text(n) is not None]
        for name in beside:
            option = name.replace("_", "-")
            ask.notes.assumptions.append(f"--{option} as typed, not what the room knows")
    if "readings" in typed:
        typed["readings"] = {**base.readings, **typed["readings"]}
    if "present" in typed:
        typed["present"] = base.present + typed["present"]
    return replace(base, **typed)


def system_named(book: Book, text: str, option: str = "--vessel") -> System:
    """The water system a vessel or system of that name means.

    Raises
    ------
    Unreadable
        With the nearest names where there is none.
    """
    found = book.facts.find(text, ("vessel", "system"), book.now)
    if isinstance(found, Problem):
        raise Unreadable(found.placed(option))
    return (
        book.facts.system_of(found) if isinstance(found, Vessel) else book.facts.systems[found.id]
    )


def _from_room(ask: Asking, base: DoseRequest, course: Course) -> DoseRequest:
    book = ask.book
    assert book is not None
    system = system_named(book, ask.text("vessel") or "")
    then = book_then(book, base.now_utc, None)
    return room_request(then, then.facts.systems[system.id], base, course, ask.notes)


def with_tool(ask: Asking, request: DoseRequest) -> DoseAnswer:
    """The dose worked out, measured with the tool asked for or the one that fits best.

    Raises
    ------
    Refused
        As `plan_dose`.
    """
    ask.tool = request.tool
    if request.tool is not None or ask.book is None or ask.text("vessel") is None:
        return plan_dose(request)
    exact = plan_dose(request)
    tools = [tool_of(t) for t in ask.book.facts.of_kind(KeptTool)]
    fitting = sorted(
        (t for t in tools if t.unit == exact.amount_unit), key=lambda t: t.step, reverse=True
    )
    if not fitting or not exact.amount:
        return exact
    fine = [t for t in fitting if t.step <= exact.amount * STEP_SHARE]
    chosen = fine[0] if fine else fitting[-1]
    ask.tool = chosen
    ask.notes.assumptions.append(f"measured with {chosen.name}")
    return plan_dose(replace(request, tool=chosen))
