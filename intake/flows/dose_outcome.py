"""What came of a dose, from what was recorded after it: how it ended, and how the fish did."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from intake.flows.desk import Book
from intake.flows.dose_ends import ended_at
from intake.flows.dose_tasks import dose_tasks
from intake.flows.facts.baths import Bath
from intake.flows.facts.happened import DeathFact, DoseFact, LookFact
from intake.flows.facts.things import Animal, System

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


@dataclass(frozen=True, slots=True)
class Followed:
    """What is followed: when it began, what its entry planned, which fish it reached.

    `system` is the water it went into; None for a bath in a bucket.
    """

    at: datetime
    planned: Mapping[str, Any]
    animals: frozenset[int]
    system: System | None = None


def outcome(book: Book, it: Followed, ended: str, next_: str = UNKNOWN) -> Outcome:
    """What later entries say of a dose; nothing of it is stored with it.

    The fish are followed wherever they went since, with those that were taken out of their
    group; where none was recorded, whatever was seen in the water counts.
    """
    until = min(book.now, it.at + timedelta(hours=_followed_h(it.planned)))
    animals = _with_parts(book, it.animals)
    waters = [it.system] if it.system is not None and not animals else book.facts.waters()
    looks: dict[int, LookFact] = {}
    deaths: dict[int, DeathFact] = {}
    for water in waters:
        looks |= {x.entry: x for x in water.looks if not animals or animals & set(x.animals)}
        deaths |= {d.entry: d for d in water.deaths if not animals or d.animal in animals}
    seen = [
        f"{book.facts.local(look.at)}: {_signs(look.signs)}, entry {look.entry}"
        for look in sorted(looks.values(), key=lambda x: (x.at, x.entry))
        if it.at <= look.at <= until
    ]
    dead = [
        f"{book.facts.local(d.at)}: {d.count} of {d.count_before}, {d.how or UNKNOWN}, "
        f"entry {d.entry}"
        for d in sorted(deaths.values(), key=lambda x: (x.at, x.entry))
        if it.at <= d.at <= until
    ]
    return Outcome(until, ended, tuple(seen), tuple(dead), next_)


def _with_parts(book: Book, animals: frozenset[int]) -> set[int]:
    """These fish and whatever was taken out of their groups since."""
    found = set(animals)
    for animal in book.facts.of_kind(Animal):  # a part is always made after its group
        if animal.came_of in found:
            found.add(animal.id)
    return found


def outcome_of_dose(
    book: Book, system: System, dose: DoseFact, planned: Mapping[str, Any], animals: frozenset[int]
) -> Outcome:
    """What came of a dose into a water of the room."""
    it = Followed(dose.at, planned, animals, system)
    return outcome(book, it, _ended(book, system, dose), _next(book, system, dose))


def outcome_of_bath(
    book: Book, bath: Bath, planned: Mapping[str, Any], animals: frozenset[int]
) -> Outcome:
    """What came of a bath in a bucket."""
    ended = f"not ended, due out {book.facts.local(bath.ends)}"
    if bath.until is not None:
        why = f": {bath.stopped}" if bath.stopped else ""
        ended = f"lifted out {book.facts.local(bath.until)}{why}"
    return outcome(book, Followed(bath.since, planned, animals), ended)


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
