"""What to do when something is wrong, as a rescue file says it."""

from __future__ import annotations

from dataclasses import dataclass

from intake.science.course_parts import Source

WATERS = ("unread", "plain", "raises-ammonia")
"""What is known of the water a step is for: not read; read; read, and raising its pH, as a change
for tap water does, turns its ammonium into ammonia."""

SUMS = ("water", "chlorine", "oxygen", "use", "air-off", "tap-change")
"""The sums an amount may name."""

LINES = ("crash-plan",)
"""The lines worked out for this water that a step may name."""

FIGURES = ("vessel", "third", "most", "kh-day")
"""What braces in a text may name: the vessel, a third of its water, the most that is changed at
once, and the sodium bicarbonate that raises its KH by as much as is raised in a day."""


@dataclass(frozen=True, slots=True)
class RescueStep:
    """One thing to do: `text`, or the lines worked out under the name `lines`.

    `waters` are those of `WATERS` it is for, none of them: for all.
    """

    text: str
    lines: str
    waters: tuple[str, ...]
    source: Source

    def is_for(self, water: str) -> bool:
        """Whether it is to be done in this water."""
        return not self.waters or water in self.waters


@dataclass(frozen=True, slots=True)
class RescueRecord:
    """What to write down afterwards: the command, and the keys for it on the screens."""

    command: str
    keys: str


@dataclass(frozen=True, slots=True)
class Rescue:
    """One rescue: what to do in order, sums to show beside it, what to write down after."""

    id: str
    title: str
    version: str
    do: tuple[RescueStep, ...]
    amounts: tuple[str, ...]
    then_record: tuple[RescueRecord, ...]
    caution: str
    path: str = ""
    sha256: str = ""
