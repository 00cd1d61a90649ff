"""Strengths as they stand on labels."""

from __future__ import annotations

from intake.science.amount import StatedStrength
from intake.science.problem import Problem
from intake.science.quantity import Quantity, read_quantity
from intake.science.treatment import Treatment


def strength_of(treatment: Treatment, text: str, option: str = "--strength") -> Quantity | Problem:
    """The strength typed from a label, read in the forms this treatment is sold in."""
    forms = tuple(dict.fromkeys(s.unit for s in treatment.strengths))
    states = {s.state for s in treatment.strengths}
    form = states.pop() if len(states) == 1 else None
    found = read_quantity(text, "strength", forms=forms, form=form)
    return found.placed(option) if isinstance(found, Problem) else found


def stated(strength: Quantity) -> StatedStrength:
    """A strength read from a label in the science's own shape."""
    assert strength.value is not None
    return StatedStrength(strength.value, strength.canonical)
