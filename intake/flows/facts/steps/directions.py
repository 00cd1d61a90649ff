"""Folding what a vet directed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from intake.clock import from_utc_text
from intake.flows.facts.happened import DirectionFact

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts
    from intake.store.journal import Entry


def _direction(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    subject = c.get("refs", {}).get("subject", 0)
    kind = c.get("subject_kind", "")
    if subject and subject not in (facts.systems if kind == "system" else facts.things):
        return False
    facts.directions.append(
        DirectionFact(
            entry.entry,
            entry.at,
            from_utc_text(c["until"]),
            c["vet"],
            c["words"],
            c["through"],
            c["treatment"],
            c["course"],
            c["target_value"],
            c["target_unit"],
            c.get("every_h"),
            subject,
            kind,
            c.get("subject", ""),
        )
    )
    return True


STEPS = {"direction": _direction}
