"""What was typed for a dose, read in the units of its course."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from intake.flows.dose_asking import Asking, tool_named
from intake.flows.names import unknown
from intake.flows.strengths import stated, strength_of
from intake.science.conditions import Reading
from intake.science.dose import WaterVolume
from intake.science.ledger import Residue
from intake.science.mixing import Present
from intake.science.problem import Problem
from intake.science.quantity import Quantity, in_unit, read_quantity
from intake.science.targets import STAGES
from intake.science.treatment import Course, Treatment

READINGS = {
    "temp": "temperature",
    "ph": "ph",
    "kh": "alkalinity",
    "gh": "hardness",
    "oxygen": "oxygen",
    "tan": "tan",
    "no2": "no2",
    "salt": "salt",
    "chlorine": "chlorine",
    "demand": "demand",
}


def typed_parts(ask: Asking, treatment: Treatment, course: Course) -> dict[str, Any]:
    """The parts of a request that were typed; problems are kept in `ask`."""
    found: dict[str, Any] = {}
    volume = ask.quantity("volume", "volume")
    if volume is not None:
        v, low, high = (
            Decimal(0) if end is None else end for end in (volume.value, volume.low, volume.high)
        )
        found["volume"] = WaterVolume(v, low, high)
        if volume.half is None:
            ask.notes.assumptions.append(f"volume {volume.text} taken as exact, as typed")
    mass = ask.quantity("fish_mass", "mass")
    if mass is not None:
        found["fish_mass_g"] = mass.value
    ration = ask.quantity("ration", "percent")
    if ration is not None:
        found["ration_percent"] = ration.value
    target = _concentration(ask, "target", course)
    if target is not None:
        found["target"] = target[0]
    already = _concentration(ask, "already", course, zero_ok=True)
    if already is not None:
        found["already"] = Residue(*map(float, already))
    if ask.text("strength") is not None:
        strength = strength_of(treatment, ask.text("strength") or "")
        if isinstance(strength, Problem):
            ask.problems.append(strength)
        else:
            found["strength"] = stated(strength)
    readings = {n: q for n, k in READINGS.items() if (q := ask.quantity(n, k)) is not None}
    if readings:
        found["readings"] = {
            n: Reading(q.value, q.low, q.high, ask.now) for n, q in readings.items()
        }
    stage = ask.text("stage")
    if stage is not None and stage not in STAGES:
        ask.problems.append(unknown(stage, STAGES, "a life stage").placed("--stage"))
    elif stage is not None:
        found["stages"] = (stage,)
    present = [p for text in ask.typed.get("with") or [] if (p := _with(ask, text)) is not None]
    if present:
        found["present"] = tuple(present)
    tool = tool_named(ask)
    if tool is not None:
        found["tool"] = tool
    return found


def _concentration(
    ask: Asking, name: str, course: Course, **how: Any
) -> tuple[Decimal, Decimal, Decimal] | None:
    """What was typed, with its low and high ends, in the course's unit."""
    if ask.text(name) is None:
        return None
    if course.unit == "C":
        warm = ask.quantity(name, "temperature")
        return None if warm is None else _ends(warm)
    other = _asked_as(ask, name, course)
    if other is not None:
        return other
    form = "w/v" if course.unit == "g/L" else None
    found = ask.quantity(name, "concentration", form=form, **how)
    if found is None:
        return None
    ends = (found.value, found.low, found.high)
    read = [in_unit(found if e is None else replace(found, value=e), course.unit) for e in ends]
    told = [end for end in read if not isinstance(end, Problem)]
    if len(told) < len(ends):
        ask.problems += [p.placed(f"--{name}") for p in read[:1] if isinstance(p, Problem)]
        return None
    return told[0], told[1], told[2]


def _ends(found: Quantity) -> tuple[Decimal, Decimal, Decimal]:
    value, low, high = (
        Decimal(0) if e is None else e for e in (found.value, found.low, found.high)
    )
    return value, low, high


def _asked_as(ask: Asking, name: str, course: Course) -> tuple[Decimal, Decimal, Decimal] | None:
    """What was typed as the other quantity the course may be asked for as, in its own unit."""
    other = course.asked_as
    if other is None:
        return None
    found = read_quantity(ask.text(name) or "", other.kind)
    if isinstance(found, Problem) or found.value is None:
        return None
    times = other.comes_to / other.each
    value, low, high = _ends(found)
    ask.notes.because.append(f"{found.text}: {other.source.text}")
    return value * times, low * times, high * times


def _with(ask: Asking, text: str) -> Present | None:
    name, colon, amount = text.partition(":")
    known = set(ask.shelf.treatments)
    for pair in ask.shelf.never_mix:
        known |= {pair.first, pair.second}
    wrong: Problem | None = None
    if name.strip() not in known:
        # A slip of the hand here would leave a pair unchecked that must never meet.
        wrong = unknown(name.strip(), known, "a treatment or a substance known here")
    elif not colon:
        hint = f"{name}:2 mg/L"
        wrong = Problem("unit-missing", f"'{text[:40]}' does not say how much", hint)
        wrong = wrong.placed("", column=len(text) + 1)
    if wrong is not None:
        ask.problems.append(wrong.placed("--with"))
        return None
    found = read_quantity(amount, "concentration", form="w/v")
    if isinstance(found, Problem):
        ask.problems.append(found.placed("--with", column=len(name) + 1 + found.column))
        return None
    return Present(name.strip(), Decimal(found.value or 0), found.canonical, planned=True)
