"""Folding what takes treatments out of a water: carbon and UV in any of its vessels."""

from __future__ import annotations

from typing import TYPE_CHECKING

from intake.flows.facts.happened import WaterEvent
from intake.flows.facts.things import System
from intake.science.ledger import Removing

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts
    from intake.store.journal import Entry

ON = {"carbon": "in", "uv": "on"}
"""The devices that remove, and the word for each at work."""


def removing(facts: Facts, system: System, entry: Entry) -> None:
    """Which devices work on a system's water from now on."""
    if not any(w.removers for w in system.water) and not any(
        facts.vessel(v).equipment.get(n) == word for v in system.vessels for n, word in ON.items()
    ):
        return  # nothing ever worked here
    vessels = [facts.vessel(v).equipment for v in system.vessels]
    working = frozenset(n for n, word in ON.items() if any(e.get(n) == word for e in vessels))
    event = Removing(entry.at, None, None)
    system.water.append(WaterEvent(entry.entry, event, removers=working))
