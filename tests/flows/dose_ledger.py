"""A keeper's own book of a room, in fractions: what every water holds, worked out from nothing.

It shares no line with the program: events are kept in a list and replayed in the order of time,
so a correction, a void or a late entry is a change of the list. Every vessel is a box of 5 L to
the centimetre, recorded at 40 cm.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from fractions import Fraction
from typing import Any

L_PER_CM = Fraction(5)
MARK_CM = Fraction(40)


@dataclass
class Happened:
    """One event; `entry` orders what happened at the same moment."""

    at: datetime
    entry: int
    kind: str
    what: dict[str, Any]


@dataclass
class Water:
    """One water system at one moment: litres of each vessel and the mass in all of it.

    `least_g` is the mass where every fall of a line that nobody explained was a leak.
    """

    litres: dict[str, Fraction]
    grams: Fraction = Fraction(0)
    least_g: Fraction = Fraction(0)

    @property
    def all_l(self) -> Fraction:
        return sum(self.litres.values(), Fraction(0))

    @property
    def level(self) -> Fraction:
        return self.grams / self.all_l

    @property
    def least(self) -> Fraction:
        return self.least_g / self.all_l


@dataclass
class OwnBook:
    """Everything that happened to one water system and one substance that does not decay."""

    vessels: tuple[str, ...]
    events: list[Happened] = field(default_factory=list)

    def add(self, at: datetime, entry: int, kind: str, **what: Any) -> None:
        self.events.append(Happened(at, entry, kind, what))

    def void(self, entry: int) -> None:
        self.events = [e for e in self.events if e.entry != entry]

    def at(self, moment: datetime) -> Water:
        water = Water({v: L_PER_CM * MARK_CM for v in self.vessels})
        for event in sorted(self.events, key=lambda e: (e.at, e.entry)):
            if event.at <= moment:
                HANDS[event.kind](water, event.what)
        return water


def _level(w: Water, e: dict[str, Any]) -> None:
    before = w.all_l
    w.litres[e["vessel"]] = L_PER_CM * e["cm"]
    if w.all_l < before and e["by"] in ("", "leak"):
        w.least_g *= w.all_l / before
    if w.all_l < before and e["by"] == "leak":
        w.grams *= w.all_l / before


def _top_up(w: Water, e: dict[str, Any]) -> None:
    """At the mark it had evaporated unseen; under it the line rises."""
    if e["rain"] or w.litres[e["vessel"]] < L_PER_CM * MARK_CM - Fraction(1, 20):
        w.litres[e["vessel"]] += e["litres"]


def _swap(w: Water, out_l: Fraction, in_l: Fraction, salt: Fraction) -> None:
    w.grams = w.grams * (w.all_l - out_l) / w.all_l + in_l * salt
    w.least_g = w.least_g * (w.all_l - out_l) / w.all_l + in_l * salt


def _percent(w: Water, e: dict[str, Any]) -> None:
    here = w.litres[e["vessel"]] if e["vessel"] else w.all_l
    _swap(w, here * e["percent"] / 100, here * e["percent"] / 100, e["salt"])


def _volume(w: Water, e: dict[str, Any]) -> None:
    _swap(w, e["litres"], e["litres"], e["salt"])


def _out_in(w: Water, e: dict[str, Any]) -> None:
    _swap(w, e["out"], e["in"], e["salt"])
    more = e["in"] - e["out"]
    if e["vessel"]:
        w.litres[e["vessel"]] += more
        return
    total = w.all_l
    w.litres = {name: held + more * held / total for name, held in w.litres.items()}


def _to_depth(w: Water, e: dict[str, Any]) -> None:
    before = w.litres[e["vessel"]]
    out_l = before * e["percent"] / 100
    in_l = max(Fraction(0), L_PER_CM * e["cm"] - before + out_l)
    _swap(w, out_l, in_l, e["salt"])
    w.litres[e["vessel"]] = L_PER_CM * e["cm"]


def _dose(w: Water, e: dict[str, Any]) -> None:
    w.grams += e["grams"]
    w.least_g += e["grams"]


HANDS = {
    "level": _level,
    "top-up": _top_up,
    "percent": _percent,
    "volume": _volume,
    "out-in": _out_in,
    "to-depth": _to_depth,
    "dose": _dose,
}


def left_after(hours: float, half_life_h: float) -> float:
    """The share that is left by first-order decay."""
    return float(2 ** (-hours / half_life_h)) if half_life_h else 1.0
