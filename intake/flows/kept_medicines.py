"""Which treatments of a water have to keep their strength through changes to come."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

from intake.flows.desk import Book
from intake.flows.dosed_water import room_request
from intake.flows.facts.happened import DoseFact
from intake.flows.facts.things import System
from intake.flows.notes import Notes
from intake.flows.redose import held_target, over
from intake.flows.residues import SALT, brings_of, ledger_of, level_met
from intake.science.amount import Counted, bath_amount, counted
from intake.science.course_settled import settled_course
from intake.science.dose import DoseRequest
from intake.science.dose_checks import hard_limit
from intake.science.kept_medicine import REPLACE, Medicine
from intake.science.ledger import NONE_LEFT, Residue
from intake.science.limits import twelve
from intake.science.problem import Refused
from intake.science.treatment import Course, Treatment


@dataclass(frozen=True, slots=True)
class Kept:
    """A medicine of a water, and the product that new water is dosed with."""

    medicine: Medicine
    title: str
    unit: str
    limit_source: str
    product: Counted

    def amount(self, litres: float) -> Decimal:
        """The product [g or mL] for so much new water, what it brings by itself taken off."""
        added = max(0.0, self.medicine.new.now - self.medicine.undosed.now)
        of_litres = Decimal(repr(litres))
        return bath_amount(Decimal(repr(added)), self.unit, of_litres, self.product)


def kept_medicines(book: Book, system: System, notes: Notes) -> tuple[Kept, ...]:
    """Every medicine whose course runs in this water; what cannot be judged is said."""
    found = []
    doses = [d for d in system.doses if d.at <= book.now]
    for name in dict.fromkeys(d.treatment for d in doses):
        treatment = book.shelf.treatments.get(name)
        last = [d for d in doses if d.treatment == name][-1]
        course = treatment.course(last.course) if treatment else None
        if treatment is None or course is None:
            notes.assume(f"{name}: no protocol says how strong to keep it, so it is not")
            continue
        if not course.unit.endswith("/L") or over(system, last, course, book.now):
            continue
        if treatment.after_change != REPLACE and treatment.counts_as(course) != "treatment":
            continue  # a conditioner: new water gets its own by the litre
        try:
            found.append(_kept(book, system, treatment, course, last))
        except Refused as why:
            notes.assume(f"{name} is not kept up: {why.text}")
    return tuple(found)


def _kept(
    book: Book, system: System, treatment: Treatment, course: Course, last: DoseFact
) -> Kept:
    """One medicine as the planner takes it.

    Raises
    ------
    Refused
        Nothing limits it.
    """
    name, unit = treatment.id, course.unit
    base = DoseRequest(treatment, book.now, course.name, never_mix=book.shelf.never_mix)
    request = room_request(book, system, base, course, Notes())
    course = settled_course(request)
    limit = hard_limit(request, course)
    brought = brings_of(book, unit) if name == SALT else NONE_LEFT
    new = brought
    if treatment.after_change == REPLACE:
        was = level_met(book, system, name, last.at, unit).now
        new = _dosed(float(held_target(twelve(was), course)), brought)
    long_h = course.duration_min_h or course.duration_max_h
    until = None if long_h is None else last.at + timedelta(hours=float(long_h))
    medicine = Medicine(
        name,
        ledger_of(book, system, name, unit=unit, read=True),
        float(course.low),
        float(limit.value),
        treatment.after_change,
        new,
        brought,
        until,
    )
    product = counted(treatment, None, request.bottle)
    return Kept(medicine, treatment.title, unit, limit.source.text, product)


def _dosed(target: float, brought: Residue) -> Residue:
    """New water at the target, as unsure of it as of what it brings by itself."""
    less, more = brought.now - brought.low, brought.high - brought.now
    likely = max(target, brought.now)
    return Residue(likely, likely - less, likely + more)
