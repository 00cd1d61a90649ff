"""What a screen asks for and shows of a bath in a bucket."""

from __future__ import annotations

from dataclasses import dataclass

from intake.flows.views.parts import Care


@dataclass(frozen=True, slots=True)
class BathCourse:
    """One course that is a bath: how long it lasts and which readings of the bucket it needs."""

    course: str
    words: str
    readings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class BathChoices:
    """What there is to choose for a bath of fish of one water."""

    treatment: str
    title: str
    courses: tuple[BathCourse, ...]
    fish: tuple[tuple[str, str], ...]  # as typed, in words
    asks_strength: bool
    strength_unit: str


@dataclass(frozen=True, slots=True)
class BathAsk:
    """A bath as it was asked for, as typed; empty text means what the course says."""

    treatment: str
    course: str
    fish: str
    volume: str
    lasts: str = ""
    strength: str = ""
    readings: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class BathView:
    """One bath worked out, to be confirmed: `amount` as it is typed, and in words."""

    title: str
    course: str
    who: str
    amount: str
    spoken: str
    tool: str
    water: str
    comes_to: str
    lasts: str
    ends: str
    cares: tuple[Care, ...]
    said: tuple[str, ...]  # while they are in it, the first thing first
    because: str
