"""Water tests held against the targets of the youngest that lives in the water."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal

from intake.flows.desk import Book
from intake.flows.facts.things import ReadingFact, System
from intake.science.ammonia import nh3_n_mg_l
from intake.science.figures import beyond, figure
from intake.science.limits import allowed
from intake.science.quarantine import WaterJudged


def waters(book: Book, system: System, since: datetime) -> Iterator[WaterJudged]:
    """Every test of ammonia or nitrite against the targets of the youngest stage present."""
    by_entry: dict[int, dict[str, ReadingFact]] = {}
    known: dict[str, ReadingFact] = {}
    for r in system.history:
        known[r.quantity] = r
        if r.at >= since and r.quantity in ("tan", "no2", "ph"):
            by_entry.setdefault(r.entry, {}).update(known)
            by_entry[r.entry][r.quantity] = r
    stages = {a.stage for a in book.facts.occupants(system.vessels)} or {"adult"}
    for entry, read in by_entry.items():
        at = max(r.at for r in read.values() if r.entry == entry)
        judged, said = judge_water(book, read, stages)
        yield WaterJudged(at, entry, judged, said)


def nh3_high(read: dict[str, ReadingFact]) -> float | None:
    """NH3 [mg/L as N] at the harmful ends of TAN, pH and temperature, None if one is missing."""
    tan, ph, temp = read.get("tan"), read.get("ph"), read.get("temp")
    if tan is None or ph is None or temp is None:
        return None
    ends = [r.high if r.high is not None else r.value for r in (tan, ph, temp)]
    if None in ends:
        return None
    return nh3_n_mg_l(*(float(e) for e in ends if e is not None))


def judge_water(book: Book, read: dict[str, ReadingFact], stages: set[str]) -> tuple[str, str]:
    """ok, not or unknown, and what was off, against the strictest targets of these stages."""
    off, unsure = [], False
    nh3 = nh3_high(read)
    for quantity, value in (("nh3_n", nh3), ("no2", _top(read.get("no2")))):
        limits = [book.shelf.water.limit(s, quantity) for s in sorted(stages)]
        highs = [x.high for x in limits if x is not None and x.high is not None]
        if value is None or not highs:
            unsure = unsure or quantity == "nh3_n"
        elif not allowed(Decimal(repr(value)), None, min(highs)):
            off.append(f"{quantity} {beyond(value, min(highs))} over {figure(min(highs))}")
    if off:
        return "not", "; ".join(off)
    return ("unknown", "TAN, pH or temperature not read") if unsure else ("ok", "")


def _top(reading: ReadingFact | None) -> float | None:
    if reading is None:
        return None
    return reading.high if reading.high is not None else reading.value
