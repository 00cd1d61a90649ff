"""Water too little to be true for the fish that live in it: a slip in a size shows there first."""

from __future__ import annotations

from intake.flows.facts.state import Facts
from intake.flows.facts.things import Animal
from intake.flows.notes import Notes
from intake.science.show import show

LEAST_L_PER_CM = 0.25
"""Water under which a fish of 1 cm is asked about [L/cm]: common practice.

No stocking rule: it lies far under any, so that what falls short is a mistyped size.
"""

UNMEASURED_CM = {"adult": 4.0, "juvenile": 2.0}
"""Length a fish that was never measured counts with by its stage [cm], small on purpose: common
practice. Eggs, hatchlings and fry are not asked about."""


def length_cm(stage: str, measured_cm: float | None) -> float:
    """What a fish counts with."""
    return measured_cm if measured_cm is not None else UNMEASURED_CM.get(stage, 0.0)


def ask_if_close(notes: Notes, volume_l: float, fish: list[tuple[int, float]]) -> None:
    """Asks, where so much water hardly holds fish of these counts and lengths [cm].

    No litres at all is a vessel whose water is not known.
    """
    needed_l = LEAST_L_PER_CM * sum(count * length for count, length in fish)
    if not 0 < volume_l < needed_l:
        return
    count = sum(number for number, _ in fish)
    longest = max(length for _, length in fish)
    notes.warn(
        "volume-doubtful",
        f"{show(volume_l, 'L')} holds {count} fish of up to {show(longest, 'cm')}? "
        "check the sizes and their units",
    )


def living_there(facts: Facts, vessel: int, but: int = 0) -> list[tuple[int, float]]:
    """Counts and lengths of the fish in a vessel; `but` leaves one out."""
    return [_one(animal) for animal in facts.occupants([vessel]) if animal.id != but]


def _one(animal: Animal) -> tuple[int, float]:
    return animal.count, length_cm(animal.stage, animal.length_cm)
