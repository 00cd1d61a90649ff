"""What a water change took out of a treatment that its protocol puts back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from decimal import Decimal

from intake.flows.desk import Book
from intake.flows.dosed_water import room_request
from intake.flows.facts.happened import DoseFact
from intake.flows.facts.things import System
from intake.flows.notes import Notes
from intake.flows.residues import level_met
from intake.flows.running import run_of
from intake.science.dose import DoseRequest
from intake.science.dosing import plan_dose
from intake.science.ledger import Changed, Flushed, Joined
from intake.science.limits import twelve
from intake.science.problem import Refused
from intake.science.show import show
from intake.science.treatment import Course

WORTH_IT = 0.05
"""Less than this share of the level missing is not asked for (common practice)."""


@dataclass(frozen=True, slots=True)
class Missing:
    """A treatment of which a change took some out: its level, what it was, what puts it back.

    `amount_text` is empty where the dose is refused now; `task` names it among what is due.
    """

    task: str
    treatment: str
    title: str
    course: str
    level: float
    was: float
    target: Decimal
    unit: str
    amount_text: str
    refused: str


def over(system: System, dose: DoseFact, course: Course, now: datetime) -> bool:
    """Whether its course was stopped or its time is past, or its fish were released.

    A bath or a dip is never kept up: its water goes to waste.
    """
    if any(s.at >= dose.at and s.treatment in (None, dose.treatment) for s in system.stops):
        return True
    if any(q.released is not None and q.released >= dose.at for q in system.quarantines):
        return True
    if course.route != "prolonged":
        return True
    if course.duration_max_h is None:
        return False
    first = run_of(system, dose.treatment, course, now)[0].at
    return now > first + timedelta(hours=float(course.duration_max_h))


def held_target(was: Decimal, course: Course) -> Decimal:
    """What was there, inside the course's range: a level a hair under its lowest meant that."""
    near_low = course.low * (1 - Decimal(str(WORTH_IT)))
    wanted = course.low if near_low <= was < course.low else was
    return min(wanted, course.high)


def missing(book: Book, system: System) -> list[Missing]:
    """Every treatment whose last dose was followed by a change that is not made up for yet."""
    found = []
    doses = [d for d in system.doses if d.at <= book.now]
    for name in dict.fromkeys(d.treatment for d in doses):
        treatment = book.shelf.treatments.get(name)
        last = [d for d in doses if d.treatment == name][-1]
        if treatment is None or treatment.after_change != "replace":
            continue
        course = treatment.course(last.course)
        if course is None or over(system, last, course, book.now):
            continue
        changed = any(
            isinstance(w.event, Changed | Flushed | Joined) and w.event.at_utc >= last.at
            for w in system.water
        )
        level = level_met(book, system, name, book.now).now
        was = level_met(book, system, name, last.at).now
        if not changed or was <= 0 or level > was * (1 - WORTH_IT):
            continue
        task = f"{system.name}/{last.entry}/{name}/put-back"
        base = DoseRequest(treatment, book.now, course.name, never_mix=book.shelf.never_mix)
        request = room_request(book, system, base, course, Notes())
        target = held_target(twelve(was), course)
        amount, refused = "", ""
        try:
            answer = plan_dose(replace(request, target=target))
            amount = show(answer.amount, answer.amount_unit)
        except Refused as refusal:
            refused = refusal.text
        found.append(
            Missing(
                task,
                name,
                treatment.title,
                course.name,
                level,
                was,
                target,
                course.unit,
                amount,
                refused,
            )
        )
    return found
