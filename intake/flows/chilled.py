"""Says at once, where a temperature is written down, that fish were chilled."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import timedelta
from typing import Any

from intake.flows.facts.things import Bag, System, Vessel
from intake.flows.forms.form import Filling
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


def warn_of_fall(f: Filling, read: Mapping[str, Any]) -> None:
    """Warns of a fall in a day that a reading tells of, where fish are in that water."""
    subject = f.thing("subject")
    system = f.book.facts.system_of(subject) if isinstance(subject, Vessel) else subject
    if not isinstance(system, System) or not f.book.facts.occupants(system.vessels):
        return
    own = [kept for name, kept in read.items() if name in (*SPOT, *SPAN)]
    ends = [end for kept in own for end in (kept["low"], kept["value"], kept["high"])]
    known = [end for end in ends if end is not None]
    if not known:
        return
    spot = not any(name in SPAN for name in read)
    vessel = subject.id if isinstance(subject, Vessel) else 0
    new = Temperature(f.when, 0, min(known), max(known), spot=spot, vessel=vessel)
    before = [t for t in temperatures(system, f.when - LOOK_BACK) if t.at_utc <= f.when]
    for fall in falls([*before, new], LIMITS.temp_drop_c, f.book.facts.time_zone):
        if fall.entry == 0:
            f.notes.warn("cold-shock", f"{fall.text}; {WATCHED}")


def warn_of_logged(notes: Notes, days: Iterable[LoggedDay]) -> None:
    """Warns of the furthest fall that a logger's file tells of."""
    worst = max(days, key=lambda d: d.fall_c)
    if compare(worst.fall_c, LIMITS.temp_drop_c) > 0:
        text = f"the water fell {figure(worst.fall_c)} C within a day up to {worst.day}"
        notes.warn("cold-shock", f"{text}; {WATCHED}")


def warn_of_cold(f: Filling, vessel: Vessel, bag: Bag) -> None:
    """Warns where fish go out of their bag into water too much colder."""
    system = f.book.facts.system_of(vessel)
    went = from_bag(system, bag, vessel.id, f.when, 0, f.get("name"))
    text = into_cold(went, LIMITS.temp_step_c, LIMITS.temp_drop_c)
    if text:
        f.notes.warn("cold-shock", f"{went.subject} {text}; {WATCHED}")
