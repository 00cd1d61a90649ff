"""What screens show of the shelf and of a vet's direction."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class BottleChoice:
    """One bottle or packet of a treatment; `past` says why it is past, "" where it is good."""

    product: str  # NAME#ENTRY
    words: str  # "Formalin, 37 % w/w, batch F12, good to 2026-09-01"
    past: str = ""


@dataclass(frozen=True, slots=True)
class DirectionRead:
    """A direction read back before it is stored: its target digit by digit, and what follows."""

    read_back: str  # "5 0 mg/kg/d: five, zero"
    said: tuple[str, ...]
    cares: tuple[str, ...]
