"""What is left of every treatment in a system's water, folded from its ledger."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal

from intake.flows.desk import Book
from intake.flows.facts.happened import DoseFact, WaterEvent
from intake.flows.facts.things import ReadingFact, System
from intake.flows.facts.volumes import water_of
from intake.flows.notes import Notes
from intake.science.amount import in_course_unit
from intake.science.figures import figure
from intake.science.ledger import (
    NONE_LEFT,
    Changed,
    Dosed,
    Event,
    Filled,
    Flushed,
    Found,
    Joined,
    Ledger,
    Levelled,
    Removing,
    Residue,
    ToppedUp,
)
from intake.science.residue import residue
from intake.science.treatment import Treatment

REMOVED_FASTEST_H = 6.0
"""Half-life at the fastest that carbon or UV is taken to clear a medicine [h]: common practice.
At the slowest it clears nothing, so the range stays open that way."""
NOTHING_LEFT = 1e-9
"""Levels under this are not told: sixty full changes ago."""


@dataclass(frozen=True, slots=True)
class Substance:
    """One treatment in one water: its level and ends in `unit`."""

    treatment: str
    unit: str
    level: Residue


def ledger_of(
    book: Book, system: System, name: str, *, unit: str = "", read: bool = False
) -> Ledger:
    """The ledger of one treatment in one system, from its first filling, in `unit` or its own.

    With `read`, salt that a meter found or that the tap brings counts beside what was dosed.
    """
    treatment = book.shelf.treatments.get(name)
    doses = [d for d in system.doses if d.treatment == name]
    unit = unit or _unit(treatment, doses)
    doses = [d for d in doses if d.entry not in system.came_with]
    brings = brings_of(book, unit) if read and name == SALT else NONE_LEFT
    events: list[tuple[datetime, int, Event]] = [
        (w.event.at_utc, w.entry, _with_new(e, brings) if w.tap and not w.joined else e)
        for w in (_rejoined(book, w, name, unit, read=read) for w in system.water)
        for e in [_for_treatment(w, treatment, name, unit)]
        if e is not None
    ]
    events += [(d.at, d.entry, _dosed(d, unit)) for d in doses]
    start = system.start or Filled(system.since, 0.0, 0.0, 0.0)
    if read and name == SALT:
        start = replace(start, level=brings)
        events += [
            (r.at, r.entry, Found(r.at, _level(r, unit)))
            for r in system.history
            if r.quantity == SALT
        ]
    events.sort(key=lambda x: (x[0], x[1]))
    low = treatment.half_life_low_h if treatment else None
    high = treatment.half_life_high_h if treatment else None
    return Ledger(
        unit, start, tuple(e for _, _, e in events),
        float(low) if low is not None else None, float(high) if high is not None else None,
    )  # fmt: skip


def _rejoined(book: Book, w: WaterEvent, name: str, unit: str, *, read: bool) -> WaterEvent:
    """The water of a vessel that was rejoined with what it held of the treatment then."""
    if not w.joined or not isinstance(w.event, Joined):
        return w
    ledger = ledger_of(book, book.facts.systems[w.joined], name, unit=unit, read=read)
    return replace(w, event=replace(w.event, level=residue(ledger, w.event.at_utc)))


SALT = "salt"
"""The treatment that a meter reads and new water may hold."""
BRINE_G_L = 359.0
"""What a reading without an upper end may mean: all that dissolves [g/L], from memory."""


def _unit(treatment: Treatment | None, doses: list[DoseFact]) -> str:
    """The concentration it is counted in: that of its doses in water, else of its courses."""
    units = [d.target_unit for d in doses]
    units += [c.unit for c in treatment.courses] if treatment else []
    return next((u for u in units if u.endswith("/L")), units[0] if units else "")


def _times(unit: str, wanted: str) -> float:
    """What a number in `unit` is multiplied by to be in the `wanted` one."""
    return float(in_course_unit(Decimal(1), unit, wanted) or 1)


def _dosed(d: DoseFact, unit: str) -> Dosed:
    times = _times(d.target_unit, unit)
    return Dosed(d.at, d.added * times, d.added_low * times, d.added_high * times)


def brings_of(book: Book, unit: str) -> Residue:
    """The salt of the tap's own water; none where it was never read, and perhaps none anyway."""
    tap = book.facts.tap.get(SALT)
    return NONE_LEFT if tap is None else replace(_level(tap, unit), low=0.0)


def _level(r: ReadingFact, unit: str) -> Residue:
    times = _times("g/L", unit)
    high = BRINE_G_L if r.high is None else r.high
    value = high if r.value is None else r.value
    return Residue(value * times, (r.low or 0.0) * times, high * times)


def _with_new(event: Event, brings: Residue) -> Event:
    refilled = Changed | ToppedUp | Flushed | Levelled
    if isinstance(event, refilled) and event.new == NONE_LEFT:
        return replace(event, new=brings)
    if isinstance(event, Joined) and event.level == NONE_LEFT:
        return replace(event, level=brings)
    return event


def _for_treatment(
    w: WaterEvent, treatment: Treatment | None, name: str, unit: str
) -> Event | None:
    if isinstance(w.event, Removing):
        removed = treatment is not None and w.removers & set(treatment.removed_by)
        return replace(w.event, half_life_low_h=REMOVED_FASTEST_H) if removed else w.event
    if name == SALT and w.salt_g_l and isinstance(w.event, Changed | ToppedUp | Flushed):
        salt = w.salt_g_l * _times("g/L", unit)
        return replace(w.event, new=Residue(salt, salt, salt))
    return w.event


def level_of(book: Book, system: System, name: str, at: datetime) -> Residue:
    """What is left of a treatment in a system's water at a time."""
    if system.start is None or at < system.start.at_utc:
        return NONE_LEFT
    return residue(ledger_of(book, system, name), at)


def level_met(book: Book, system: System, name: str, at: datetime, unit: str = "") -> Residue:
    """What a dose has to count: what is left of those before it, and salt that was read."""
    if system.start is None or at < system.start.at_utc:
        return NONE_LEFT
    return residue(ledger_of(book, system, name, unit=unit, read=True), at)


def substances(book: Book, system: System, at: datetime) -> list[Substance]:
    """Everything dosed into a system of which something may be left."""
    salted = [SALT] if any(w.salt_g_l for w in system.water) else []
    names = dict.fromkeys([*(d.treatment for d in system.doses), *salted])
    found = []
    for name in names:
        if (
            all(d.target_unit == "mg/kg/d" for d in system.doses if d.treatment == name)
            and name != SALT
        ):
            continue
        level = level_of(book, system, name, at)
        if level.high > NOTHING_LEFT:
            found.append(Substance(name, ledger_of(book, system, name).unit, level))
    return found


def after_change(
    book: Book, system: System, at: datetime, events: list[WaterEvent], notes: Notes
) -> list[dict[str, object]]:
    """What a change, as events, leaves of each treatment in a system's water; notes tell it."""
    changed = replace(system, water=[*system.water, *events])
    left: list[dict[str, object]] = []
    for s in substances(book, changed, at):
        before = level_of(book, system, s.treatment, at).now
        treatment = book.shelf.treatments.get(s.treatment)
        way = treatment.after_change if treatment else "ask"
        left.append(
            {
                "treatment": s.treatment,
                "before": before,
                "after": s.level.now,
                "unit": s.unit,
                "after_low": s.level.low,
                "after_high": s.level.high,
                "after_change": way,
            }
        )
        notes.because.append(_said(s.treatment, before, s.level.now, s.unit, way))
    return left


def _said(name: str, before: float, after: float, unit: str, way: str) -> str:
    said = f"{name} goes from {figure(before, 3)} to {figure(after, 3)} {unit}"
    if way == "replace":
        return f"{said}; intake dose {name} --vessel works out what the new water needs"
    if way == "next-dose-only":
        return f"{said}; nothing is replaced, the next dose of the course counts it"
    return f"{said}; the protocol says: {way}"


def answer(book: Book, system: System, only: str | None = None) -> dict[str, object]:
    """What a water holds now, as keys; of one treatment where it is named."""
    vessels = [book.facts.vessel(v) for v in system.vessels]
    volume, low, high = water_of(system, vessels)
    return {
        "system": system.name,
        "volume_l": volume,
        "volume_l_low": low,
        "volume_l_high": high,
        "substances": [
            {
                "treatment": s.treatment,
                "now": s.level.now,
                "unit": s.unit,
                "low": s.level.low,
                "high": s.level.high,
            }
            for s in substances(book, system, book.now)
            if only in (None, s.treatment)
        ],
    }
