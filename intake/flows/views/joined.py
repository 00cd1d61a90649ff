"""What isolating, letting in again and linking show before anything is recorded."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Apart:
    """What isolating a vessel, or letting it in again, would do; nothing is recorded yet."""

    vessel: str
    rejoin: bool
    told: tuple[str, ...]
    drags: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LinkChoices:
    """The waters a vessel's water may touch, and the links there are, as (a, b, by, words)."""

    waters: tuple[tuple[str, str], ...]
    open: tuple[tuple[str, str, str, str], ...]
    by: tuple[str, ...] = ("air", "splash", "tools")
