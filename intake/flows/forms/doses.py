"""Forms for doses, and for what was given anyway."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from intake.flows.desk import Book
from intake.flows.directions import VET_DIRECTED, course_directed
from intake.flows.dosed_water import room_request
from intake.flows.doses import course_named
from intake.flows.facts.baths import Bath
from intake.flows.facts.happened import DoseFact
from intake.flows.facts.things import System, Thing
from intake.flows.forms.baths import lifted
from intake.flows.forms.dose_label import (
    any_strength,
    keep_broken,
    label_asked,
    labelled,
    unless_over,
    wanted_of,
)
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.kept_dose import AskedDose, keep, target_of
from intake.flows.forms.readers import (
    AName,
    AQuantity,
    Asked,
    AStrength,
    AText,
    AThing,
    ATreatment,
)
from intake.flows.later_doses import beside_later, book_then, refuse_later
from intake.flows.washing import wash_out
from intake.science.amount import (
    FEED_UNIT,
    Counted,
    bath_added,
    counted,
    counted_range,
)
from intake.science.course_settled import status_refusal
from intake.science.dose import DoseRequest
from intake.science.dosing import check_given, judge_amount
from intake.science.problem import Problem, Refused


def _asked(f: Filling, *, happened: bool = False) -> AskedDose:
    """What is asked; where it `happened` already, without a course of its own too."""
    system = f.thing("system")
    assert isinstance(system, System)
    treatment = f.book.shelf.treatments[f.get("treatment")]
    if happened and not treatment.courses:
        treatment = replace(treatment, courses=f.book.shelf.treatments[VET_DIRECTED].courses)
    if not treatment.courses:
        raise status_refusal(DoseRequest(treatment, f.when))
    directed = course_directed(f.book, system, treatment, f.when, f.get("drug") or "")
    course = course_named(treatment, f.get("course") or directed)
    if course.rate is not None:
        text = f"nothing goes into the water for {treatment.id}: it is set at the heater"
        f.fault("wrong-kind", "TREATMENT", text, "intake record equipment NAME --heater")
        f.stop_if_faulty()
    f.extra["course"] = course.name
    base = DoseRequest(treatment, f.when, course.name, never_mix=f.book.shelf.never_mix)
    book = book_then(f.book, f.when, f.entry)
    then = book.facts.systems.get(system.id)
    if then is None:  # what began this water was corrected to begin later
        book, then = f.book, system
    wanted = wanted_of(f, treatment)
    f.stop_if_faulty()
    request = room_request(book, then, base, course, f.notes, wanted)
    if f.entry is None:
        request = beside_later(system, request)
    request = unless_over(f, request, course)
    return AskedDose(request.treatment, course, book, then, labelled(f, treatment, request))


def _dose(f: Filling) -> None:
    asked = _asked(f)
    treatment, request = asked.treatment, asked.request
    label_asked(f, treatment, request)
    if f.entry is None:
        product = counted(treatment, request.strength, request.bottle)
        _judge(f, asked, product)
        ends = (product, product, product)
    else:
        ends = counted_range(treatment, request.strength or request.bottle)
        _not_raised(f, asked)
    keep(f, asked, ends)


def _not_raised(f: Filling, asked: AskedDose) -> None:
    """Nothing, where a correction leaves a dose inside its hard limit, or lowers it.

    Raises
    ------
    Refused
        ``over-hard-limit``: a dose never says more than its limit; what went in all the same is
        `given`, which alerts.
    """
    amount, before = f.get("amount"), dose_numbered(f.book, str(f.entry))
    if before is not None and before[1].treatment == asked.treatment.id:
        lowered = before[1].unit == amount.canonical and amount.value <= before[1].amount
        if lowered and f.get("strength") is None:
            return
    broken = check_given(asked.request, Decimal(amount.high), amount.canonical)
    over = next((b for b in broken if b.code == "over-hard-limit"), None)
    if over is not None:
        raise Refused(
            over.code,
            over.text,
            limit=None if over.limit is None else float(over.limit),
            value=None if over.value is None else float(over.value),
            unit=over.unit,
            source=over.source,
            way_out=f"if that went in: intake correct {f.entry} --void, then intake record given",
        )


def _judge(f: Filling, asked: AskedDose, product: Counted) -> None:
    """Holds the amount, at the high end where it was typed with a doubt, against every limit."""
    amount = f.get("amount")
    most = Decimal(amount.high)
    target = target_of(f, asked)
    judged = judge_amount(replace(asked.request, target=target), most, amount.canonical)
    f.notes.warnings += [w for w in judged.warnings if w not in f.notes.warnings]
    f.notes.because += judged.because
    if asked.course.unit != FEED_UNIT:
        added = float(bath_added(most, asked.course.unit, Decimal(1), product))
        system = f.thing("system")
        assert isinstance(system, System)
        refuse_later(f.book, system, asked.request, judged, added)


def _given(f: Filling) -> None:
    asked = _asked(f, happened=True)
    treatment, request = asked.treatment, asked.request
    amount = f.get("amount")
    ends = any_strength(f, treatment, request)
    keep_broken(f, check_given(request, Decimal(amount.value), amount.canonical))
    keep(f, asked, ends)


def bath_numbered(book: Book, text: str) -> Bath | None:
    """The bath that entry tells of, by its number or as NAME#ENTRY."""
    number = text.rpartition("#")[2]
    entry = book.entry(int(number)) if number.isascii() and number.isdigit() else None
    found = None if entry is None else book.facts.things.get(entry.entry)
    return found if isinstance(found, Bath) else None


class ADosedWater(AThing):
    """A vessel or water system, or the number of the entry whose dose or bath is stopped."""

    def read(self, text: str, asked: Asked) -> Thing | Problem:
        found = AThing.read(self, text, asked)
        bath = bath_numbered(asked.book, text)
        if isinstance(found, Problem) and bath is not None:
            return bath
        dose = dose_numbered(asked.book, text)
        if isinstance(found, Problem) and dose is not None:
            return asked.book.facts.systems[dose[0]]
        return found


def dose_numbered(book: Book, text: str) -> tuple[int, DoseFact] | None:
    """The dose of that entry and the system it went into; a correction means its original."""
    entry = book.entry(int(text)) if text.isascii() and text.isdigit() else None
    if entry is None:
        return None
    for system in book.facts.waters():
        for dose in system.doses:
            if dose.entry == entry.entry:
                return system.id, dose
    return None


class AStopped(ATreatment):
    """A treatment that was given in this room, or has a protocol: stopping is never held back."""

    def read(self, text: str, asked: Asked) -> str | Problem:
        given = {d.treatment for s in asked.book.facts.systems.values() for d in s.doses}
        return text if text in given else ATreatment.read(self, text, asked)


def _stop(f: Filling) -> None:
    bath = f.thing("system")
    if isinstance(bath, Bath):
        lifted(f, bath)
        return
    named = dose_numbered(f.book, str(f.typed.get("system", "")))
    if named is not None and f.get("treatment") is None and f.thing("system").id == named[0]:
        f.values["treatment"] = named[1].treatment
    f.stop_if_faulty()
    f.notes.because.append("stopping is never held back; change water as the protocol says")
    system = f.thing("system")
    assert isinstance(system, System)
    if f.get("wash-out"):
        f.answer["wash_out"] = wash_out(f.book, system, f.get("treatment"), f.notes)


WATER = Field("system", AThing(("system",)), "vessel or water system", True, True)
TREATMENT = Field("treatment", ATreatment(), "which treatment", True, True)
_REST = (
    Field("course", AText(), "which course, the first where none is given"),
    Field("amount", AQuantity("amount"), "what went in", required=True),
    Field("strength", AStrength(), "from the label"),
    Field("tool", AText(), "what it was measured with"),
    Field("product", AThing(("product",)), "which bottle or packet"),
    Field("target", AText(), "what it was worked out for, the usual where none is given"),
    Field("drug", AName(), "which drug, where a vet directed several"),
    Field("reason", AText(), "the sign or finding it is for"),
    Field("diagnosed-by", AText(), "who found out what it is"),
    Field("holding", AText(), "how long the fish are kept before they are sold"),
    Field("soft", AText(), "why a warning is passed over"),
    Field("vet", AText(), "what the vet said"),
)

FORMS = (
    Form(
        "dose",
        "a dose put into the water",
        (WATER, TREATMENT, *_REST),
        _dose,
        version=2,
        protocols=True,
    ),
    Form(
        "given",
        "something that went in already, whatever the limits say",
        (WATER, TREATMENT, *_REST),
        _given,
        version=2,
        needs_why=True,
        protocols=True,
    ),
    Form(
        "stop",
        "a treatment stopped",
        (
            Field("system", ADosedWater(("system",)), "vessel, system or the entry", True, True),
            Field("treatment", AStopped(), "which treatment", positional=True),
            Field("wash-out", AName(), "it is being washed out", flag=True),
        ),
        _stop,
    ),
)
