"""What the first start shows, and what is kept in the room beside its vessels."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class FirstStart:
    """Where the room would be made, and what is offered for its settings."""

    room: str
    named: bool  # that place was typed or set, so it may be a slip of the hand
    keeper: str
    time_zone: str
    demo: str
    demo_there: bool


@dataclass(frozen=True, slots=True)
class KeptKind:
    """One kind of thing a room keeps on its shelf, with what is there of it."""

    kind: str  # "tool" | "kit" | "product" | "person" | "keeper" | "tap"
    title: str
    there: str  # "kitchen scale 1 g, pocket scale 0.1 g", "none yet"
    items: tuple[str, ...] = ()  # the same, one by one
