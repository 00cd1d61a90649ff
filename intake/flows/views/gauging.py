"""What a guided gauging stands at."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class GaugingState:
    """What waits at one vessel: a reading after salt, a filling, ways that may be settled.

    `waiting` says which salt waits for its reading, "" where none does; `warm` that its meter
    needs the water's temperature. `count` and `filled_text` are of a filling under way.
    """

    waiting: str = ""
    warm: bool = False
    filling: bool = False
    count: int = 0
    filled_text: str = ""
    depth_text: str = ""
    ways: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class SaltAsked:
    """How much salt to weigh in: the amount as it is typed, and why so much."""

    salt: str
    because: str
