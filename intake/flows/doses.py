"""Working out a dose: what was typed, what the room knows, and the science between them."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from intake.flows.bottles import Wanted, on_shelf
from intake.flows.desk import Book
from intake.flows.directions import course_directed, undirected_drug
from intake.flows.dose_asking import Asking, tool_of
from intake.flows.dose_typed import READINGS, typed_parts
from intake.flows.dosed_water import room_request
from intake.flows.facts.things import KeptTool, Product, System, Vessel
from intake.flows.later_doses import book_then
from intake.flows.names import unknown
from intake.flows.strengths import stated, strength_of
from intake.flows.usage import Usage
from intake.science.course_settled import status_refusal
from intake.science.dose import DoseAnswer, DoseRequest
from intake.science.dosing import plan_dose
from intake.science.drug_names import is_antibiotic
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
    Refused
        ``vet-only``: an antibiotic that no vet directed.
    """
    if text in shelf.treatments:
        found: Treatment = shelf.treatments[text]
        return found
    if is_antibiotic(text):
        raise undirected_drug(text)
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


def course_meant(ask: Asking, treatment: Treatment) -> Course:
    """The course asked for; unnamed, the one that a vet directed there, else the first.

    Raises
    ------
    Unreadable
        With the names there are where there is none.
    Refused
        ``vet-only`` or ``not-advised``: the treatment has no course at all.
    """
    if not treatment.courses:
        raise status_refusal(DoseRequest(treatment, ask.now))
    named = ask.text("course")
    if named is None and ask.book is not None and ask.text("vessel") is not None:
        system = system_named(ask.book, ask.text("vessel") or "")
        drug = ask.text("drug") or ""
        named = course_directed(ask.book, system, treatment, ask.now, drug)
    return course_named(treatment, named)


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
    elif ask.text("product") is not None or ask.text("drug") is not None:
        raise Usage("--product and --drug are of the room: give --vessel with them")
    typed = typed_parts(ask, treatment, course)
    ask.stop_if_faulty()
    if ask.text("vessel") is not None:
        beside = [n for n in (*TYPED_OVER, *READINGS) if ask.text(n) is not None]
        for name in beside:
            option = name.replace("_", "-")
            ask.notes.assumptions.append(f"--{option} as typed, not what the room knows")
        ask.recorded_water = base.volume if "volume" in typed else None
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
    wanted = _wanted(ask, base.treatment)
    request = room_request(then, then.facts.systems[system.id], base, course, ask.notes, wanted)
    bottle = book.facts.things.get(request.bottle_entry)
    ask.bottle = bottle if isinstance(bottle, Product) else None
    return request


def _wanted(ask: Asking, treatment: Treatment) -> Wanted:
    """The product, the strength and the drug named; problems are kept in `ask`."""
    assert ask.book is not None
    text, product, strength = ask.text("product"), None, None
    if text is not None:
        named = ask.book.facts.find(text, ("product",), ask.now)
        if isinstance(named, Product) and named.treatment == treatment.id:
            product = named
        else:
            names = [p.name for p in on_shelf(ask.book, treatment)]
            wrong = unknown(text, names, f"a product of {treatment.title} on the shelf")
            ask.problems.append(wrong.placed("--product"))
    if ask.text("strength") is not None:
        read = strength_of(treatment, ask.text("strength") or "")
        strength = None if isinstance(read, Problem) else stated(read)
    return Wanted(product, strength, ask.text("drug") or "")


def with_tool(ask: Asking, request: DoseRequest) -> DoseAnswer:
    """The dose worked out, measured with the tool asked for or the one that fits best.

    Raises
    ------
    Refused
        As `plan_dose`.
    """
    ask.tool = request.tool
    in_room = ask.book is not None and ask.text("vessel") is not None
    tools = [tool_of(t) for t in ask.book.facts.of_kind(KeptTool)] if ask.book else []
    syringes = [t.base_step for t in tools if t.base_unit == "mL"]
    request = replace(request, syringe_ml=min(syringes, default=None))
    if request.tool is not None or not in_room:
        return plan_dose(request)
    exact = plan_dose(request)
    same = [t for t in tools if t.base_unit == exact.amount_unit]
    fitting = sorted(same, key=lambda t: t.base_step, reverse=True)
    if not fitting or not exact.amount:
        return exact
    fine = [t for t in fitting if t.base_step <= exact.amount * STEP_SHARE]
    chosen = fine[0] if fine else fitting[-1]
    ask.tool = chosen
    ask.notes.assumptions.append(f"measured with {chosen.name}")
    return plan_dose(replace(request, tool=chosen))
