"""Chlorine in new water: what takes it out, said wherever water is changed."""

from __future__ import annotations

from intake.flows.notes import Notes
from intake.science.dechlorination import thiosulfate_g
from intake.science.show import show

USUAL = "thiosulfate-pentahydrate"
"""The form told where nobody asked for one: the commoner, and the heavier of the two."""


def thiosulfate_for(chlorine_mg_l: float, changed_l: float | None) -> float | None:
    """Thiosulfate [g] for the new water; None where nobody said how much goes in."""
    return None if changed_l is None else thiosulfate_g(changed_l, chlorine_mg_l, USUAL)


def say_chlorine(notes: Notes, chlorine_mg_l: float, changed_l: float | None) -> None:
    """Warns of the chlorine in new water, with what takes it out."""
    amount = thiosulfate_for(chlorine_mg_l, changed_l)
    told = "say how much is changed for the amount of thiosulfate"
    if amount is not None:
        told = (
            f"{show(amount, 'g', digits=3)} of sodium thiosulfate, pentahydrate, in the "
            f"{show(changed_l or 0.0, 'L')} of it; test for total chlorine before it goes in"
        )
    notes.warn("chlorine", f"{show(chlorine_mg_l, 'mg/L')} in the new water: {told}")
