"""What an entry of a dose, of something given or of a bath is made of."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from intake.flows.desk import Book
from intake.flows.dose_asking import Asking
from intake.flows.dose_event import Event, event_of, fish_of
from intake.flows.dose_typed import typed_parts
from intake.flows.dosed_water import water_of
from intake.flows.facts.things import Product, System, Vessel
from intake.flows.forms.dose_label import added_ends, from_what
from intake.flows.forms.form import Filling
from intake.science.amount import FEED_UNIT, Counted
from intake.science.dose import DoseRequest, WaterVolume
from intake.science.stored_again import raised_by
from intake.science.treatment import Course, Treatment

Ends = tuple[Counted, Counted, Counted]
"""The weakest, likely and strongest that one unit of a product may bring."""


@dataclass(frozen=True, slots=True)
class AskedDose:
    """The treatment and course of a dose entry, and its water as it was just before."""

    treatment: Treatment
    course: Course
    book: Book
    system: System
    request: DoseRequest


def keep(f: Filling, asked: AskedDose, ends: Ends) -> None:
    """Completes the entry; what it says of the water was worked out twice.

    Raises
    ------
    ArithmeticError
        The two workings differ: a fault of the program, and nothing is stored.
    """
    treatment, course, request = asked.treatment, asked.course, asked.request
    water = water_of(asked.book, asked.system)
    added = added_ends(f, treatment, course, ends)
    target = target_of(f, asked)
    fish = [(a, a.count) for a in asked.book.facts.occupants(asked.system.vessels)]
    named = f.book.facts.find(str(f.typed.get("system", "")), ("vessel",), f.when)
    if isinstance(named, Vessel):
        f.extra["vessel"] = named.id
    from_what(f, request)
    f.extra |= {
        "added": dict(zip(("low", "value", "high"), map(float, added), strict=True)),
        "target_unit": course.unit,
        "strength_used": str(ends[1].strength),
        "water": water_kept(water),
        "already": None if request.already is None else request.already.now,
        "route": course.route,
        "protocol": protocol_of(treatment),
        "fish": fish_of(fish),
        "conditions": {n: _shown(r) for n, r in request.readings.items()},
        "said": [w.code for w in f.notes.warnings],
    }
    bottle = f.book.facts.things.get(request.bottle_entry)
    event = Event(
        request if target is None else replace(request, target=target),
        course,
        [asked.book.facts.vessel(v) for v in asked.system.vessels],
        fish,
        bottle if isinstance(bottle, Product) else None,
        named=f.get("product") is not None,
    )
    f.extra["event"] = event_of(event, said_of(f), f.notes.warnings, f.extra.get("broke", ()))
    _level(f, asked, water.volume_l, ends[1])


def protocol_of(treatment: Treatment) -> dict[str, str]:
    """Which text of which protocol a dose was worked out with."""
    return {
        "path": f"treatments/{treatment.id}.yaml",
        "version": treatment.version,
        "sha256": treatment.sha256,
    }


def water_kept(water: WaterVolume) -> dict[str, float]:
    """The water a dose went into, with its ends, as an entry keeps and answers it."""
    return {
        "volume_l": float(water.volume_l),
        "volume_l_low": float(water.low_l),
        "volume_l_high": float(water.high_l),
    }


def said_of(f: Filling) -> dict[str, Any]:
    """What the keeper said of a dose beside its amount."""
    names = ("amount", "reason", "diagnosed-by", "vet", "soft", "holding")
    return {name: f.get(name) for name in names} | {"why": f.why}


def target_of(f: Filling, asked: AskedDose) -> Decimal | None:
    """What it was worked out for, where that was typed."""
    if f.get("target") is None:
        return None
    typed = Asking({"target": f.get("target")}, f.when, f.book.shelf, f.book)
    found = typed_parts(typed, asked.treatment, asked.course)
    f.problems += typed.problems
    f.stop_if_faulty()
    target: Decimal = found["target"]
    return target


def _level(f: Filling, asked: AskedDose, volume_l: Decimal, product: Counted) -> None:
    """What it comes to: in the water with what was there already, or by the fish that are fed."""
    course, request = asked.course, asked.request
    amount = Decimal(f.get("amount").value)
    if course.unit == FEED_UNIT:
        mass_g = request.fish_mass_g
        if mass_g:
            given = raised_by(asked.treatment, course.unit, amount, mass_g, product)
            f.extra["event"]["fed"] = {
                "fish_mass_g": float(mass_g), "value": float(given), "unit": course.unit,
            }  # fmt: skip
        return
    if not volume_l:
        return
    f.answer |= f.extra["water"]
    raised = raised_by(asked.treatment, course.unit, amount, volume_l, product)
    f.extra["target_value"] = (request.already.now if request.already else 0.0) + float(raised)
    f.answer["now"] = f.extra["target_value"]
    f.answer["target_unit"] = course.unit


def _shown(reading: Any) -> dict[str, Any]:
    value = None if reading.value is None else float(reading.value)
    return {"value": value, "at": reading.at_utc.isoformat(), "evidence": reading.evidence}
