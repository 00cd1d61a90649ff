"""Folding vessels isolated from a shared water and rejoined to it, and waters that only touch."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from operator import attrgetter
from typing import TYPE_CHECKING, Any

from intake.flows.facts.happened import LinkFact, WaterEvent
from intake.flows.facts.joining import blended
from intake.flows.facts.steps.removing import removing
from intake.flows.facts.steps.water import OWN
from intake.flows.facts.things import System, Vessel
from intake.flows.facts.volumes import litres, waters
from intake.science.ledger import NONE_LEFT, Joined, Portion

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts
    from intake.store.journal import Entry

HISTORIES: tuple[tuple[str, Callable[[Any], Any]], ...] = (
    ("doses", attrgetter("at", "entry")),
    ("arrivals", attrgetter("at", "entry")),
    ("looks", attrgetter("at", "entry")),
    ("deaths", attrgetter("at", "entry")),
    ("slides", attrgetter("at", "entry")),
    ("contacts", attrgetter("at", "entry")),
    ("stops", attrgetter("at", "entry")),
    ("settled", lambda x: (x[1], x[0])),
    ("recorded", lambda x: (x[1], x[0])),
)
"""What a water has behind it, and what each list is in order of."""


def _isolate(facts: Facts, entry: Entry) -> bool:
    vessel = facts.things.get(entry.content["refs"]["vessel"])
    if not isinstance(vessel, Vessel):
        return False
    if entry.content.get("rejoin"):
        return _rejoin(facts, vessel, entry)
    home = facts.system_of(vessel)
    if vessel.left or not may_part(home):
        return False
    apart = _copy(home, vessel, entry)
    facts.systems[apart.id] = apart
    home.vessels.remove(vessel.id)
    vessel.system, vessel.left = apart.id, home.id
    vessel.inside = replace(vessel.inside, connected_l=None)
    for water in (home, apart):
        part = Portion(entry.at, *waters(facts, water))
        water.water.append(WaterEvent(entry.entry, part))
        removing(facts, water, entry)
    _stay(facts, vessel, entry)
    for task, mark in list(facts.marked.items()):
        if task.startswith(f"{home.name}/"):
            facts.marked.setdefault(apart.name + task[len(home.name) :], mark)
    return True


def may_part(home: System) -> bool:
    """Whether a vessel of this system shares its water with anything."""
    return len(home.vessels) > 1 or bool(home.connected)


def _copy(home: System, vessel: Vessel, entry: Entry) -> System:
    """The isolated water: up to now it is the same water with the same history."""
    name = vessel.name if vessel.name != home.name else f"{vessel.name} alone"
    apart = System(entry.entry, name, "system", entry.at, start=home.start, vessels=[vessel.id])
    for history, _ in HISTORIES:
        setattr(apart, history, list(getattr(home, history)))
    apart.water, apart.history = list(home.water), list(home.history)
    apart.readings, apart.came_with = dict(home.readings), set(home.came_with)
    apart.quarantines = [
        replace(q, system=apart.id, passed=list(q.passed)) for q in home.quarantines
    ]
    return apart


def _stay(facts: Facts, vessel: Vessel, entry: Entry) -> None:
    """The fish stay where they are, from now on in another water; they have not arrived anew."""
    for animal in facts.occupants([vessel.id]):
        last = animal.stays[-1]
        animal.stays[-1] = replace(last, until=entry.at)
        animal.stays.append(replace(last, system=vessel.system, since=entry.at))


def _rejoin(facts: Facts, vessel: Vessel, entry: Entry) -> bool:
    home = facts.systems.get(vessel.left)
    if home is None:
        return False
    apart = facts.system_of(vessel)
    here, there = waters(facts, home), litres(vessel)
    joined = Joined(entry.at, *there, level=NONE_LEFT)  # what it held is in its own ledger
    home.water.append(WaterEvent(entry.entry, joined, joined=apart.id))
    home.readings = blended(home.readings, here[0], apart.readings, there[0])
    _merge(home, apart)
    apart.until, apart.vessels, apart.into = entry.at, [], home.id
    home.vessels = sorted([*home.vessels, vessel.id])
    vessel.system, vessel.left = home.id, 0
    vessel.inside = replace(vessel.inside, connected_l=home.connected.get(vessel.id))
    removing(facts, home, entry)
    _stay(facts, vessel, entry)
    return True


def _merge(home: System, apart: System) -> None:
    """What happened in either water happened to both now; no content is counted twice."""
    known = {d.entry for d in home.doses}
    home.came_with |= {d.entry for d in apart.doses if d.entry not in known}
    for history, order in HISTORIES:
        mine = getattr(home, history)
        new = [x for x in getattr(apart, history) if x not in mine]
        setattr(home, history, sorted([*mine, *new], key=order))
    seen = {(r.entry, r.quantity, r.at) for r in home.history}
    own = [r for r in apart.history if r.quantity in OWN]
    home.history += [r for r in own if (r.entry, r.quantity, r.at) not in seen]
    home.history.sort(key=attrgetter("at", "entry"))
    running = apart.quarantine
    if running is not None and (home.quarantine is None or home.quarantine.id != running.id):
        # Fish that are not released make the whole water theirs.
        others = [q for q in home.quarantines if q.id != running.id]
        home.quarantines = [*others, replace(running, system=home.id)]


def _link(facts: Facts, entry: Entry) -> bool:
    first = facts.water_meant(entry.content, "a")
    second = facts.water_meant(entry.content, "b")
    if first is None or second is None:
        return False
    by, both = entry.content["by"], (first.id, second.id)
    if entry.content.get("ended"):
        for at, link in enumerate(facts.links):
            if link.until is None and link.by == by and set(link.systems) == set(both):
                facts.links[at] = replace(link, until=entry.at)
        return True
    facts.links.append(LinkFact(entry.entry, entry.at, by, both))
    return True


STEPS = {"isolate": _isolate, "link": _link}
