"""Oxygen in a vessel of the room: what it holds, what its fish use, what a treatment takes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta

from intake.flows.desk import Book
from intake.flows.dosed_water import STAGE_OF_ZONE
from intake.flows.facts.things import ReadingFact, Vessel
from intake.flows.facts.volumes import share_of
from intake.flows.notes import Notes
from intake.flows.residues import substances
from intake.science.amount import in_course_unit
from intake.science.figures import figure, time_text
from intake.science.fish_size import mass_of
from intake.science.limits import allowed
from intake.science.oxygen import SALINITY_RANGE_G_KG, TEMP_RANGE_C, saturation_mg_l
from intake.science.oxygen_use import (
    FULL_SHARE_LOW,
    Fish,
    Store,
    outside_measured,
    salt_times,
    used_mg_h,
)
from intake.science.show import show_range
from intake.science.span import Span

FRESH = timedelta(hours=24)
"""A reading of oxygen or temperature older than this no longer says what is there now. Common
practice."""

SINCE_READ_C = 3.0
"""How far a water may have moved since its temperature was read, days ago [C]. Common practice."""

TEMP_NOT_READ_C = Span(18.0, 23.0, 28.0)
"""The water of a room where nobody read it [C]. Common practice."""

OVERFULL = 1.2
"""How far over saturation an oxygen reading without an upper end is taken. Common practice."""


@dataclass(frozen=True, slots=True)
class Takes:
    """A treatment in the water that takes oxygen, and how much at most [mg/L]."""

    treatment: str
    high: float
    unit: str
    oxygen_mg_l: float
    source: str


@dataclass(frozen=True, slots=True)
class OxygenHere:
    """What is known of a vessel's oxygen, each with its ends.

    `measured` says whether `oxygen_mg_l` was read lately; else it is taken to be near saturation.
    """

    volume_l: Span
    temp_c: Span
    salt_g_l: float
    pressure_atm: float
    saturation_mg_l: Span
    oxygen_mg_l: Span
    measured: bool
    fish: tuple[Fish, ...]
    takes: tuple[Takes, ...]
    temp_read: bool = True

    @property
    def use_mg_h(self) -> Span:
        """Oxygen used [mg/h]: at rest in the coolest it may be, to all active in the warmest."""
        ends = (self.temp_c.low, self.temp_c.nominal, self.temp_c.high)
        cool, middle, warm = (used_mg_h(self.fish, t, self.salt_g_l) for t in ends)
        return Span(cool.low, middle.nominal, warm.high)

    @property
    def mass_g(self) -> Span:
        """All fish [g]."""
        ends = ("low", "nominal", "high")
        sums = (sum(f.count * getattr(f.mass_g, end) for f in self.fish) for end in ends)
        return Span(*sums)

    @property
    def taken_mg_l(self) -> float:
        """What treatments in the water may take of it, at most [mg/L]."""
        return sum(t.oxygen_mg_l for t in self.takes)

    def store(self, *, treated: bool = True) -> Store:
        """What is there, and how fast it goes."""
        taken = self.taken_mg_l if treated else 0.0
        return Store(self.oxygen_mg_l, self.volume_l, self.use_mg_h, taken)

    def warmed_by(self, rise_c: float) -> OxygenHere:
        """The same vessel so much warmer [C], with the same share of what it then holds."""
        temp = self.temp_c.map(lambda t: min(t + rise_c, TEMP_RANGE_C[1]))
        holds = holds_mg_l(temp, self.salt_g_l, self.pressure_atm)
        share = holds.nominal / self.saturation_mg_l.nominal
        oxygen = self.oxygen_mg_l.map(lambda o: o * share)
        return replace(self, temp_c=temp, saturation_mg_l=holds, oxygen_mg_l=oxygen)


def holds_mg_l(temp_c: Span, salt_g_l: float, pressure_atm: float) -> Span:
    """What water holds in balance with air [mg/L], least where it is warmest.

    Raises
    ------
    NotInRange
        As `saturation_mg_l`.
    """
    warm, middle, cool = (
        saturation_mg_l(t, salt_g_l, pressure_atm)
        for t in (temp_c.high, temp_c.nominal, temp_c.low)
    )
    return Span(warm, middle, cool)


def oxygen_here(book: Book, vessel: Vessel, notes: Notes, pressure_atm: float = 1.0) -> OxygenHere:
    """What is known of a vessel's oxygen now; what was not read is said and taken as a range.

    Raises
    ------
    NotInRange
        For readings the equations do not hold for.
    """
    system = book.facts.system_of(vessel)
    volume, low, high = share_of(system, [book.facts.vessel(v) for v in system.vessels], vessel)
    temp = _temp(book, vessel, notes)
    salt = system.readings.get("salt")
    salt_g_l = min(salt.value or 0.0, SALINITY_RANGE_G_KG[1]) if salt else 0.0
    if salt_g_l:
        more = figure(100.0 * (salt_times(salt_g_l) - 1.0), 2)
        notes.because.append(f"{figure(salt_g_l, 3)} g/L of salt: fish use {more} % more oxygen")
    holds = holds_mg_l(temp, salt_g_l, pressure_atm)
    oxygen, measured = _oxygen(book, vessel, holds, notes)
    return OxygenHere(
        Span(low, volume, high),
        temp,
        salt_g_l,
        pressure_atm,
        holds,
        oxygen,
        measured,
        _fish(book, vessel, notes),
        tuple(_takes(book, vessel)),
        temp_read="temp" in vessel.readings,
    )


def _age(book: Book, reading: ReadingFact) -> str:
    hours = (book.now - reading.at).total_seconds() / 3600
    return "just now" if hours < 1 / 60 else f"{time_text(hours)} ago"


def _temp(book: Book, vessel: Vessel, notes: Notes) -> Span:
    read = vessel.readings.get("temp")
    if read is None or read.value is None:
        ends = show_range(TEMP_NOT_READ_C.low, TEMP_NOT_READ_C.high, "C")
        notes.assume(f"temperature not read: taken as {ends}")
        return TEMP_NOT_READ_C
    low = TEMP_RANGE_C[0] if read.low is None else read.low
    high = TEMP_NOT_READ_C.high if read.high is None else read.high
    found = Span(min(low, read.value), read.value, max(high, read.value))
    told = f"temperature {figure(read.value, 3)} C, read {_age(book, read)}"
    if allowed((book.now - read.at) / FRESH, None, 1.0):
        notes.because.append(told)
    else:
        notes.assume(f"{told}: up to {figure(SINCE_READ_C)} C cooler or warmer by now")
        found = _drifted(found)
    if any(outside_measured(t) for t in (found.low, found.high)):
        notes.assume("what fish use was measured from 15 to 30 C; carried on outside")
    return found


def _drifted(temp_c: Span) -> Span:
    """A temperature that was read some days ago [C]."""
    low, high = temp_c.low - SINCE_READ_C, temp_c.high + SINCE_READ_C
    return Span(max(TEMP_RANGE_C[0], low), temp_c.nominal, min(TEMP_RANGE_C[1], high))


def _oxygen(book: Book, vessel: Vessel, holds: Span, notes: Notes) -> tuple[Span, bool]:
    assumed = Span(FULL_SHARE_LOW * holds.low, holds.nominal, holds.high)
    if vessel.equipment.get("air") == "off":
        notes.assume("its air was written down as off: oxygen that was not read may be gone")
        assumed = replace(assumed, low=0.0)
    read = vessel.readings.get("oxygen")
    if read is None or read.value is None:
        notes.assume(
            f"oxygen not read: taken as at saturation, {figure(FULL_SHARE_LOW * 100)} % of it "
            "at the least"
        )
        return assumed, False
    high = max(OVERFULL * holds.high, read.value) if read.high is None else read.high
    found = Span(min(read.low or 0.0, read.value), read.value, max(high, read.value))
    if allowed((book.now - read.at) / FRESH, None, 1.0):
        notes.because.append(f"oxygen {figure(read.value, 3)} mg/L, read {_age(book, read)}")
        return found, True
    notes.assume(
        f"oxygen {figure(read.value, 3)} mg/L was read {_age(book, read)}: it counts at the "
        "careful end only, else taken as at saturation"
    )
    return replace(assumed, low=min(assumed.low, found.low)), False


def _fish(book: Book, vessel: Vessel, notes: Notes) -> tuple[Fish, ...]:
    animals = book.facts.occupants([vessel.id])
    if not animals:
        brood = ", brood neither" if vessel.zone in STAGE_OF_ZONE else ""
        notes.assume(f"no fish written down in {vessel.name}: no use of oxygen counted{brood}")
    else:
        notes.assume(
            "what fish use: measured on young goldfish at rest, twice as much when active, and "
            "up to half as much again by filter and mulm"
        )
    unweighed = [a for a in animals if a.mass_g is None]
    by_length = sum(a.count for a in unweighed if a.length_cm is not None)
    by_stage = sum(a.count for a in unweighed if a.length_cm is None)
    if by_length:
        notes.assume(f"{by_length} not weighed: by length, from memory")
    if by_stage:
        spans = {a.stage: mass_of(a.stage) for a in unweighed if a.length_cm is None}
        told = ", ".join(f"{s} {show_range(m.low, m.high, 'g')}" for s, m in spans.items())
        notes.assume(f"{by_stage} not weighed: by stage, {told} each")
    return tuple(Fish(a.count, mass_of(a.stage, a.mass_g, a.length_cm)) for a in animals)


def _takes(book: Book, vessel: Vessel) -> list[Takes]:
    """What each treatment in this water takes, where its protocol says so."""
    found = []
    for s in substances(book, book.facts.system_of(vessel), book.now):
        treatment = book.shelf.treatments.get(s.treatment)
        stated = treatment.oxygen_taken if treatment else None
        if stated is None:
            continue
        each = in_course_unit(stated.each, stated.unit, s.unit)
        if each:
            taken = s.level.high / float(each) * float(stated.takes_mg_l)
            found.append(Takes(s.treatment, s.level.high, s.unit, taken, stated.source.text))
    return found
