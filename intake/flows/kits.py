"""The kits of a room at work: what they leave open of a reading, and when not to trust them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.facts.things import Kit, ReadingFact, System
from intake.science.kit import (
    FOOLED_DAYS,
    Steps,
    by_error,
    by_steps,
    expired,
    fools,
    in_reading,
    meter_half,
    read_steps,
    steps_for,
)
from intake.science.limits import allowed
from intake.science.meter import MeterError, read_error
from intake.science.mixing import TRACE
from intake.science.problem import Problem
from intake.science.quantity import Quantity

BINDER_WAY = "drip-with-binder"
BINDER = "ammonia-binder"


@dataclass(frozen=True, slots=True)
class ReadOff:
    """A reading as its kit leaves it, and what was taken for granted, "" for nothing."""

    reading: Quantity
    assumed: str = ""


def tests_of(kit: Kit) -> tuple[str, ...]:
    """What a kit tests."""
    return split_words(kit.tests)


def steps_of(kit: Kit) -> Steps:
    """Its colour steps, by what they test."""
    found = read_steps(kit.steps, comma="," in kit.steps) if kit.steps else {}
    return {} if isinstance(found, Problem) else found


def kit_testing(kits: Iterable[Kit], test: str) -> Kit | None:
    """The first of these kits that tests it; one that says nothing of itself tests ammonia."""
    return next((k for k in kits if test in (tests_of(k) or ("tan",))), None)


def step_texts(kit: Kit, test: str) -> tuple[str, ...]:
    """The colour steps of one test as a keeper picks them."""
    return tuple(f"{s:f}" for s in steps_for(test, tests_of(kit), steps_of(kit)))


def own_kits(book: Book, test: str) -> list[Kit]:
    """The kits of the room that test it, those within their date first."""
    found = [k for k in book.facts.of_kind(Kit) if k.present and test in tests_of(k)]
    return sorted(found, key=lambda k: is_expired(book, k, book.now))


def only_kit(book: Book, test: str) -> Kit | None:
    """The room's only kit for a test, one in date before one that is not; None for several."""
    every = own_kits(book, test)
    found = [k for k in every if not is_expired(book, k, book.now)] or every
    return found[0] if len(found) == 1 else None


def read_off(kit: Kit, name: str, reading: Quantity) -> ReadOff | Problem:
    """A reading of `name` as the kit leaves it."""
    test = "temp" if name.startswith("temp") else name
    if test not in (tests_of(kit) or ("tan",)):
        return ReadOff(reading)
    steps = steps_for(test, tests_of(kit), steps_of(kit))
    if steps:
        found = by_steps(reading, in_reading(steps, test, reading.basis))
        return found if isinstance(found, Problem) else ReadOff(found)
    if reading.value is None or reading.band or reading.half is not None:
        return ReadOff(reading)
    half = meter_half(reading, test, _error(kit), colours=bool(kit.steps))
    if half is None:
        return ReadOff(
            reading, f"{name} by {kit.name} taken as exact: no colour steps or error are recorded"
        )
    return ReadOff(by_error(reading, half[0]), f"{name} by {kit.name} taken {half[1]}")


def _error(kit: Kit) -> MeterError | None:
    found = read_error(kit.error, comma="," in kit.error) if kit.error else None
    return None if isinstance(found, Problem) else found


def expires_on(kit: Kit) -> date | None:
    """The date printed on it."""
    return date.fromisoformat(kit.expires) if kit.expires else None


def is_expired(book: Book, kit: Kit, at: datetime) -> bool:
    """Whether it was past its date then."""
    return expired(expires_on(kit), local_date(at, book.facts.zone))


def split_words(text: str) -> tuple[str, ...]:
    """Words with commas between them."""
    return tuple(word.strip() for word in text.split(",") if word.strip())


def _fooling(kit: Kit, treatments: Sequence[str]) -> str:
    """The first of these treatments that its leaflet warns of, "" for none."""
    return next(
        (t for t in treatments for word in split_words(kit.fooled_by) if fools(word, t)), ""
    )


def _lately(book: Book, system: System, at: datetime) -> list[str]:
    """What went into a water in the last days before a moment, or is left of what went in."""
    from intake.flows.residues import substances

    since = at - timedelta(days=FOOLED_DAYS)
    given = [d.treatment for d in system.doses if since <= d.at <= at]
    left = [
        s.treatment
        for s in substances(book, system, at)
        if not allowed(s.level.high, None, TRACE.get(s.unit, 0))
    ]
    return list(dict.fromkeys([*given, *left]))


def doubt_of(
    book: Book, kit: Kit, at: datetime, system: System | None = None, way: str = ""
) -> tuple[str, str] | None:
    """Why a reading with this kit is not to be trusted: a warning's code and its words.

    `system` is the water it was of; `way` the way across chosen for the bag it was of.
    """
    met = _lately(book, system, at) if system is not None and kit.fooled_by else []
    if way == BINDER_WAY:
        met.append(BINDER)
    fooling = _fooling(kit, met)
    if fooling:
        where = f"in {system.name} or was lately" if system is not None else "in the bag"
        text = f"{fooling} is {where}, and it fools {kit.name}: do not trust this reading"
        return "kit-fooled", text
    if is_expired(book, kit, at):
        return "kit-expired", f"{kit.name} expired {kit.expires}: read it again with one in date"
    return None


def reading_doubt(
    book: Book, system: System, reading: ReadingFact | None
) -> tuple[str, str] | None:
    """Why a reading of this water is not to be trusted: a warning's code and its words."""
    kit = None if reading is None else book.facts.things.get(reading.kit)
    if reading is None or not isinstance(kit, Kit):
        return None
    return doubt_of(book, kit, reading.at, system)


def doubted(book: Book, system: System, reading: ReadingFact) -> str:
    """Why a reading of this water is not to be trusted, "" where nothing speaks against it."""
    found = reading_doubt(book, system, reading)
    return "" if found is None else found[1]


SHORT = {"kit-expired": "kit expired", "kit-fooled": "kit fooled"}
"""What is said beside a reading that is not to be trusted."""


def unknown_words(book: Book, words: Sequence[str]) -> list[str]:
    """Words of a leaflet that name no treatment known here, so that nothing is warned of."""
    known = book.shelf.treatments
    return [w for w in words if not any(fools(w, t) for t in known)]
