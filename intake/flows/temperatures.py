"""The temperatures of a water as they were read, handed to what counts days by them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from intake.flows.facts.things import ReadingFact, System
from intake.science.quarantine import Temperature

SPOT = ("temp",)
SPAN = ("temp_min", "temp_max")


def temperatures(system: System, since: datetime) -> Iterator[Temperature]:
    """What was read of a water's temperature, in one vessel or all of it, from `since` on."""
    told: dict[tuple[int, datetime], list[ReadingFact]] = {}
    for r in system.history:
        if r.quantity in (*SPOT, *SPAN) and r.at >= since and r.value is not None:
            told.setdefault((r.entry, r.at), []).append(r)
    for (entry, at), read in told.items():
        spot = all(r.quantity in SPOT for r in read)
        yield Temperature(at, entry, *_ends(read), spot=spot, since_utc=read[0].since)


def _ends(read: Sequence[ReadingFact]) -> tuple[float, float]:
    lows = [r.value if r.low is None else r.low for r in read]
    highs = [r.value if r.high is None else r.high for r in read]
    return min(x or 0.0 for x in lows), max(x or 0.0 for x in highs)
