"""What there is to choose from before a dose exists."""

from __future__ import annotations

from intake.flows.desk import Book, Desk, at_work
from intake.flows.dose_tasks import dose_tasks
from intake.flows.facts.things import KeptTool
from intake.flows.facts.volumes import waters
from intake.flows.jobs.dose_words import (
    course_text,
)  # fmt: skip
from intake.flows.jobs.today import heads, round_of, zone_text
from intake.flows.jobs.words import with_doubt
from intake.flows.redose import missing
from intake.flows.views.dose import (
    DoseChoices,
    DoseDue,
    TreatmentChoice,
    VesselChoice,
)
from intake.science.treatment import Treatment


def choices(desk: Desk) -> DoseChoices:
    """Doses due first, then every treatment, every vessel and every tool."""
    with at_work(desk) as book:
        vessels = round_of(book)
        return DoseChoices(
            due=tuple(_due(book)),
            treatments=tuple(
                TreatmentChoice(
                    t.id,
                    t.title,
                    t.status,
                    tuple((c.name, course_text(c)) for c in t.courses),
                    "" if t.courses else "the vet's words come first",
                    _kind(t),
                    ", ".join(dict.fromkeys(a for c in t.courses for a in c.against)),
                )
                for t in book.shelf.treatments.values()
            ),
            vessels=tuple(
                VesselChoice(
                    v.name,
                    with_doubt(*waters(book.facts, book.facts.system_of(v)), "L"),
                    heads(book.facts.occupants([v.id])),
                    zone_text(book, v),
                )
                for v in vessels
            ),
            tools=tuple((t.name, f"{t.step} steps") for t in book.facts.of_kind(KeptTool)),
        )


def _kind(treatment: Treatment) -> str:
    """What a treatment is for, as a list too long for letters is folded."""
    if treatment.status in ("vet only", "not advised"):
        return "vet"
    if treatment.courses and all(c.route == "clean" for c in treatment.courses):
        return "cleaning"
    return treatment.counts


def _due(book: Book) -> list[DoseDue]:
    """What a change took out, then the next dose of every course that runs."""
    found = []
    for system in book.facts.waters():
        vessel = book.facts.vessel(system.vessels[0]).name
        for m in missing(book, system):
            when = f"put back {m.amount_text}" if m.amount_text else m.refused
            found.append(DoseDue(m.task, m.treatment, m.title, m.course, vessel, when))
        for task in dose_tasks(book, system):
            if task.state == "upcoming" or task.at_utc is None:
                continue  # one without a date is none to give
            name = task.id.split("/")[-2]
            course = next(d.course for d in reversed(system.doses) if d.treatment == name)
            title = book.shelf.treatments[name].title
            found.append(DoseDue(task.id, name, title, course, vessel, f"{task.state} {task.at}"))
    return found
