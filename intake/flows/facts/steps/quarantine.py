"""Folding quarantines, what was settled about them, and tasks that were done or skipped."""

from __future__ import annotations

from typing import TYPE_CHECKING

from intake.flows.facts.things import Quarantine

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
        )
    )
    for id_ in system.vessels:
        if facts.vessel(id_).zone in ("", "resident", "cleared"):
            facts.vessel(id_).zone = "quarantine"
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
    system = facts.water_meant(entry.content, "system")
    if system is None or system.quarantine is None:
        return False
    running = system.quarantine
    for check, reason in entry.content.get("pass", ()):
        running.passed.append((entry.entry, entry.at, check, reason))
    running.released = entry.at
    for id_ in system.vessels:
        if facts.vessel(id_).zone == "quarantine":
            facts.vessel(id_).zone = "cleared"
    return True


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
