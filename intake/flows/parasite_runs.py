"""Which doses are a course against a parasite, by what they were given for or a slide found."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.directions import as_directed, is_of
from intake.flows.facts.happened import DoseFact
from intake.flows.facts.things import System
from intake.flows.residues import level_of
from intake.science.limits import allowed
from intake.science.pace import against
from intake.science.parasite import Parasite
from intake.science.treatment import Course, Treatment

IN_WATER = ("prolonged", "bath", "dip")
"""Routes that reach what sits on the fish and swims in the water."""
STRONG = Decimal("0.9")
"""Share of a course's lowest level from which a dose counts: more than a tool rounds away (common
practice)."""
KEPT_D = 240
"""Doses longer ago than this are of no course that runs [d]: the slowest wait is 222 d."""


@dataclass(frozen=True, slots=True)
class Run:
    """The doses of one course against one parasite since it was last stopped, oldest first.

    `doses` has the first one of each of its `days`, `last` is the newest of all. Those in `weak`
    left the water under the course's range: they are no dose against it.
    """

    parasite: Parasite
    treatment: Treatment
    course: Course
    doses: tuple[DoseFact, ...]
    days: tuple[date, ...]
    last: DoseFact
    drug: str = ""
    weak: tuple[DoseFact, ...] = ()


def named_best(parasites: Mapping[str, Parasite], text: str) -> Parasite | None:
    """The parasite that words name most fully; None where they name none with a table."""
    best = max(parasites.values(), key=lambda p: p.named_in(text), default=None)
    return best if best is not None and best.named_in(text) else None


def runs_of(book: Book, system: System) -> list[Run]:
    """Every course against a parasite with a table that was not stopped, one for each parasite.

    Where two treatments were given against the same one, the newer counts.
    """
    found: dict[str, Run] = {}
    for name, drug in dict.fromkeys((d.treatment, d.drug) for d in system.doses):
        treatment = book.shelf.treatments.get(name)
        doses = [d for d in system.doses if is_of(d, name, drug) and d.at <= book.now]
        if treatment is None or not doses:
            continue
        run = _newest(book, system, treatment, _since_stop(book, system, doses), drug)
        other = found.get(run.parasite.id) if run is not None else None
        if run is not None and (other is None or other.last.at < run.last.at):
            found[run.parasite.id] = run
    return list(found.values())


def _since_stop(book: Book, system: System, doses: Iterable[DoseFact]) -> list[DoseFact]:
    since = book.now - timedelta(KEPT_D)
    return [
        d
        for d in doses
        if d.at >= since
        and not any(
            d.at <= s.at <= book.now and s.treatment in (None, d.treatment) for s in system.stops
        )
    ]


def _newest(
    book: Book, system: System, treatment: Treatment, doses: list[DoseFact], drug: str
) -> Run | None:
    """The last doses that were of one course and against one parasite."""
    kept: list[DoseFact] = []
    before: Parasite | None = None
    for dose in doses:
        found = _against(book, system, treatment, dose, before)
        if kept and (dose.course != kept[-1].course or found != before):
            kept = []
        before = found
        kept.append(dose)
    if before is None:
        return None
    course = treatment.course(kept[-1].course)
    course = None if course is None else as_directed(book, kept[-1], course)
    if course is None or (course.by_vet and course.repeat is not None):
        return None  # a vet said how often
    firsts: dict[date, DoseFact] = {}
    for dose in kept:
        if _strong(book, system, dose, course):
            firsts.setdefault(local_date(dose.at, book.facts.zone), dose)
    weak = tuple(d for d in kept if not _strong(book, system, d, course))
    each = tuple(firsts.values())
    return (
        Run(before, treatment, course, each, tuple(firsts), kept[-1], drug, weak) if each else None
    )


def _strong(book: Book, system: System, dose: DoseFact, course: Course) -> bool:
    """Whether the water came to what the course asks for at least, by the high end."""
    if not course.unit.endswith("/L"):
        return True
    level = level_of(book, system, dose.treatment, dose.at).high
    return allowed(level, course.low * STRONG, None)


def _against(
    book: Book, system: System, treatment: Treatment, dose: DoseFact, before: Parasite | None
) -> Parasite | None:
    """What a dose was given against: its own reason, the newest slides, or as the one before."""
    course = treatment.course(dose.course)
    if course is None or course.route not in IN_WATER:
        return None
    if treatment.counts_as(course) != "treatment":
        return None
    named = named_best(book.shelf.parasites, dose.reason)
    return named or _on_slides(book, system, dose, course) or before


def _on_slides(book: Book, system: System, dose: DoseFact, course: Course) -> Parasite | None:
    """What the slides of the newest day before a dose found, with a table.

    Of several, what the course is given against, then what was most.
    """
    zone = book.facts.zone
    made = [s for s in system.slides if s.at <= dose.at]
    newest = max((local_date(s.at, zone) for s in made), default=None)
    counts: dict[str, int] = {}
    for slide in made:
        if local_date(slide.at, zone) == newest:
            for name, count in slide.found:
                counts[name] = counts.get(name, 0) + count
    known = [(named_best(book.shelf.parasites, n), counts[n]) for n in counts if counts[n] > 0]
    here = [(against(course, p), n, p) for p, n in known if p is not None]
    return max(here, key=lambda x: x[:2])[2] if here else None
