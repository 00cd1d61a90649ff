"""Fish that are not released take their quarantine with them into any water they are moved to."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from intake.flows.facts.quarantining import Quarantine
from intake.flows.facts.things import Animal, System, Vessel

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts
    from intake.store.journal import Entry

TOGETHER = timedelta(hours=24)
"""Fish that leave one water for another within this time stay one group (judgement): what each
could have met since is nothing but the other."""

LEAVES_WITHIN = timedelta(hours=24)
"""A fish released by itself is out of the water of the others within this time, or it shares
their days again (judgement)."""


def unreleased(facts: Facts, animal: Animal, at: datetime) -> Quarantine | None:
    """The quarantine a fish or group is still in, None where it is released or never was in one.

    A fish released by itself is free until something begins the days of its water again, or
    `LEAVES_WITHIN` has passed while it is still in there.
    """
    if not animal.vessel:
        return None
    running = facts.system_of(facts.vessel(animal.vessel)).quarantine
    free = animal.free_until is not None and at <= animal.free_until
    return None if free else running


def met_anew(facts: Facts, system: System) -> None:
    """What begins the days of a water again ends the leave of those released but still in it."""
    for animal in facts.occupants(system.vessels):
        animal.free_until = None


def went_along(came_from: System | None, to: System, at: datetime) -> bool:
    """Whether fish go where others of their own water went within a day: they are no new fish."""
    running = to.quarantine
    if came_from is None or running is None or running.carried != came_from.id:
        return False
    arrived = [a.at for w in (came_from, to) for a in w.arrivals if not (a.mixing_test or a.along)]
    touched = [c.at for w in (came_from, to) for c in w.contacts]
    anew = any(running.at < t for t in (*arrived, *touched))
    return at - running.at <= TOGETHER and not anew


def drag_in(facts: Facts, came_from: System | None, vessel: Vessel, entry: Entry) -> None:
    """Begins a quarantine on the water that fish which are not released go into.

    Into an empty water they bring the days they have served; fish that live there begin anew with
    them, on the day of the move.
    """
    to = facts.system_of(vessel)
    if came_from is None or came_from.id == to.id or to.quarantine is not None:
        return
    running = came_from.quarantine
    if running is None:
        return
    alone = not facts.occupants(to.vessels)
    to.quarantines.append(
        Quarantine(
            entry.entry, to.id, entry.at, running.plan, running.plan_text, running.plan_sha256,
            carried=came_from.id if alone else 0, dragged=came_from.id,
        )
    )  # fmt: skip
    zoned(facts, to)


def zoned(facts: Facts, system: System) -> None:
    """The vessels of a water whose quarantine begins are in the quarantine zone from now on."""
    for id_ in system.vessels:
        if facts.vessel(id_).zone in ("", "resident", "cleared"):
            facts.vessel(id_).zone = "quarantine"
