"""Preventive courses: what a plan offers, what is refused, and what the keeper chose."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from intake.flows.desk import Book
from intake.flows.facts.quarantining import Quarantine
from intake.flows.facts.things import Animal, System
from intake.flows.met import last_met
from intake.science.plan import Plan, Preventive
from intake.science.preventive import Chosen
from intake.science.problem import Refused
from intake.science.treatment import Course, Treatment

if TYPE_CHECKING:
    from intake.rules.shelf import Shelf


def offer_keys(offer: Preventive) -> dict[str, Any]:
    """The keys of one offer in an answer."""
    return {
        "treatment": offer.treatment,
        "course": offer.course,
        "from_day": offer.from_day,
        "to_day": offer.to_day,
        "against": list(offer.against),
        "because": offer.because,
        "source": offer.source.text,
        "mark": offer.source.mark,
    }


def offered(
    shelf: Shelf, plan: Plan, treatment: Treatment, animals: Iterable[Animal]
) -> Preventive:
    """The course of that treatment the plan offers these fish.

    Raises
    ------
    Refused
        ``vet-only`` or ``not-advised`` by the treatment itself; ``not-offered`` by the plan;
        ``life-stage`` where somebody it was not tried on is in the water, or, before any fish
        is in, where the plan is for none it was tried on.
    """
    _refuse_by_status(treatment)
    offer = plan.offer(treatment.id)
    course = None if offer is None else treatment.course(offer.course)
    if offer is None or course is None:
        raise _not_offered(shelf, plan, treatment, offer)
    here = {a.name: a.stage for a in animals}
    for name, stage in here.items():
        if stage not in course.stages:
            raise _stage(f"{name} is {stage}", treatment, course)
    if not here and plan.life_stages and not set(plan.life_stages) & set(course.stages):
        raise _stage(f"plan {plan.id} is for {', '.join(plan.life_stages)}", treatment, course)
    return offer


def _refuse_by_status(treatment: Treatment) -> None:
    if treatment.status == "vet only":
        raise Refused(
            "vet-only",
            f"{treatment.title} is given as a vet directs, never in advance",
            way_out="record the vet's words: intake record direction",
        )
    if treatment.status == "not advised":
        raise Refused(
            "not-advised",
            f"{treatment.title} is not advised for these fish, least of all in advance",
            way_out="ask a vet",
        )


def _not_offered(
    shelf: Shelf, plan: Plan, treatment: Treatment, offer: Preventive | None
) -> Refused:
    why = f"plan {plan.id} offers no preventive course of {treatment.title}"
    if offer is not None:
        why = f"{treatment.title} has no course '{offer.course}', which plan {plan.id} offers"
    there = [p.treatment for p in plan.preventive if p.treatment in shelf.treatments]
    return Refused(
        "not-offered",
        why,
        source=f"plan {plan.id}, version {plan.version}",
        way_out=f"it offers {', '.join(there)}" if there else "none is offered: go by the slides",
    )


def _stage(who: str, treatment: Treatment, course: Course) -> Refused:
    return Refused(
        "life-stage",
        f"{who}; course {course.name} of {treatment.title} is for {', '.join(course.stages)}",
        source=course.stage_source.text if course.stage_source else "",
        way_out="begin without it",
    )


def chosen(book: Book, system: System, running: Quarantine, plan: Plan) -> Chosen | None:
    """The preventive course the keeper chose when the quarantine began."""
    treatment = book.shelf.treatments.get(running.preventive) if running.preventive else None
    offer = plan.offer(running.preventive)
    course = treatment.course(offer.course) if treatment is not None and offer else None
    if treatment is None or course is None:
        return None
    animals = book.facts.occupants(system.vessels)
    met = tuple(sorted(last_met(book, animals, treatment.id, book.now)))
    least = course.interval.not_before_h if course.interval else None
    repeat = ""
    if course.repeat is not None:
        times = f"{course.repeat.times} doses: " if course.repeat.times else ""
        repeat = f"{times}{course.repeat.text}".strip(": ")
    caution = treatment.cautions[0] if treatment.cautions else ""
    return Chosen(treatment.id, treatment.title, running.id, met, least, repeat, caution)
