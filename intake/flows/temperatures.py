"""The temperatures of a water as they were read, handed to what counts days by them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

from intake.flows.desk import Book
from intake.flows.facts.happened import ArrivalFact
from intake.flows.facts.things import Animal, Bag, ReadingFact, System
from intake.science.quarantine import Fall, Placed, Temperature

SPOT = ("temp",)
SPAN = ("temp_min", "temp_max")
NEAR_BEFORE, NEAR_AFTER = timedelta(hours=24), timedelta(hours=2)
"""How long before or after fish go in a water's temperature still says what they went into.
Common practice."""


def temperatures(system: System, since: datetime) -> Iterator[Temperature]:
    """What was read of a water's temperature, in one vessel or all of it, from `since` on."""
    told: dict[tuple[int, datetime], list[ReadingFact]] = {}
    for r in system.history:
        if r.quantity in (*SPOT, *SPAN) and r.at >= since and r.value is not None:
            told.setdefault((r.entry, r.at), []).append(r)
    for (entry, at), read in told.items():
        one = read[0]
        fell = one.fall
        yield Temperature(
            at, entry, *_ends(read), spot=all(r.quantity in SPOT for r in read),
            since_utc=one.since, fall=_fall(*fell) if fell else None,
            vessel=one.vessel,
        )  # fmt: skip


def _fall(fall_c: float, since: datetime, until: datetime) -> Fall:
    return Fall(fall_c, (until - since).total_seconds() / 3600, until)


def _ends(read: Sequence[ReadingFact]) -> tuple[float, float]:
    lows = [r.value if r.low is None else r.low for r in read]
    highs = [r.value if r.high is None else r.high for r in read]
    return min(x or 0.0 for x in lows), max(x or 0.0 for x in highs)


def placed(book: Book, system: System, came: Iterable[ArrivalFact]) -> Iterator[Placed]:
    """The fish that came out of a bag into this water, with what bag and water were read at."""
    for a in came:
        animal = book.facts.things.get(a.animal)
        if not isinstance(animal, Animal) or a.entry != animal.id or not animal.box:
            continue
        bag = book.facts.box(animal.box).bags.get(animal.bag)
        if bag is not None:
            yield from_bag(system, bag, a.vessel, a.at, a.entry, animal.name)


def from_bag(system: System, bag: Bag, vessel: int, at: datetime, entry: int, name: str) -> Placed:
    """Fish that went out of a bag into a vessel at that time."""
    came = _temp(bag.content.get("read", {}))
    read = [c.what for c in bag.checkpoints if c.at <= at and "temp" in c.what]
    last = _temp(read[-1]) if read else came
    return Placed(at, entry, name, came, last, _water_at(system, vessel, at))


def _temp(read: Mapping[str, Any]) -> float | None:
    kept = read.get("temp")
    return None if kept is None else kept["value"]


def _water_at(system: System, vessel: int, at: datetime) -> float | None:
    """The water's temperature read last before fish went in, else soon after it [C]."""
    read = [
        r for r in system.history
        if r.quantity == "temp" and r.value is not None and r.vessel in (0, vessel)
    ]  # fmt: skip
    before = [r for r in read if at - NEAR_BEFORE <= r.at <= at]
    after = [r for r in read if at < r.at <= at + NEAR_AFTER]
    near = max(before, key=lambda r: r.at, default=None) or min(
        after, key=lambda r: r.at, default=None
    )
    return near.value if near else None
