"""Dose: what there is to choose from, one dose worked out, and recording it."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from decimal import Decimal
from typing import Any

from intake.flows.desk import Book, Desk, at_work
from intake.flows.dose_asking import Asking
from intake.flows.doses import (
    course_meant,
    course_named,
    request_for,
    system_named,
    treatment_named,
    with_tool,
)
from intake.flows.facts.things import System
from intake.flows.jobs.dose_words import (
    because,
    beside,
    cares,
    conditions,
    how,
    level_bar,
    need_of,
    product_text,
    so_far,
    stop_of,
    target_range,
)  # fmt: skip
from intake.flows.jobs.lines import asked_lines, water_shown
from intake.flows.jobs.today import heads
from intake.flows.jobs.words import recorded
from intake.flows.record import record as record_entry
from intake.flows.redose import missing
from intake.flows.views.dose import (
    DoseAsk,
    DoseView,
)
from intake.flows.views.parts import Need, Recorded, Shown, Stop
from intake.science.course_settled import by_vet
from intake.science.dose import DoseAnswer, DoseRequest
from intake.science.problem import Refused, Unreadable
from intake.science.show import in_words, show
from intake.science.tools import Tool
from intake.science.treatment import Course, Treatment

NEEDS = ("reading-missing", "reading-stale")
"""Refusals that one water test answers: asked as a question, not barred."""


def _typed(ask: DoseAsk) -> dict[str, Any]:
    typed = {
        "treatment": ask.treatment,
        "course": ask.course,
        "vessel": ask.vessel,
        "target": ask.target,
        "strength": ask.strength,
        "tool": ask.tool,
        "product": ask.product,
    }
    return {k: v for k, v in typed.items() if v}


def view(desk: Desk, ask: DoseAsk) -> DoseView:
    """One dose worked out; what bars it and what is still to be measured stand in its place.

    Raises
    ------
    Unreadable
        Where what was typed cannot be read.
    """
    with at_work(desk) as book:
        asking = Asking(_typed(ask), book.now, book.shelf, book)
        treatment = treatment_named(book.shelf, ask.treatment)
        course = course_meant(asking, treatment)
        system = system_named(book, ask.vessel)
        asking = _target_of_due(book, asking, system, treatment, ask)
        request = request_for(asking, treatment, course)
        if request.direction is not None:
            course = by_vet(course, request.direction)
        answer, refused = None, None
        try:
            answer = with_tool(asking, request)
        except Refused as refusal:
            refused = refusal
        worked = _shown(book, system, request.treatment, course, request, ask, answer, refused)
        worked = beside(worked, request, asking.notes.warnings)
        return worked if asking.tool is None else _measured_with(worked, asking.tool)


def _measured_with(worked: DoseView, tool: Tool) -> DoseView:
    """Names the scale or syringe; a step typed by itself is named by its size."""
    if not worked.tool or not tool.name[:1].isalpha():
        return worked
    verb = "weigh on" if tool.unit != "mL" else "draw up with"
    size = show(tool.step, tool.unit, digits=6)
    return replace(worked, tool=f"the {tool.name}, {size}", tool_verb=verb)


def _target_of_due(
    book: Book, asking: Asking, system: System, treatment: Treatment, ask: DoseAsk
) -> Asking:
    """A dose that puts back what a change took out goes to the level that was there."""
    if ask.target:
        return asking
    for m in missing(book, system):
        if m.treatment == treatment.id and m.course == (ask.course or m.course):
            text = show(m.target, m.unit, digits=4, group=False)
            return replace(asking, typed={**asking.typed, "target": text})
    return asking


def _shown(
    book: Book,
    system: System,
    treatment: Treatment,
    course: Course,
    request: DoseRequest,
    ask: DoseAsk,
    answer: DoseAnswer | None,
    refused: Refused | None,
) -> DoseView:
    facts = book.facts
    vessels = [facts.vessel(v) for v in system.vessels]
    named = next((v for v in vessels if v.name == ask.vessel), vessels[0])
    animals = facts.occupants(system.vessels)
    stops: tuple[Stop, ...] = ()
    needs: tuple[Need, ...] = ()
    if refused is not None and refused.code in NEEDS:
        needs = (need_of(refused, course),)
    elif refused is not None:
        stops = (stop_of(refused, course, request),)
    target = answer.target if answer else (request.target or course.usual)
    lines = asked_lines(book, vessels) if course.unit.endswith("/L") else ()
    worked = DoseView(
        title=treatment.title,
        treatment=treatment.id,
        course=course.name,
        vessel=named.name,
        volume=water_shown(system, vessels, old=bool(lines)),
        occupants=heads(animals),
        reaches=tuple(v.name for v in vessels),
        target=Shown(show(target, ""), course.unit),
        target_range=target_range(course),
        level=level_bar(course, request, answer, target),
        amount=None,
        spoken="",
        tool="",
        tool_verb="",
        step_error="",
        product=product_text(book, book.facts.things.get(request.bottle_entry)),
        asks_strength=treatment.from_label,
        strength_unit=strength_unit(treatment),
        strength_matches=_matches(treatment, ask, refused),
        conditions=conditions(book, course, request),
        cares=cares(answer, ask),
        stops=stops,
        needs=needs,
        before=answer.before if answer else course.before,
        during=answer.during if answer else course.during,
        after=answer.after if answer else course.after,
        handling=answer.handling if answer else (),
        stock=_stock(answer),
        because=because(course, request, answer, refused),
        how=how(answer, refused),
        so_far=so_far(book, system, treatment),
        lines=lines,
    )
    return worked if answer is None else _with_amount(worked, request, answer)


def _with_amount(worked: DoseView, request: DoseRequest, answer: DoseAnswer) -> DoseView:
    unit = answer.amount_unit
    tool = request.tool
    amount = answer.amount if answer.measured is None else answer.measured
    chosen = _tool_of(answer, request)
    step = chosen if chosen is not None else (tool.step if tool else None)
    text = show(amount, "", step=step) if step is not None else show(amount, "", digits=4)
    percent = answer.rounding_percent
    error = ""
    if percent:
        side = "over" if percent > 0 else "under"
        error = f"{show(abs(percent), '%', digits=1)} {side}"
    weighed = unit == "g"
    named = f"the {show(step, unit, digits=6)} steps" if step is not None else ""
    return replace(
        worked,
        amount=Shown(text, unit, "worked out"),
        spoken=in_words(Decimal(text.replace(",", "")), unit),
        tool=named,
        tool_verb="weigh in" if weighed else "draw up in",
        step_error=error,
    )


def _tool_of(answer: DoseAnswer, request: DoseRequest) -> Decimal | None:
    """The step the amount was counted in."""
    if answer.measured is None or not answer.steps:
        return request.tool.step if request.tool else None
    return (answer.measured / answer.steps).normalize()


def strength_unit(treatment: Treatment) -> str:
    """What a bare number on the packet is meant in; nothing where it may be several things."""
    return treatment.usual_strength.unit if treatment.strengths else ""


def _matches(treatment: Treatment, ask: DoseAsk, refused: Refused | None) -> bool | None:
    if not treatment.from_label or not ask.strength:
        return None
    return not (refused is not None and refused.code == "strength-mismatch")


def _stock(answer: DoseAnswer | None) -> str:
    return "" if answer is None or answer.stock is None else str(answer.stock)


def _worked_with(desk: Desk, ask: DoseAsk) -> dict[str, str | None]:
    """The tool and target the amount was read back with: they are kept with the dose."""
    with at_work(desk) as book:
        asking = Asking(_typed(ask), book.now, book.shelf, book)
        treatment = treatment_named(book.shelf, ask.treatment)
        course = course_named(treatment, ask.course or None)
        asking = _target_of_due(book, asking, system_named(book, ask.vessel), treatment, ask)
        with suppress(Refused, Unreadable):  # the record says itself what bars it
            with_tool(asking, request_for(asking, treatment, course))
    tool = None if asking.tool is None else asking.tool.name
    return {"tool": ask.tool or tool, "target": asking.text("target")}


def record(desk: Desk, ask: DoseAsk, amount: str) -> Recorded:
    """The dose recorded, through the same form as the command line's.

    Raises
    ------
    Usage, Unreadable, Refused, RoomTrouble
        And then nothing is written.
    """
    typed: dict[str, Any] = {
        "system": ask.vessel,
        "treatment": ask.treatment,
        "amount": amount,
        "course": ask.course or None,
        "target": ask.target or None,
        "strength": ask.strength or None,
        "product": ask.product or None,
        **_worked_with(desk, ask),
        "reason": ask.reason or None,
        "soft": "; ".join(f"{code}: {reason}" for code, reason in ask.soft) or None,
    }
    answer = record_entry(desk, "dose", typed)
    with at_work(desk) as book:
        course = course_named(treatment_named(book.shelf, ask.treatment), ask.course or None)
    text = f"{amount} of {ask.treatment} in {ask.vessel}"
    return recorded(desk, answer, text, next_text=course.after[0] if course.after else "")
