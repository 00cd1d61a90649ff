"""A task of a whole day that follows from the record and stands in no plan."""

from __future__ import annotations

from datetime import date

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.facts.things import System
from intake.science.calendar import Task


def day_task(
    book: Book,
    system: System,
    id_: str,
    day: date,
    *,
    kind: str,
    task: str,
    short: str,
    because: str,
) -> Task:
    """The task of that day, due from then on; `id_` is start-entry/step/occurrence."""
    return Task(
        id=f"{system.name}/{id_}",
        day=day,
        from_=day,
        to=day,
        at="",
        task=task,
        kind=kind,
        system=system.name,
        state="due" if day <= local_date(book.now, book.facts.zone) else "upcoming",
        because=because,
        short=short,
    )
