"""Folding what a logger measured: a low and a high for each local day."""

from __future__ import annotations

from typing import TYPE_CHECKING

from intake.flows.facts.things import ReadingFact, Vessel
from intake.flows.imports.logged import kept_day

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts
    from intake.store.journal import Entry


def _log(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    thing = facts.things.get(c["refs"]["subject"])
    vessel = thing if isinstance(thing, Vessel) and not c["whole_system"] else None
    system = facts.system_of(vessel) if vessel else facts.water_meant(c, "subject")
    if system is None:
        return False
    vessels = [vessel] if vessel else [facts.vessel(v) for v in system.vessels]
    days = [kept_day(kept) for kept in c["days"]]
    here = vessel.id if vessel else 0
    for d in days:
        fall = (d.fall_c, d.fall_from_utc, d.fall_to_utc)
        for name, value in (("temp_min", d.low_c), ("temp_max", d.high_c)):
            one = ReadingFact(
                name, value, value, value, "C", d.last_utc, entry.entry,
                since=d.first_utc, fall=fall, vessel=here,
            )  # fmt: skip
            system.history.append(one)
            if d is days[-1]:
                for v in vessels:
                    v.readings[name] = one
    temp = c["last_c"]
    last = ReadingFact("temp", temp, temp, temp, "C", entry.at, entry.entry, vessel=here)
    for v in vessels:
        v.readings["temp"] = last
    facts.logs[entry.entry] = (c["sha256"], c["columns"][-1], c["refs"]["subject"])
    return True


STEPS = {"log": _log}
