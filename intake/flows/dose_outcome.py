"""What came of a dose, from what was recorded after it: how it ended, and how the fish did."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from intake.flows.desk import Book
from intake.flows.dose_ends import ended_at
from intake.flows.dose_tasks import dose_tasks
from intake.flows.facts.happened import DoseFact
from intake.flows.facts.things import System

FOLLOWED_D = 7
"""So long the fish are followed after a dose of which no length is known [d] (common practice)."""
UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a dose ended, and what was seen of its fish up to `until`, in words."""

    until: datetime
    ended: str
    seen: tuple[str, ...]
    deaths: tuple[str, ...]
    next: str


def outcome(
    book: Book, system: System, dose: DoseFact, planned: Mapping[str, Any], animals: set[int]
) -> Outcome:
    """What later entries say of a dose; nothing of it is stored with it.

    Parameters
    ----------
    planned
        What the entry kept of how long it was meant to last.
    animals
        The fish and groups it reached.
    """
    until = min(book.now, dose.at + timedelta(hours=_followed_h(planned)))
    seen = [
        f"{book.facts.local(look.at)}: {_signs(look.signs)}, entry {look.entry}"
        for look in system.looks
        if dose.at <= look.at <= until and (not animals or animals & set(look.animals))
    ]
    deaths = [
        f"{book.facts.local(d.at)}: {d.count} of {d.count_before}, {d.how or UNKNOWN}, "
        f"entry {d.entry}"
        for d in system.deaths
        if dose.at <= d.at <= until and (not animals or d.animal in animals)
    ]
    return Outcome(
        until, _ended(book, system, dose), tuple(seen), tuple(deaths), _next(book, system, dose)
    )


def _followed_h(planned: Mapping[str, Any]) -> float:
    """The hours of the course: its longest duration, or all of its doses."""
    every, times, most = planned["every_h"], planned["times"], planned["at_most_h"]
    lengths = [float(most)] if most != UNKNOWN else []
    if UNKNOWN not in (every, times):
        lengths.append(float(every) * float(times))
    return max(lengths, default=FOLLOWED_D * 24.0)


def _signs(signs: Iterable[tuple[str, int]]) -> str:
    return ", ".join(f"{name} {grade}" for name, grade in signs) or "no sign"


def _ended(book: Book, system: System, dose: DoseFact) -> str:
    """When it was over and by what; a stop and a change are told apart."""
    treatment = book.shelf.treatments.get(dose.treatment)
    course = treatment.course(dose.course) if treatment else None
    end = ended_at(book, system, dose, course)
    stop = next(
        (s for s in system.stops if s.at >= dose.at and s.treatment in (None, dose.treatment)),
        None,
    )
    if end is None or end > book.now:
        return "not ended"
    if stop is not None and stop.at == end:
        washed = ", washed out" if stop.washed_out else ""
        return f"stopped {book.facts.local(end)}{washed}, entry {stop.entry}"
    change = next((w for w in system.water if w.event.at_utc == end), None)
    if change is not None:
        return f"washed out by a change {book.facts.local(end)}, entry {change.entry}"
    return f"its longest time was over {book.facts.local(end)}; no stop was recorded"


def _next(book: Book, system: System, dose: DoseFact) -> str:
    """When the course asks for something again."""
    for task in dose_tasks(book, system):
        if task.id.split("/")[-2] == dose.treatment and task.at_utc is not None:
            return f"{book.facts.local(task.at_utc)}: {task.task}"
    return UNKNOWN
