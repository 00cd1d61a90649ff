"""What is left of one treatment in one water system, as a range, now and ahead."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from datetime import datetime

from intake.science.ledger import (
    Changed,
    Dosed,
    Evaporated,
    Event,
    Filled,
    Flushed,
    Found,
    Joined,
    Ledger,
    Levelled,
    Portion,
    Regauged,
    Removing,
    Residue,
    ToppedUp,
)

VOLUMES_TRIED = 33
"""Volumes between the smallest and the largest likely one at which a range is looked for.

A residue is not monotone in the volume: (D/V) exp(-Qt/V) is highest at V = Qt, and
(D/V)(1 - L/V) at V = 2 L, so both ends alone can miss the top. Common practice.
"""
REFINED_TIMES = 40
"""Golden sections round the best of them: 0.618^40 of two grid steps. Common practice."""
DRIEST_SHARE = 0.01
"""Evaporation never takes the water under this share of itself. Common practice."""

_GOLDEN = (math.sqrt(5) - 1) / 2
_LOW, _LIKELY, _HIGH = "low", "now", "high"


def residue(ledger: Ledger, at_utc: datetime) -> Residue:
    """What the water holds at `at_utc`, in the ledger's unit; zeros before its start.

    Parameters
    ----------
    ledger
        The fill, the events and the half-life of one substance in one water system.
    at_utc
        Any time, ahead as well: events after it do not count, decay and removal go on.

    Notes
    -----
    First-order decay and full mixing. The low end takes the fastest decay, the smallest doses
    and the volume that leaves least, the high end the opposite; the volume's doubt is one and
    the same at every moment. Two half changes leave 25 %, a volume flushed through 36.8 %.

    Source: Progressive Fish-Culturist 47(1):69-70 (1985) for batch and continuous change.
    """
    return ahead(ledger, (at_utc,))[0]


def ahead(ledger: Ledger, times_utc: Sequence[datetime]) -> tuple[Residue, ...]:
    """`residue` at each of `times_utc`."""
    events = _in_order(ledger)
    return tuple(_range(ledger, events, at_utc) for at_utc in times_utc)


def _in_order(ledger: Ledger) -> tuple[Event, ...]:
    after = (event for event in ledger.events if event.at_utc >= ledger.start.at_utc)
    return tuple(sorted(after, key=lambda event: event.at_utc))


def _range(ledger: Ledger, events: tuple[Event, ...], at_utc: datetime) -> Residue:
    if at_utc < ledger.start.at_utc:
        return Residue(0.0, 0.0, 0.0)
    past = tuple(event for event in events if event.at_utc <= at_utc)

    def level(end: str, lean: float) -> float:
        return _level(ledger, past, at_utc, end, lean)

    now = level(_LIKELY, 0.0)
    if not any(_doubtful(part) for part in (ledger.start, *past)):
        return Residue(now, level(_LOW, 0.0), level(_HIGH, 0.0))
    low = -_highest(lambda lean: -level(_LOW, lean))
    return Residue(now, min(low, now), max(_highest(lambda lean: level(_HIGH, lean)), now))


def _doubtful(part: Filled | Event) -> bool:
    volumes = Filled | Regauged | Levelled | Joined | Portion
    return isinstance(part, volumes) and part.low_l != part.high_l


def _highest(f: Callable[[float], float]) -> float:
    """The highest of `f` over -1..1: the best of a grid, refined between its neighbours."""
    step = 2 / (VOLUMES_TRIED - 1)
    leans = [-1 + n * step for n in range(VOLUMES_TRIED)]
    heights = [f(lean) for lean in leans]
    best = max(range(VOLUMES_TRIED), key=heights.__getitem__)
    left, right = leans[max(best - 1, 0)], leans[min(best + 1, VOLUMES_TRIED - 1)]
    top = heights[best]
    for _ in range(REFINED_TIMES):
        inner, outer = right - _GOLDEN * (right - left), left + _GOLDEN * (right - left)
        at_inner, at_outer = f(inner), f(outer)
        top = max(top, at_inner, at_outer)
        left, right = (left, outer) if at_inner > at_outer else (inner, right)
    return top


def _leaning(volume_l: float, low_l: float, high_l: float, lean: float) -> float:
    """The volume at `lean`: -1 its low end, 0 the likely one, 1 its high end."""
    return volume_l + lean * (high_l - volume_l if lean > 0 else volume_l - low_l)


def _level(
    ledger: Ledger, past: tuple[Event, ...], at_utc: datetime, end: str, lean: float
) -> float:
    start = ledger.start
    volume_l = _leaning(start.volume_l, start.low_l, start.high_l, lean)
    held = getattr(start.level, end) * volume_l
    own_per_h = _rate_per_h(ledger.half_life_low_h, ledger.half_life_high_h, end)
    removal_per_h = 0.0
    clock = start.at_utc
    for event in past:
        held *= math.exp(-(own_per_h + removal_per_h) * _hours(clock, event.at_utc))
        clock = event.at_utc
        if isinstance(event, Removing):
            removal_per_h = _rate_per_h(event.half_life_low_h, event.half_life_high_h, end)
        else:
            held, volume_l = _after(event, held, volume_l, end, lean)
    held *= math.exp(-(own_per_h + removal_per_h) * _hours(clock, at_utc))
    return held / volume_l if volume_l > 0 else 0.0


def _hours(start: datetime, end: datetime) -> float:
    return (end - start).total_seconds() / 3600


def _rate_per_h(low_h: float | None, high_h: float | None, end: str) -> float:
    """Decay per hour: fastest for the low end, slowest for the high, the middle by ratio."""
    if end == _LOW:
        return 0.0 if low_h is None else math.log(2) / low_h
    if low_h is None or high_h is None:
        return 0.0
    return math.log(2) / (high_h if end == _HIGH else math.sqrt(low_h * high_h))


def _after(
    event: Event, held: float, volume_l: float, end: str, lean: float
) -> tuple[float, float]:
    """What is held and the volume, just after `event`."""
    match event:
        case Found():
            found = getattr(event.level, end) * volume_l
            return (min if end == _LOW else max)(held, found), volume_l
        case Dosed():
            amount = {_LOW: event.low, _LIKELY: event.amount, _HIGH: event.high}[end]
            return held + amount, volume_l
        case Changed():
            return _changed(event, held, volume_l, getattr(event.new, end))
        case Flushed() if event.surely or end != _HIGH:
            left = math.exp(-event.through_l / volume_l) if volume_l > 0 else 0.0
            new = getattr(event.new, end)
            return held * left + new * volume_l * (1 - left), volume_l
        case Evaporated():
            return held, max(volume_l - event.volume_l, volume_l * DRIEST_SHARE)
        case ToppedUp():
            new = getattr(event.new, end)
            return held + event.volume_l * new, volume_l + event.volume_l
        case Regauged():
            return held, _leaning(event.volume_l, event.low_l, event.high_l, lean)
        case Levelled():
            now_l = _leaning(event.volume_l, event.low_l, event.high_l, lean)
            return _levelled(event, held, volume_l, now_l, end), now_l
        case Joined():
            other_l = _leaning(event.volume_l, event.low_l, event.high_l, lean)
            return held + other_l * getattr(event.level, end), volume_l + other_l
        case Portion():
            part_l = _leaning(event.volume_l, event.low_l, event.high_l, lean)
            return (held / volume_l * part_l if volume_l > 0 else 0.0), part_l
        case Removing() | Flushed():
            return held, volume_l


def _levelled(event: Levelled, held: float, volume_l: float, now_l: float, end: str) -> float:
    """What is held at the line that was read."""
    if now_l >= volume_l:
        new: float = getattr(event.new, end)
        return held + (now_l - volume_l) * new
    gone = event.gone == "all" or (event.gone == "perhaps" and end == _LOW)
    return held * now_l / volume_l if gone else held


def _changed(event: Changed, held: float, volume_l: float, new: float) -> tuple[float, float]:
    if event.share is not None:
        return held * (1 - event.share) + event.share * volume_l * new, volume_l
    out_l = min(event.out_l, volume_l)
    # In less water than is likely, no more of it can be changed for new than there is.
    in_l = out_l if event.in_l == event.out_l else event.in_l
    left = 1 - out_l / volume_l if volume_l > 0 else 0.0
    return held * left + in_l * new, volume_l - out_l + in_l
