"""One step of the fold per kind of entry.

A step takes the facts and one entry, changes the facts, and answers False where the entry
speaks of something that is not there (its own entry was voided).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from intake.flows.facts.steps import (
    apart,
    baths,
    directions,
    fillings,
    fish,
    gauging,
    logged,
    quarantine,
    room,
    shipments,
    water,
)

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts
    from intake.store.journal import Entry

STEPS: Mapping[str, Callable[[Facts, Entry], bool]] = {
    **room.STEPS,
    **directions.STEPS,
    **water.STEPS,
    **gauging.STEPS,
    **logged.STEPS,
    **fillings.STEPS,
    **apart.STEPS,
    **baths.STEPS,
    **shipments.STEPS,
    **fish.STEPS,
    **quarantine.STEPS,
}
