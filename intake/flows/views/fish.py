"""What Fish shows: who lives where and what each look saw, day by day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class FishRow:
    """One fish or group. `grades` has one character per day of `FishPage.days`.

    A digit is the worst grade of that day, "·" a look with no sign, "_" not looked yet today,
    " " not here or not looked.
    """

    key: str  # keyset key, opaque, sorts as the list sorts
    name: str
    kind: str  # "fish" | "group"
    count: int
    vessel: str
    detail: str  # "black moor, 86 g on 14 Nov, bag 2 of box 14"
    grades: str
    last: str  # "no sign", "clamped fins 1"
    care: bool
    stop: bool = False


@dataclass(frozen=True, slots=True)
class FishPage:
    """One page of the list: `before` rows come before the first, `total` in all."""

    rows: tuple[FishRow, ...]
    before: int
    total: int


@dataclass(frozen=True, slots=True)
class LookLine:
    """One line of a fish's history."""

    entry: int
    when: str  # "Mon 23 18:40"
    text: str
    quoted: str  # the keeper's own words, shown inert in quotes, or ""
    keeper: str
    corrected: bool = False


@dataclass(frozen=True, slots=True)
class FishDetail:
    """The fish under the cursor."""

    name: str
    detail: str
    signs: tuple[tuple[str, str], ...]  # (sign in words, one character per day)
    lines: tuple[LookLine, ...]
    because: str
    weights: tuple[tuple[str, str], ...] = ()  # (when, "86 g")


@dataclass(frozen=True, slots=True)
class FishView:
    """The head of the screen; rows come page by page."""

    vessel: str  # "" for all
    zone: str  # "quarantine day 12"
    occupants: str
    looked: str  # "looked 07:10 today", ""
    days: tuple[date, ...]
    vessels: Sequence[tuple[str, int]]  # (name, heads) to step through
    total: int
    because: str
    quarantined: tuple[str, ...] = ()  # vessels whose water is in quarantine
