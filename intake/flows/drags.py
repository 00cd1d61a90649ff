"""What a placement or a move drags in: clocks, dates and the fish that share the water."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.facts.things import Animal, System, Vessel
from intake.flows.notes import Notes
from intake.flows.quarantines import facts_of
from intake.science.checks import checks
from intake.science.counters import counters

NOT_SEEN_YET = "new fish may carry what is not seen yet"


def drags_in(
    book: Book,
    vessel: Vessel,
    source: str,
    notes: Notes,
    *,
    moving: Animal | None = None,
    box: int = 0,
) -> list[dict[str, Any]]:
    """Which clocks, dates and fish it drags in when fish go into this vessel now.

    Fish of the same shipment met each other before they came: they drag nothing in.
    """
    facts = book.facts
    system = facts.system_of(vessel)
    found = []
    here = [
        a
        for a in facts.occupants(system.vessels)
        if (moving is None or a.id != moving.id) and not _together(book, a, box)
    ]
    if system.quarantine is not None and here:
        found.append(_restarted(book, system, source, notes))
    came_from = facts.system_of(facts.vessel(moving.vessel)) if moving and moving.vessel else None
    unreleased = came_from is not None and came_from.quarantine is not None
    if came_from is not None and came_from.id == system.id:
        return []
    if system.quarantine is None and here and (unreleased or moving is None):
        fish = sum(a.count for a in here)
        what = f"{fish} fish in {vessel.name} share water with {source or 'new fish'}"
        because = (
            f"{source} is not released yet"
            if unreleased
            else "new fish carry what is not seen yet"
        )
        found.append({"system": system.name, "what": what, "because": because})
        notes.because.append(f"{what}: {because}; start a quarantine on {system.name}")
    return found


def _together(book: Book, animal: Animal, box: int) -> bool:
    facts = book.facts
    if not box or not animal.box or len(animal.stays) > 1:
        return False
    return facts.box(animal.box).shipment == facts.box(box).shipment


def _restarted(book: Book, system: System, source: str, notes: Notes) -> dict[str, Any]:
    known = facts_of(book, system)
    before = checks(known, book.now)
    today = local_date(book.now, book.facts.zone)
    day_0 = counters(known, book.now).day_0
    served = today + timedelta(known.plan.days)
    was = before.earliest_release
    fish = sum(o.count for o in known.present)
    release = max(served, was) if was else served
    moved = f"day 0 moves from {day_0} to {today}" if day_0 != today else f"day 0 stays {today}"
    later = f"from {was} to {release}" if was != release else f"stays {release}"
    what = f"{moved}, earliest release {later}, for the {fish} fish already there"
    because = f"fish from {source or 'elsewhere'} go into the same water"
    notes.because.append(f"{system.name}: {what}: {because}")
    return {
        "system": system.name,
        "what": what,
        "because": because,
        "day_0_was": str(day_0),
        "day_0": str(today),
        "earliest_release_was": str(was),
        "earliest_release": str(release),
    }
