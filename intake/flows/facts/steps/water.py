"""Folding what happens to water: vessels, levels, tests, changes, doses."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from intake.flows.facts.baths import Bath
from intake.flows.facts.happened import ContactFact, SpongeFact, Stopped, WaterEvent
from intake.flows.facts.steps.changes import change, level, regauge, size, top_up
from intake.flows.facts.steps.dosed import add_salt, dose
from intake.flows.facts.steps.dragged import met_anew
from intake.flows.facts.steps.feeding import feed
from intake.flows.facts.steps.removing import removing
from intake.flows.facts.things import ReadingFact, System, Vessel
from intake.flows.facts.volumes import bare, litres, mark_of
from intake.science.ledger import NONE_LEFT, Filled, Joined
from intake.science.spread import Size
from intake.science.volume import Inside, Lists

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts
    from intake.store.journal import Entry

OWN = frozenset({"temp", "temp_min", "temp_max", "oxygen"})
"""What is the vessel's own even where its water is shared; the rest is dissolved."""


def _sizes(kept: Any) -> tuple[Size, ...]:
    return tuple(size(s) for s in kept)


def read_lists(content: Any) -> Lists:
    """The sizes that are not one length each."""
    kept = content.get("lists", {})
    lists: Lists = {}
    if "depths" in kept:
        lists["depths"] = _sizes(kept["depths"])
    if "points" in kept:
        lists["points"] = [(size(a), size(b)) for a, b in kept["points"]]
    if "slices" in kept:
        lists["slices"] = [(size(a), size(b), size(c)) for a, b, c in kept["slices"]]
    if "levels" in kept:
        lists["levels"] = [(size(a), size(b)) for a, b in kept["levels"]]
    if "sides" in kept:
        lists["sides"] = int(kept["sides"])
    if "salt_readings" in kept:
        lists["salt_readings"] = kept["salt_readings"]
    if "height_cm" in content:
        lists["height"] = size(content["height_cm"])
    return lists


def read_inside(content: Any) -> Inside:
    """What else is in or joined to the water."""
    return Inside(**{name: size(kept) for name, kept in content.get("inside", {}).items()})


def _named_after(facts: Facts, vessel: int) -> System | None:
    """The water that has the name of this vessel, which may be called otherwise by now."""
    found = facts.things.get(vessel)
    own = isinstance(found, Vessel) and "system" not in found.content
    system = facts.systems.get(vessel) if own else None
    return system if system is not None and system.present else None


def _vessel(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    sizes = {name: size(kept) for name, kept in c["sizes"].items()}
    lists = read_lists(c)
    mark = mark_of(sizes, lists)
    vessel = Vessel(
        entry.entry, c["name"], "vessel", entry.at, zone=c.get("zone", "resident"),
        shape=c["shape"], sizes=sizes, lists=lists, inside=read_inside(c),
        height=size(c["height_cm"]) if "height_cm" in c else None, mark=mark, depth=mark,
        depth_at=entry.at, content=dict(c),
    )  # fmt: skip
    facts.things[entry.entry] = vessel
    named = c.get("system")
    system = _named_after(facts, c.get("with_vessel", 0))
    if system is None:
        system = next((s for s in facts.waters() if named and s.name == named), None)
    if system is None:
        system = System(entry.entry, named or c["name"], "system", entry.at)
        system.start = Filled(entry.at, *litres(vessel))
        facts.systems[entry.entry] = system
    else:
        level = system.start.level if system.start else NONE_LEFT
        joined = Joined(entry.at, *litres(bare(vessel)), level=level)
        system.water.append(WaterEvent(entry.entry, joined))
    system.vessels.append(entry.entry)
    vessel.system = system.id
    if vessel.inside.connected_l is not None:
        system.connected[vessel.id] = vessel.inside.connected_l
        if len(system.vessels) > 1:
            regauge(facts, system, entry)
    if vessel.shape == "by-salt":
        add_salt(system, entry, c["sizes"]["salt"], litres(vessel)[0])
        vessel.salt_counted = (entry.entry,)
    return True


def _reading(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    read = [
        ReadingFact(
            name,
            kept["value"],
            kept["low"],
            kept["high"],
            kept["unit"],
            entry.at,
            entry.entry,
            kept.get("kit", 0),
        )
        for name, kept in c["read"].items()
    ]
    if c["subject"] == "tap":
        facts.tap.update({r.quantity: r for r in read})
        return True
    subject = c["refs"]["subject"]
    thing = facts.things.get(subject)
    vessel = thing if isinstance(thing, Vessel) and not c.get("whole_system") else None
    system = facts.system_of(vessel) if vessel else facts.water_meant(c, "subject")
    if system is None:
        return False
    if vessel is not None:
        read = [replace(one, vessel=vessel.id) for one in read]
    for one in read:
        if one.quantity in OWN:
            for id_ in [vessel.id] if vessel else system.vessels:
                facts.vessel(id_).readings[one.quantity] = one
        else:
            system.readings[one.quantity] = one
        system.history.append(one)
    return True


def _stop(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    bath = facts.things.get(c["refs"]["system"])
    if isinstance(bath, Bath):
        bath.lift(entry.at)
        return True
    system = facts.water_meant(c, "system")
    if system is None:
        return False
    system.stops.append(
        Stopped(entry.entry, entry.at, c.get("treatment"), bool(c.get("wash_out")))
    )
    return True


def _equipment(facts: Facts, entry: Entry) -> bool:
    vessel = facts.things.get(entry.content["refs"]["vessel"])
    if not isinstance(vessel, Vessel):
        return False
    for name in ("air", "carbon", "uv", "heater", "sponge"):
        if name in entry.content:
            kept = entry.content[name]
            vessel.equipment[name] = kept if isinstance(kept, str) else kept["text"]
    state = entry.content.get("sponge")
    if state == "squeezed":
        vessel.squeezed_at = entry.at
    elif state is not None:
        origin = entry.content["refs"].get("from", 0)
        vessel.sponge, vessel.squeezed_at = SpongeFact(entry.entry, entry.at, state, origin), None
    system = facts.system_of(vessel)
    if "carbon" in entry.content or "uv" in entry.content:
        removing(facts, system, entry)
    return True


def _contact(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    to, origin = facts.water_meant(c, "to"), facts.water_meant(c, "from")
    if to is None:
        return False
    unreleased = origin.id if origin is not None and origin.quarantine is not None else 0
    to.contacts.append(ContactFact(entry.entry, entry.at, c["by"], c["from"], unreleased))
    met_anew(facts, to)
    return True


STEPS = {
    "vessel": _vessel,
    "level": level,
    "top-up": top_up,
    "reading": _reading,
    "change": change,
    "dose": dose,
    "given": dose,
    "stop": _stop,
    "equipment": _equipment,
    "contact": _contact,
    "feed": feed,
}
