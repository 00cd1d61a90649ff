"""What Calendar and Fish write of quarantines: begun, touched, looked at, settled, released."""

from __future__ import annotations

from collections.abc import Mapping

from intake.clock import local_date
from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.things import Animal, System
from intake.flows.forms.every import FORMS
from intake.flows.forms.pairs import PARASITES
from intake.flows.forms.readers import Choice
from intake.flows.jobs.calendar_words import readable
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.today import heads
from intake.flows.jobs.words import recorded
from intake.flows.record import Said, record
from intake.flows.views.calendar import PlanChoice, QuarantineChoices
from intake.flows.views.parts import Recorded
from intake.science.plan import Plan

SAID = {
    "quarantine": "{system}: quarantine begun",
    "clock": "{system}: the restart is settled",
    "contact": "{to}: wet contact with {from}",
    "slide": "{subject}: slide",
    "release": "{subject}: released",
}
"""The kinds written here, and how each is said."""


def choices(desk: Desk) -> QuarantineChoices:
    """The waters, fish, plans and words there are to choose from."""
    with at_work(desk) as book:
        waters = list(book.facts.waters())
        return QuarantineChoices(
            idle=_named(book, [s for s in waters if s.quarantine is None]),
            running=_named(book, [s for s in waters if s.quarantine is not None]),
            waters=_named(book, waters),
            plans=tuple(_plan(book, p) for p in book.shelf.plans.values()),
            ways=_words("contact", "by"),
            fish=tuple(_fish(book, a) for s in waters for a in book.facts.occupants(s.vessels)),
            samples=_words("slide", "from"),
            parasites=PARASITES,
            asks=tuple(f.name for f in FORMS["quarantine"].fields),
        )


def _named(book: Book, systems: list[System]) -> tuple[tuple[str, str], ...]:
    return tuple((s.name, heads(book.facts.occupants(s.vessels))) for s in systems)


def _fish(book: Book, animal: Animal) -> tuple[str, str, str]:
    count = f"{animal.count} " if animal.count > 1 else ""
    water = book.facts.system_of(book.facts.vessel(animal.vessel)).name
    return animal.name, f"{count}{animal.variety or animal.kind}", water


def _plan(book: Book, plan: Plan) -> PlanChoice:
    courses = tuple(
        (p.treatment, f"{_title(book, p.treatment)}, against {' and '.join(p.against)}")
        for p in plan.preventive
    )
    return PlanChoice(plan.id, plan.title, plan.days, plan.used_for, courses)


def _title(book: Book, treatment: str) -> str:
    known = book.shelf.treatments.get(treatment)
    return known.title if known else treatment


def _words(kind: str, field: str) -> tuple[str, ...]:
    """The words a field of a form takes, so that a screen offers those and no others."""
    found = FORMS[kind].field(field)
    assert found is not None
    assert isinstance(found.read, Choice)
    return tuple(found.read.words)


def write_kind(desk: Desk, kind: str, typed: Mapping[str, object], why: str) -> Recorded:
    """One entry of a kind that quarantines are made of, with its reason where it has one."""
    with as_unreadable():
        answer = record(desk, kind, typed, Said(why=why or None))
    with at_work(desk) as book:
        today = local_date(book.now, book.facts.zone)
    follows = "; ".join(readable(because, today) for because in answer["because"])
    words = {k: ", ".join(v) if isinstance(v, (list, tuple)) else v for k, v in typed.items()}
    return recorded(desk, answer, SAID[kind].format_map(words), next_text=follows)
