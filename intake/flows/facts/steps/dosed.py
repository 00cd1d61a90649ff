"""Folding what goes into water: doses, what was given anyway, the salt of a gauging."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from intake.flows.facts.happened import DoseFact
from intake.flows.facts.things import System
from intake.science.kinds import unit_of

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts
    from intake.store.journal import Entry

SALT, SUPPORT, G_L = "salt", "support", "g/L"


def dose(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    system = facts.water_meant(c, "system")
    if system is None:
        return False
    added = c["added"]
    system.doses.append(
        DoseFact(
            entry.entry,
            entry.at,
            entry.kind,
            c["treatment"],
            c["course"],
            float(c["amount"]["value"]),
            _base(c["amount"]["unit"]),
            added["value"],
            added["low"],
            added["high"],
            c.get("target_value"),
            c["target_unit"],
            tuple(c.get("broke", ())),
            c.get("drug", ""),
            c["refs"].get("direction", 0),
            c.get("reason") or "",
        )
    )
    return True


def _base(unit: str) -> str:
    """What an amount's value is kept in, g or mL, whatever unit it was typed in."""
    known = unit_of("amount", unit)
    return known.canonical if known else unit


def add_salt(
    system: System,
    entry: Entry,
    grams: dict[str, float],
    volume_l: float,
    broke: tuple[dict[str, Any], ...] = (),
) -> None:
    """Salt weighed into a water to gauge it is in that water."""
    amount, half = grams["value"], grams["half"]
    ends = (max(0.0, amount - half), amount + half)
    raised = amount / volume_l if volume_l else None
    system.doses.append(
        DoseFact(
            entry.entry, entry.at, "given", SALT, SUPPORT, amount, "g", amount, *ends, raised,
            G_L, broke,
        )
    )  # fmt: skip
