"""Folding quarantines, what was settled about them, and tasks that were done or skipped."""

from __future__ import annotations

from typing import TYPE_CHECKING

from intake.flows.facts.quarantining import Quarantine
from intake.flows.facts.steps.dragged import LEAVES_WITHIN, unreleased, zoned
from intake.flows.facts.things import Animal, System

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts
    from intake.store.journal import Entry


def _quarantine(facts: Facts, entry: Entry) -> bool:
    system = facts.water_meant(entry.content, "system")
    if system is None:
        return False
    c = entry.content
    system.quarantines.append(
        Quarantine(
            entry.entry,
            system.id,
            entry.at,
            c["plan"],
            c["plan_text"],
            c["plan_sha256"],
            c.get("expected", ""),
            c.get("preventive", ""),
            bag_temp=c.get("bag_temp"),
            fish=int(c.get("fish", 0)),
            mass_g=float(c["mass"]["value"]) if "mass" in c else 0.0,
        )
    )
    zoned(facts, system)
    return True


def _clock(facts: Facts, entry: Entry) -> bool:
    system = facts.water_meant(entry.content, "system")
    if system is None:
        return False
    c = entry.content
    choice = "keep" if "keep" in c else "restart"
    system.settled.append(
        (entry.entry, entry.at, int(c[choice]), choice, entry.content.get("why", ""))
    )
    return True


def _release(facts: Facts, entry: Entry) -> bool:
    found = False
    names, numbers = entry.content["subject"], entry.content["refs"]["subject"]
    for name, number in zip(names, numbers, strict=True):
        animal = facts.things.get(number)
        if isinstance(animal, Animal):
            found |= _release_fish(facts, animal, entry)
        else:
            system = facts.water_named(number, name)
            found |= system is not None and _release_water(facts, system, entry)
    return found


def _release_water(facts: Facts, system: System, entry: Entry) -> bool:
    running = system.quarantine
    if running is None:
        return False
    for check, reason in entry.content.get("pass", ()):
        running.passed.append((entry.entry, entry.at, check, reason))
    here = facts.occupants(system.vessels)
    for animal in here:
        animal.releases += ((entry.entry, entry.at, running.id),)
    running.released = entry.at
    for id_ in system.vessels:
        # An empty one was only closed: it is cleared by what disinfects it.
        if here and facts.vessel(id_).zone == "quarantine":
            facts.vessel(id_).zone = "cleared"
    return True


def _release_fish(facts: Facts, animal: Animal, entry: Entry) -> bool:
    running = unreleased(facts, animal, entry.at)
    if running is None:
        return False
    animal.releases += ((entry.entry, entry.at, running.id),)
    animal.free_until = entry.at + LEAVES_WITHIN
    system = facts.system_of(facts.vessel(animal.vessel))
    left = [a for a in facts.occupants(system.vessels) if unreleased(facts, a, entry.at)]
    return _release_water(facts, system, entry) if not left else True


def _marked(facts: Facts, entry: Entry) -> bool:
    facts.marked[entry.content["task"]] = (
        entry.entry,
        entry.at,
        entry.kind,
        entry.content.get("why", ""),
    )
    return True


STEPS = {
    "quarantine": _quarantine,
    "clock": _clock,
    "release": _release,
    "done": _marked,
    "skipped": _marked,
}
