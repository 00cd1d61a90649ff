"""What a placement or a move drags in: clocks, dates and the fish that share the water."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from typing import Any

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.facts.steps.dragged import unreleased, went_along
from intake.flows.facts.things import Animal, System, Vessel
from intake.flows.linked import WATCH_DAYS
from intake.flows.notes import Notes
from intake.flows.quarantine_facts import facts_of, fish_facts
from intake.science.checks import checks
from intake.science.counters import counters
from intake.science.quarantine import QuarantineFacts

NEW_FISH = "new fish carry what is not seen yet"


def drags_in(
    book: Book,
    vessel: Vessel,
    source: str,
    notes: Notes,
    *,
    when: datetime,
    moving: Animal | None = None,
    box: int = 0,
) -> list[dict[str, Any]]:
    """Which clocks, dates and fish it drags in when fish go into this vessel at that time.

    Fish of the same shipment met each other before they came: they drag nothing in. Fish that are
    not released take their quarantine with them: into an empty water their own days, over fish
    that live there a quarantine that begins today.
    """
    facts = book.facts
    system = facts.system_of(vessel)
    came_from = facts.system_of(facts.vessel(moving.vessel)) if moving and moving.vessel else None
    if came_from is not None and came_from.id == system.id:
        return []
    held = moving is not None and unreleased(facts, moving, when) is not None
    here = [
        a
        for a in facts.occupants(system.vessels)
        if (moving is None or a.id != moving.id) and not _together(book, a, box)
    ]
    if system.quarantine is not None:
        along = went_along(came_from if held else None, system, when)
        if along or not here:
            return []
        because = f"fish from {source or 'elsewhere'} go into the same water"
        own = _own_end(book, fish_facts(book, moving)) if held and moving is not None else []
        return [_restarted(book, system, here, because, when, notes, own)]
    if held and moving is not None:
        return [_begun(book, system, here, moving, when, notes)]
    return [_told(system, here, source, notes)] if here and moving is None else []


def contact_drags(
    book: Book, system: System, origin: System, how: str, when: datetime, notes: Notes
) -> list[dict[str, Any]]:
    """What wet contact from another water does: days begin again; a released water is watched."""
    here = book.facts.occupants(system.vessels)
    if not here:
        return []
    because = f"wet contact by {how} with {origin.name}"
    if system.quarantine is not None:
        return [_restarted(book, system, here, because, when, notes, [])]
    if origin.quarantine is None:
        return []
    fish = sum(a.count for a in here)
    what = (
        f"no clock begins, but {fish} fish ({_names(here)}) are watched for {WATCH_DAYS} days; "
        f"begin a quarantine there where it was more than a drop"
    )
    because += ", which is not released"
    notes.because.append(f"{system.name}: {what}: {because}")
    return [{"system": system.name, "what": what, "because": because, "fish": _fish(here)}]


def _together(book: Book, animal: Animal, box: int) -> bool:
    facts = book.facts
    if not box or not animal.box or len(animal.stays) > 1:
        return False
    return facts.box(animal.box).shipment == facts.box(box).shipment


def _fish(animals: Iterable[Animal]) -> list[dict[str, Any]]:
    return [{"name": a.name, "count": a.count} for a in animals]


def _names(animals: Iterable[Animal]) -> str:
    return ", ".join(a.name if a.count == 1 else f"{a.name} ({a.count})" for a in animals)


def _told(system: System, here: list[Animal], source: str, notes: Notes) -> dict[str, Any]:
    """Fish that live there meet new ones, and no quarantine runs."""
    fish = sum(a.count for a in here)
    what = f"{fish} fish in {system.name} share water with {source or 'new fish'}"
    notes.because.append(f"{what}: {NEW_FISH}; start a quarantine on {system.name}")
    return {"system": system.name, "what": what, "because": NEW_FISH, "fish": _fish(here)}


def _begun(
    book: Book,
    system: System,
    here: list[Animal],
    moving: Animal,
    when: datetime,
    notes: Notes,
) -> dict[str, Any]:
    """The quarantine that fish bring along which are not released."""
    known = fish_facts(book, moving)
    home = known.system
    because = f"{moving.name} is not released: it comes from {home}, in quarantine"
    if here:
        today = local_date(when, book.facts.zone)
        release = max([today + timedelta(known.plan.days), *_own_end(book, known)])
        fish = sum(a.count for a in here)
        what = (
            f"{fish} fish that live there are in quarantine again ({_names(here)}): day 0 is "
            f"{today}, earliest release from {release}"
        )
        dates = {"day_0": str(today), "earliest_release": str(release)}
    else:
        count, found = counters(known, book.now), checks(known, book.now)
        told = f", earliest release from {found.earliest_release}"
        what = (
            f"its own days go on there: day {count.days_served} of {known.plan.days}"
            f"{told if found.earliest_release else ''}"
        )
        dates = {"day_0": str(count.day_0), "earliest_release": str(found.earliest_release)}
    notes.because.append(f"{system.name}: {what}: {because}")
    return {
        "system": system.name,
        "what": what,
        "because": because,
        "fish": _fish([*here, moving]),
        "plan": known.plan.id,
        "day_0_was": None,
        "earliest_release_was": None,
        **dates,
    }


def _own_end(book: Book, known: QuarantineFacts) -> list[date]:
    """The end of the days of a fish's own plan, where some are counted."""
    served = counters(known, book.now).would_serve_from
    return [] if served is None else [served + timedelta(known.plan.days)]


def _restarted(
    book: Book,
    system: System,
    here: list[Animal],
    because: str,
    when: datetime,
    notes: Notes,
    own: list[date],
) -> dict[str, Any]:
    known = facts_of(book, system)
    before = checks(known, book.now)
    today = local_date(when, book.facts.zone)
    day_0 = counters(known, book.now).day_0
    served = max([today + timedelta(known.plan.days), *own])
    was = before.earliest_release
    fish = sum(a.count for a in here)
    release = max(served, was) if was else served
    moved = f"day 0 moves from {day_0} to {today}" if day_0 != today else f"day 0 stays {today}"
    later = f"from {was} to {release}" if was != release else f"stays {release}"
    what = f"{moved}, earliest release {later}, for the {fish} fish already there"
    notes.because.append(f"{system.name}: {what}: {because}")
    return {
        "system": system.name,
        "what": what,
        "because": because,
        "fish": _fish(here),
        "day_0_was": str(day_0),
        "day_0": str(today),
        "earliest_release_was": str(was),
        "earliest_release": str(release),
    }
