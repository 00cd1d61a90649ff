"""Says at once, where a temperature is written down, that fish were chilled."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from typing import Any

from intake.flows.desk import Book
from intake.flows.facts.things import Bag, System, Thing, Vessel
from intake.flows.imports.logged import LoggedDay
from intake.flows.notes import Notes
from intake.flows.temperatures import SPAN, SPOT, from_bag, temperatures
from intake.science.acclimation_limits import AcclimationLimits
from intake.science.chills import WATCH_DAYS, falls, into_cold
from intake.science.figures import figure
from intake.science.limits import compare
from intake.science.quarantine import Temperature

WATCHED = f"watch them for {WATCH_DAYS} days: breathing, gills, appetite"
LOOK_BACK = timedelta(hours=48)
LIMITS = AcclimationLimits()
"""As shipped: a water test is written down at once, whatever state the protocol files are in. The
alert that comes after it takes the room's own."""


def warn_of_fall(
    book: Book, notes: Notes, subject: Thing, when: datetime, read: Mapping[str, Any]
) -> None:
    """Warns of a fall in a day that a reading tells of, where fish are in that water."""
    system = book.facts.system_of(subject) if isinstance(subject, Vessel) else subject
    if not isinstance(system, System) or not book.facts.occupants(system.vessels):
        return
    own = [kept for name, kept in read.items() if name in (*SPOT, *SPAN)]
    ends = [end for kept in own for end in (kept["low"], kept["value"], kept["high"])]
    known = [end for end in ends if end is not None]
    if not known:
        return
    spot = not any(name in SPAN for name in read)
    vessel = subject.id if isinstance(subject, Vessel) else 0
    new = Temperature(when, 0, min(known), max(known), spot=spot, vessel=vessel)
    before = [t for t in temperatures(system, when - LOOK_BACK) if t.at_utc <= when]
    for fall in falls([*before, new], LIMITS.temp_drop_c, book.facts.time_zone):
        if fall.entry == 0:
            notes.warn("cold-shock", f"{fall.text}; {WATCHED}")


def warn_of_logged(notes: Notes, days: Iterable[LoggedDay]) -> None:
    """Warns of the furthest fall that a logger's file tells of."""
    worst = max(days, key=lambda d: d.fall_c)
    if compare(worst.fall_c, LIMITS.temp_drop_c) > 0:
        text = f"the water fell {figure(worst.fall_c)} C within a day up to {worst.day}"
        notes.warn("cold-shock", f"{text}; {WATCHED}")


def warn_of_cold(
    book: Book, notes: Notes, vessel: Vessel, bag: Bag, when: datetime, name: str
) -> None:
    """Warns where fish go out of their bag into water too much colder."""
    system = book.facts.system_of(vessel)
    went = from_bag(system, bag, vessel.id, when, 0, name)
    text = into_cold(went, LIMITS.temp_step_c, LIMITS.temp_drop_c)
    if text:
        notes.warn("cold-shock", f"{went.subject} {text}; {WATCHED}")
