"""Folding fish and groups: where they are, what was seen of them, what became of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from intake.flows.facts.happened import ArrivalFact, DeathFact, LookFact, SlideFact
from intake.flows.facts.steps.dragged import drag_in, met_anew, unreleased, went_along
from intake.flows.facts.things import Animal, Box, Stay, System, Vessel

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts
    from intake.store.journal import Entry


def _put(
    facts: Facts, animal: Animal, vessel: Vessel, entry: Entry, source: str, *, test: bool = False
) -> None:
    system = facts.system_of(vessel)
    before = facts.system_of(facts.vessel(animal.vessel)) if animal.vessel else None
    held = before if unreleased(facts, animal, entry.at) is not None else None
    if before is not system:
        # Fish that are not released themselves are no residents, whatever they were called.
        test = test and held is None
        along = went_along(held, system, entry.at)
        drag_in(facts, held, vessel, entry)
        system.arrivals.append(
            ArrivalFact(
                entry.entry, entry.at, animal.id, animal.count, source, vessel.id, test,
                held.id if held else 0, along,
            )
        )  # fmt: skip
        if not (test or along):
            met_anew(facts, system)
        animal.free_until = None
    _end_stay(animal, entry.at)
    animal.stays.append(Stay(vessel.id, system.id, entry.at, None, entry.entry))


def _end_stay(animal: Animal, at: datetime) -> None:
    if animal.stays and animal.stays[-1].until is None:
        animal.stays[-1] = replace(animal.stays[-1], until=at)


def _new_animal(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    vessel = facts.things.get(c["refs"]["into"])
    if not isinstance(vessel, Vessel):
        return False
    mass, length = c.get("mass"), c.get("length")
    animal = Animal(
        entry.entry, c["name"], entry.kind, entry.at, count=int(c.get("count", 1)),
        variety=c.get("variety", ""), stage=c["stage"], sex=c.get("sex", ""),
        marks=c.get("marks", ""), box=c["refs"].get("box", 0), bag=int(c.get("bag", 0)),
        mass_g=float(mass["value"]) if mass else None,
        length_cm=float(length["value"]) if length else None, source=c.get("source", ""),
        measured_at=entry.at if mass or length else None,
    )  # fmt: skip
    facts.things[entry.entry] = animal
    box = facts.things.get(animal.box)
    if isinstance(box, Box) and animal.bag in box.bags:
        box.bags[animal.bag].settled.append(entry.entry)
    _put(facts, animal, vessel, entry, animal.source)
    return True


def _subject(facts: Facts, entry: Entry, name: str = "subject") -> Animal | None:
    found = facts.things.get(entry.content["refs"][name])
    return found if isinstance(found, Animal) else None


def _measure(facts: Facts, entry: Entry) -> bool:
    animal = _subject(facts, entry)
    if animal is None:
        return False
    c = entry.content
    if "mass" in c:
        animal.mass_g = float(c["mass"]["value"])
    if "length" in c:
        animal.length_cm = float(c["length"]["value"])
    if "stage" in c:
        animal.stage = c["stage"]
    if "mass" in c or "length" in c:
        animal.measured_at = entry.at
        _asked_for(facts, animal, entry, "weigh")
    return True


def _asked_for(facts: Facts, animal: Animal, entry: Entry, kind: str) -> None:
    system = _system_of(facts, animal)
    if system is not None:
        system.recorded.append((entry.entry, entry.at, kind))


def _move(facts: Facts, entry: Entry) -> bool:
    animal = _subject(facts, entry)
    vessel = facts.things.get(entry.content["refs"]["to"])
    if animal is None or not isinstance(vessel, Vessel):
        return False
    c = entry.content
    came_from = facts.vessel(animal.vessel).name if animal.vessel else ""
    test = c.get("as") == "mixing-test"
    count = int(c.get("count", animal.count))
    if count < animal.count:
        animal.count -= count
        part = replace(
            animal, id=entry.entry, name=c["new_name"], since=entry.at, count=count,
            stays=list(animal.stays), photos=[], came_of=animal.id,
        )  # fmt: skip
        facts.things[entry.entry] = part
        animal = part
    _put(facts, animal, vessel, entry, came_from, test=test)
    return True


def _fewer(animal: Animal, count: int, at: datetime) -> None:
    animal.count -= count
    if animal.count <= 0:
        animal.count = 0
        animal.until = at
        _end_stay(animal, at)


def _leave(facts: Facts, entry: Entry) -> bool:
    animal = _subject(facts, entry)
    if animal is None:
        return False
    _fewer(animal, int(entry.content.get("count", animal.count)), entry.at)
    return True


def _system_of(facts: Facts, animal: Animal) -> System | None:
    return facts.systems.get(animal.stays[-1].system) if animal.stays else None


def _death(facts: Facts, entry: Entry) -> bool:
    animal = _subject(facts, entry)
    if animal is None:
        return False
    system = _system_of(facts, animal)
    count = int(entry.content.get("count", 1))
    if system is not None:
        before = sum(a.count for a in facts.occupants(system.vessels))
        how = entry.content.get("how", "found")
        system.deaths.append(
            DeathFact(entry.entry, entry.at, animal.id, count, before, how, animal.stage)
        )
    _fewer(animal, count, entry.at)
    return True


def _look(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    thing = facts.things.get(c["refs"]["subject"])
    if isinstance(thing, Vessel):
        animals = facts.occupants([thing.id])
        system: System | None = facts.system_of(thing)
    elif isinstance(thing, Animal):
        animals, system = [thing], _system_of(facts, thing)
    else:
        return False
    if system is None:
        return False
    signs = tuple((sign, grade) for sign, grade in c.get("sign", ()))
    look = LookFact(
        entry.entry, entry.at, tuple(a.id for a in animals), signs, int(c.get("affected", 1)),
        c.get("appetite", ""), int(c.get("count", sum(a.count for a in animals))),
        c.get("note", ""), entry.keeper, isinstance(thing, Vessel),
    )  # fmt: skip
    system.looks.append(look)
    for animal in animals:
        animal.last_look = look
    return True


def _photo(facts: Facts, entry: Entry) -> bool:
    animal = _subject(facts, entry)
    if animal is None:
        return False
    animal.photos.append((entry.entry, entry.at, entry.content["path"]))
    _asked_for(facts, animal, entry, "photo")
    return True


def _slide(facts: Facts, entry: Entry) -> bool:
    animal = _subject(facts, entry)
    system = _system_of(facts, animal) if animal else None
    if animal is None or system is None:
        return False
    found = tuple((what, n) for what, n in entry.content.get("found", ()))
    site, fish = entry.content.get("from", ""), int(entry.content.get("fish", 1))
    system.slides.append(SlideFact(entry.entry, entry.at, animal.id, found, site, fish))
    if any(n > 0 for _, n in found):
        met_anew(facts, system)
    return True


STEPS = {
    "fish": _new_animal,
    "group": _new_animal,
    "measure": _measure,
    "move": _move,
    "leave": _leave,
    "death": _death,
    "look": _look,
    "photo": _photo,
    "slide": _slide,
}
