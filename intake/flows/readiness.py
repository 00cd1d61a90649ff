"""What the record says of a preparation, and which conditions of a plan's steps it meets."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.facts.quarantining import Quarantine
from intake.flows.facts.things import (
    Kit,
    Person,
    ReadingFact,
    System,
    Vessel,
)
from intake.flows.facts.volumes import waters as litres_of
from intake.flows.judged_water import ends_of, judge_water
from intake.flows.judged_water import tests_of as water_tests
from intake.flows.kits import expires_on, tests_of
from intake.flows.residues import brings_of, ledger_of
from intake.science.band import Ends
from intake.science.figures import figure
from intake.science.limits import allowed
from intake.science.mixing import TRACE
from intake.science.plan import Plan
from intake.science.quarantine import DoseGiven, Met
from intake.science.readiness import (
    KitHeld,
    Known,
    Ready,
    Sponge,
    of_bag_temperature,
    of_kits,
    of_load,
    of_phone,
    of_sponges,
    of_volume,
    of_water,
)
from intake.science.residue import residue
from intake.science.show import show_range

SALT = "salt"
UNRELEASED = ("quarantine", "hospital")
"""Zones whose water was not released: no sponge of theirs seeds another."""


@dataclass(frozen=True, slots=True)
class Expected:
    """What is expected: the day, the temperature of its bags [C], how many fish of what mass [g].

    `entry` is the one that says so.
    """

    entry: int = 0
    day: date | None = None
    bag_c: Ends | None = None
    fish: int = 0
    mass_g: float = 0.0


def expected_of(running: Quarantine) -> Expected:
    """What a quarantine that was begun expects."""
    return Expected(
        running.id,
        date.fromisoformat(running.expected) if running.expected else None,
        None if running.bag_temp is None else bag_ends(running.bag_temp),
        running.fish,
        running.mass_g,
    )


def bag_ends(kept: dict[str, float | None]) -> Ends | None:
    """A temperature as an entry keeps it [C]; None for a band open on both sides."""
    if kept["value"] is None:
        return None
    half = kept.get("half") or 0.0
    low = kept["value"] - half if kept["low"] is None else kept["low"]
    high = kept["value"] + half if kept["high"] is None else kept["high"]
    return Ends(low, kept["value"], high)


def readiness(book: Book, system: System, plan: Plan, expected: Expected) -> tuple[Ready, ...]:
    """Every piece of evidence the plan's preparation rests on, by the record now.

    Nothing once fish are in: preparation is then no longer asked for.
    """
    asked = {name for step in plan.steps for name in step.evidence}
    if not asked or book.facts.occupants(system.vessels):
        return ()
    vessels = [book.facts.vessel(v) for v in system.vessels]
    litres = Ends(*_low_first(litres_of(book.facts, system)))
    sponges = [s for v in vessels for s in _sponges(book, v)]
    seeded = bool(sponges) and all(s.state in ("seeded", "cycled") and s.clean for s in sponges)
    newest = max((_sized_by(v) for v in vessels), default=0)
    day_0 = expected.day or local_date(book.now, book.facts.zone)
    found = (
        of_volume(litres, newest),
        of_load(expected.fish, expected.mass_g, litres, seeded=seeded, entry=expected.entry),
        of_sponges(sponges),
        of_kits(list(_kits(book)), day_0, plan.days),
        _water(book, system, plan),
        _bag_temperature(book, vessels, expected),
        of_phone("vet", list(_people(book, "vet"))),
        of_phone("seller", list(_people(book, "seller"))),
    )
    return tuple(r for r in found if r.piece in asked)


def _low_first(litres: tuple[float, float, float]) -> tuple[float, float, float]:
    value, low, high = litres
    return low, value, high


def _sized_by(vessel: Vessel) -> int:
    """The newest entry that says how much water a vessel holds."""
    ways = [g.entry for g in vessel.gauged]
    return max([vessel.id, *ways, vessel.settled.entry if vessel.settled else 0])


def _sponges(book: Book, vessel: Vessel) -> Iterator[Sponge]:
    """The sponge of a vessel; nothing where none was ever recorded."""
    if vessel.sponge is None and vessel.squeezed_at is None:
        return
    squeezed = None if vessel.squeezed_at is None else (book.now - vessel.squeezed_at).days
    if vessel.sponge is None:
        yield Sponge(vessel.name, "", vessel.id, squeezed_days=squeezed)
        return
    known = vessel.sponge
    origin = book.facts.things.get(known.origin)
    clean = not isinstance(origin, Vessel) or _clean(book, origin, known.at)
    name = origin.name if origin is not None else ""
    days = (book.now - known.at).days
    yield Sponge(vessel.name, known.state, known.entry, days, name, clean, squeezed)


def _clean(book: Book, origin: Vessel, at: datetime) -> bool:
    """Whether the water a sponge ran in was no hospital and in no quarantine then."""
    system = book.facts.system_of(origin)
    held = any(q.at <= at and (q.released is None or q.released > at) for q in system.quarantines)
    return not held and (bool(system.quarantines) or origin.zone not in UNRELEASED)


def _kits(book: Book) -> Iterator[KitHeld]:
    for kit in book.facts.of_kind(Kit):
        if kit.present:
            meter = bool(kit.error) and not kit.steps
            yield KitHeld(kit.name, tests_of(kit), expires_on(kit), kit.id, meter)


def _water(book: Book, system: System, plan: Plan) -> Ready:
    """The newest test, by the limits of those the plan is for; older ones are not judged again."""
    newest = max(water_tests(system, system.since), key=lambda t: (t[1], t[0]), default=None)
    if newest is None:
        return of_water("", "", None, 0)
    entry, at, fresh = newest
    judged, said = judge_water(book, system, fresh, set(plan.life_stages) or {"adult"})
    return of_water(judged, said, _days(book, at), entry)


def _bag_temperature(book: Book, vessels: list[Vessel], expected: Expected) -> Ready:
    """The coldest of the vessels counts: fish may go into any of them."""
    read: list[tuple[ReadingFact, Ends]] = []
    for vessel in vessels:
        reading = vessel.readings.get("temp")
        ends = ends_of(reading)
        if reading is not None and ends is not None:
            read.append((reading, ends))
    reading, ends = min(read, key=lambda r: r[1].value, default=(None, None))
    gap_c = Decimal(repr(book.shelf.water.acclimation().temp_step_c))
    days = None if reading is None else _days(book, reading.at)
    entry = max(expected.entry, 0 if reading is None else reading.entry)
    return of_bag_temperature(expected.bag_c, ends, days, gap_c, entry)


def _people(book: Book, role: str) -> Iterator[Known]:
    for person in book.facts.of_kind(Person):
        if person.present and person.role == role:
            yield Known(person.name, person.phone, person.id)


def _days(book: Book, at: datetime) -> int:
    zone = book.facts.zone
    return (local_date(book.now, zone) - local_date(at, zone)).days


def conditions(
    book: Book, system: System, plan: Plan, doses: tuple[DoseGiven, ...]
) -> tuple[Met, ...]:
    """The conditions of the plan's steps that the record meets now."""
    asked = {s.only_where for s in plan.steps} | {p.only_where for p in plan.preventive}
    found: list[Met] = []
    if "salt-in-water" in asked:
        found += _salt(book, system, doses)
    stages = [(a.name, a.stage) for a in book.facts.occupants(system.vessels)]
    for name, own in (("eggs-in-water", ("eggs",)), ("fry-in-water", ("hatchlings", "fry"))):
        here = [animal for animal, stage in stages if stage in own]
        if name in asked and here:
            found.append(Met(name, f"{', '.join(here)}: {' or '.join(own)}"))
    return tuple(found)


def _salt(book: Book, system: System, doses: tuple[DoseGiven, ...]) -> Iterator[Met]:
    """Salt above a trace and above what the tap brings; none of it while a course of it treats."""
    treats = any(
        d.treatment == SALT and d.counts == "treatment"
        and (d.ended_utc is None or d.ended_utc > book.now)
        for d in doses
    )  # fmt: skip
    ledger = ledger_of(book, system, SALT, unit="g/L", read=True)
    level = residue(ledger, book.now)
    most = max(TRACE["g/L"], Decimal(repr(brings_of(book, "g/L").high)))
    if not treats and not allowed(level.high, None, most):
        text = f"salt in the water: {show_range(level.low, level.high, 'g/L')}"
        yield Met("salt-in-water", f"{text}, over {figure(most)} g/L")
