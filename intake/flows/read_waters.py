"""Waters as they were read, typed or written down, as the sums of a water change take them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from intake.flows.desk import Book
from intake.flows.facts.things import ReadingFact, System, Vessel
from intake.flows.notes import Notes
from intake.science.blend import Water, aired
from intake.science.change_advice import ReadWater
from intake.science.change_limits import ChangeLimits
from intake.science.dechlorination import tan_freed_n_mg_l
from intake.science.figures import time_text
from intake.science.quantity import Quantity
from intake.science.span import Span

OPEN_ENDS = {"tan": (0.0, 50.0), "kh": (0.0, 10.0), "ph": (5.0, 9.0), "temp": (0.0, 35.0)}
"""How far an open band is taken: TAN [mg/L as N], KH [meq/L], pH, C. Common practice."""

OLD = timedelta(hours=24)
"""A reading older than this is told with its age. Common practice."""

NEEDED = ("ph", "kh", "temp")
"""What has to be read of a water before anything can be said of changing it."""

Readings = Mapping[str, ReadingFact]


def _span(low: float | None, value: float, high: float | None, what: str) -> Span:
    bottom, top = OPEN_ENDS[what]
    return Span(
        min(bottom, value) if low is None else low,
        value,
        max(top, value) if high is None else high,
    )


def ends(q: Quantity | None, what: str) -> Span | None:
    """A typed quantity with its ends; an open one taken to where it ends in practice."""
    if q is None or q.value is None:
        return None
    low = None if q.low is None else float(q.low)
    return _span(low, float(q.value), None if q.high is None else float(q.high), what)


def read_ends(found: Readings, what: str) -> Span | None:
    """The same of a reading that was written down."""
    reading = found.get(what)
    if reading is None or reading.value is None:
        return None
    return _span(reading.low, reading.value, reading.high, what)


def readings_of(book: Book, system: System, vessel: Vessel | None) -> Readings:
    """The newest readings of a water; temperature of the vessel, or the warmest of the system."""
    found = dict(system.readings)
    vessels = [vessel] if vessel else [book.facts.vessel(v) for v in system.vessels]
    temps = [v.readings["temp"] for v in vessels if "temp" in v.readings]
    if temps:
        found["temp"] = max(temps, key=lambda r: r.value or 0.0)
    return found


def water_read(found: Readings, at: datetime, notes: Notes) -> ReadWater | None:
    """A water by its readings up to a moment; None where one is missing that has to be there."""
    then = {name: r for name, r in found.items() if r.at <= at}
    ph, kh, temp = (read_ends(then, name) for name in NEEDED)
    if ph is None or kh is None or temp is None:
        return None
    tan = read_ends(then, "tan")
    for name in (*NEEDED, "tan"):
        if name in then and at - then[name].at > OLD:
            age = time_text((at - then[name].at).total_seconds() / 3600)
            notes.assume(f"{name} as read {age} before")
    if tan is None:
        notes.assume("total ammonia not tested: taken as none in the vessel now")
    return ReadWater(ph, kh, temp, tan, _salt(then))


def _salt(found: Readings) -> float:
    salt = found.get("salt")
    return 0.0 if salt is None else salt.value or 0.0


@dataclass(frozen=True, slots=True)
class NewWater:
    """What was said of the new water itself; the rest is the tap's as it was last tested.

    With a KH of its own it is another water than the tap's, without the tap's ammonia.
    """

    temp_c: Span | None = None
    salt_g_l: float | None = None
    ph: Span | None = None
    kh_meq_l: Span | None = None
    tan_n_mg_l: Span | None = None
    dechlorinated: bool = False


def new_water(book: Book, water: ReadWater, notes: Notes, said: NewWater) -> ReadWater:
    """The water that goes in; where nobody tested the tap's pH and KH, as in the vessel."""
    tap = book.facts.tap
    temp = said.temp_c or read_ends(tap, "temp")
    if temp is None:
        notes.assume("new water: as warm as the vessel")
        temp = water.temp_c
    salt = _salt(tap) if said.salt_g_l is None else said.salt_g_l
    if said.kh_meq_l is not None:
        own_ph = said.ph or _aired(said.kh_meq_l, temp)
        return ReadWater(own_ph, said.kh_meq_l, temp, said.tan_n_mg_l, salt, other=True)
    ph, kh = said.ph or read_ends(tap, "ph"), read_ends(tap, "kh")
    if ph is None or kh is None:
        notes.assume("new water: pH and KH as in the vessel, as nobody tested the tap's")
        ph = kh = None
    tan = said.tan_n_mg_l or _tap_tan(book, notes)
    pretended = ph is None
    return ReadWater(ph or water.ph, kh or water.kh_meq_l, temp, tan, salt, pretended)


def _aired(kh_meq_l: Span, temp: Span) -> Span:
    """The pH of a water of that KH in balance with open air."""
    return kh_meq_l.map(lambda kh: aired(Water(temp.nominal, 7.0, kh, kh)).ph)


def _tap_tan(book: Book, notes: Notes) -> Span | None:
    """The tap's ammonia, with what its chloramine leaves when it is broken."""
    tan, bound = read_ends(book.facts.tap, "tan"), chlorine_of(book)[1]
    if not bound:
        return tan
    more = tan_freed_n_mg_l(bound)
    notes.assume("new water: with the ammonia its chloramine leaves")
    return (tan or Span(0.0, 0.0, 0.0)).map(lambda n: n + more)


def chlorine_of(book: Book) -> tuple[float, float]:
    """Free and combined chlorine of the tap [mg/L], at the ends that harm."""

    def most(name: str) -> float:
        reading = book.facts.tap.get(name)
        if reading is None:
            return 0.0
        return reading.high if reading.high is not None else (reading.value or 0.0)

    return most("chlorine"), most("combined")


def limits_for(book: Book, system: System) -> ChangeLimits:
    """What a change of this water is judged with: NH3 as the youngest that lives in it stands."""
    limits = book.shelf.water.change()
    stages = {a.stage for a in book.facts.occupants(system.vessels)}
    found = (book.shelf.water.limit(s, "nh3_n") for s in stages)
    highs = [float(x.high) for x in found if x is not None and x.high is not None]
    return replace(limits, nh3_n_mg_l=min([limits.nh3_n_mg_l, *highs]))
