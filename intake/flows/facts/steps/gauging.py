"""Folding what gauges a vessel: gaugings, salt steps, and the way that was settled on."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from intake.flows.facts.steps.changes import regauge, size
from intake.flows.facts.steps.dosed import SALT, add_salt, dose
from intake.flows.facts.things import Gauging, SaltStep, Settled, System, Vessel
from intake.flows.facts.ways import known_ways, same_ways

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts
    from intake.store.journal import Entry

SAME_SALT = 0.005
"""Two amounts of salt this near to each other are one and the same [1]; common practice."""
SAME_SALT_DAYS = 7
"""Salt that went in at most so long before a gauging may be the salt of it [d]."""
STEP_NAMES = {"salt": "salt", "before": "before", "temp": "before_temp", "factor": "factor"}
"""What each option of a salt step is called among the sizes of a gauging by salt."""


def gauge(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    vessel = facts.things.get(c["refs"]["vessel"])
    if not isinstance(vessel, Vessel):
        return False
    gauged = Gauging(
        entry.entry, entry.at, c["way"], {n: size(kept) for n, kept in c["sizes"].items()},
        c["volume_l"], c["volume_l_low"], c["volume_l_high"], vessel.depth,
        vessel.off_l, vessel.inside.connected_l,
    )  # fmt: skip
    # The newest gauging of each way counts, and opens again what was settled.
    vessel.gauged = (*(g for g in vessel.gauged if g.way != gauged.way), gauged)
    vessel.settled = None
    if c["way"] == "by-salt":
        _salt_of(facts, vessel, entry)
    regauge(facts, facts.system_of(vessel), entry)
    return True


def _salt_of(facts: Facts, vessel: Vessel, entry: Entry) -> None:
    """Counts the salt of a gauging once: as what went in before it, else by itself."""
    system, c = facts.system_of(vessel), entry.content
    grams = c["sizes"]["salt"]
    known = c.get("step") or salt_known(system, vessel, grams["value"], entry.at)
    if known:
        vessel.salt_counted = (*vessel.salt_counted, known)
        vessel.salt_steps = tuple(
            replace(s, read_by=entry.entry) if s.entry == known else s for s in vessel.salt_steps
        )
        return
    add_salt(system, entry, grams, c["volume_l"], tuple(c.get("broke", ())))
    vessel.salt_counted = (*vessel.salt_counted, entry.entry)


def salt_known(system: System, vessel: Vessel, grams: float, at: datetime) -> int:
    """The entry that already counts so much salt [g] in this water of late, 0 where none does."""
    since = at - timedelta(days=SAME_SALT_DAYS)
    found = [
        d.entry
        for d in system.doses
        if d.treatment == SALT
        and d.entry not in vessel.salt_counted
        and since <= d.at <= at
        and abs(d.amount - grams) <= SAME_SALT * grams
    ]
    return found[-1] if found else 0


def salt_step(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    vessel = facts.things.get(c["refs"]["vessel"])
    if not isinstance(vessel, Vessel) or not dose(facts, entry):
        return False
    typed = {to: str(c[name]) for name, to in STEP_NAMES.items() if name in c}
    vessel.salt_steps = (*vessel.salt_steps, SaltStep(entry.entry, entry.at, typed, c.get("kit")))
    return True


def settle(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    vessel = facts.things.get(c["refs"]["vessel"])
    if not isinstance(vessel, Vessel):
        return False
    # Sizes corrected since, or a gauging written late, are not what was settled on.
    if same_ways(known_ways(vessel), c["ways"]):
        vessel.settled = Settled(entry.entry, entry.at, c["way"], c.get("why", ""), entry.keeper)
        regauge(facts, facts.system_of(vessel), entry)
    return True


STEPS = {"gauge": gauge, "salt-step": salt_step, "settle": settle}
