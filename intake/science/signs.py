"""What a keeper can see on a fish, in fixed words, and what each grade asks for."""

from __future__ import annotations

from dataclasses import dataclass

from intake.science.course_parts import Source

CAUSES = ("WQ", "PA", "BA", "VI", "NI")
"""Cause groups in the order they are always printed: water quality, parasite, bacteria, virus,
not infectious (anatomy, handling, food)."""

URGENCIES = ("watch", "test-water", "isolate", "call-vet")
"""What a grade asks for, the least urgent first."""

SIGN_GROUPS = (
    "behaviour",
    "skin",
    "fins",
    "gills",
    "eyes",
    "abdomen",
    "droppings",
    "appetite",
)
"""The headings signs are listed under, in the order of a look from a distance to close by."""


@dataclass(frozen=True, slots=True)
class Sign:
    """Something seen, graded 1 to 3 against this fish's own picture on its first day.

    `grades` are the texts of grade 1, 2 and 3 (grade 0 is "not seen"); `urgency` holds what each
    of them asks for. `causes` never says what it is, only what it is consistent with.
    `look_like` are things of a healthy fancy goldfish that are mistaken for it.
    `slide_from` is the grade from which a slide is worth making (None: it shows nothing).
    `nervous` signs are loss of control; `grave` ones make any death with them a call to the vet.
    """

    id: str
    title: str
    group: str
    line: str
    grades: tuple[str, str, str]
    causes: tuple[str, ...]
    urgency: tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]
    look_like: tuple[str, ...]
    infectious: bool
    source: Source
    slide_from: int | None = None
    nervous: bool = False
    grave: bool = False

    def most_urgent(self, grade: int) -> str | None:
        """The most urgent thing this grade asks for; None for grade 0.

        Raises
        ------
        ValueError
            The grade is not 0, 1, 2 or 3.
        """
        if grade not in (0, 1, 2, 3):
            raise ValueError(f"a grade is 0, 1, 2 or 3, not {grade}")
        if grade == 0:
            return None
        return max(self.urgency[grade - 1], key=URGENCIES.index)
