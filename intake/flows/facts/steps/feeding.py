"""Folding what was fed: the last days of each vessel are kept, to tell what a day's feed is."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from intake.flows.facts.happened import FeedFact
from intake.flows.facts.things import Vessel

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts
    from intake.store.journal import Entry

KEPT = timedelta(days=14)
"""How far back food is kept: longer than what a day's feed is worked out from."""


def feed(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    vessel = facts.things.get(c["refs"]["vessel"])
    if not isinstance(vessel, Vessel):
        return False
    facts.system_of(vessel).recorded.append((entry.entry, entry.at, "feed"))
    protein = float(c["protein"]["value"]) / 100.0 if "protein" in c else None
    given = FeedFact(
        entry.entry, entry.at, float(c["amount"]["value"]), protein, c.get("eaten", "")
    )
    since = entry.at - KEPT
    vessel.feeds = (*(f for f in vessel.feeds if f.at >= since), given)
    return True
