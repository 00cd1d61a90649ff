"""Folding baths: who was in which, from when until when."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from intake.flows.facts.baths import Bath
from intake.flows.facts.things import Animal

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts
    from intake.store.journal import Entry


def _bath(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    animals = tuple(n for n in c["refs"]["animals"] if isinstance(facts.things.get(n), Animal))
    if not animals:
        return False
    facts.things[entry.entry] = Bath(
        entry.entry, f"{c['treatment']} bath", "bath", entry.at,
        until=datetime.fromisoformat(c["ended"]) if "ended" in c else None,
        treatment=c["treatment"], course=c["course"], animals=animals, who=c["who"],
        drug=c.get("drug", ""),
        ends=datetime.fromisoformat(c["ends_at"]), longest=datetime.fromisoformat(c["longest_at"]),
        stopped=c.get("stopped", ""), broke=tuple(c.get("broke", ())),
    )  # fmt: skip
    return True


STEPS = {"bath": _bath}
