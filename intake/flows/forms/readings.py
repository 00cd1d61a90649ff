"""Readings as a form takes them: each with what its kit leaves open, a dilution undone."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from intake.flows.facts.things import Kit, System, Vessel
from intake.flows.forms.form import Field, Filling
from intake.flows.forms.kits import AKits, ATan
from intake.flows.forms.readers import ACount, AQuantity, kept_quantity
from intake.flows.kits import doubt_of, kit_testing, own_kits, read_off
from intake.science.kit import DILUTE, PIPETTE_SHARE, dilution_text
from intake.science.problem import Problem
from intake.science.quantity import Quantity, dilute

READINGS: dict[str, str] = {
    "temp": "temperature",
    "temp-min": "temperature",
    "temp-max": "temperature",
    "ph": "ph",
    "kh": "alkalinity",
    "gh": "hardness",
    "tan": "tan",
    "no2": "no2",
    "no3": "no3",
    "oxygen": "oxygen",
    "salt": "salt",
    "chlorine": "chlorine",
    "combined": "chlorine",
    "demand": "demand",
}
"""What a water test may read, and the kind of quantity it is."""

ENDINGS = {
    "temp": "temp_c",
    "temp_min": "temp_min_c",
    "temp_max": "temp_max_c",
    "kh": "kh_meq_l",
    "gh": "gh_meq_l",
    "tan": "tan_n_mg_l",
    "no2": "no2_mg_l",
    "no3": "no3_mg_l",
    "oxygen": "oxygen_mg_l",
    "salt": "salt_g_l",
    "chlorine": "chlorine_mg_l",
    "combined": "combined_chlorine_mg_l",
    "demand": "permanganate_demand_mg_l",
}
"""What each reading is called in an answer, its unit at the end."""


def reading_fields(*names: str) -> tuple[Field, ...]:
    """A field for each of these readings."""
    return tuple(
        Field(n, ATan() if n == "tan" else AQuantity(READINGS[n]), f"{n} as read") for n in names
    )


KIT_FIELD = Field("kit", AKits(), "the kit or meter it was read with; several with commas")
KIT_FIELDS = (KIT_FIELD, Field("diluted", ACount(1), "the TAN sample was 1 part in so many"))


def _kits(f: Filling) -> tuple[Kit, ...]:
    named = f.get("kit")
    if named is None:
        return ()
    return (named,) if isinstance(named, Kit) else tuple(named)


def _test(name: str) -> str:
    return "temp" if name.startswith("temp") else name


def read_values(f: Filling, names: tuple[str, ...], way: str = "") -> dict[str, Any]:
    """The readings given, as kept: with the ends their kit leaves, the dilution undone.

    `way` is the way across chosen for the bag they were of: what it puts into the water may fool
    a kit.
    """
    read: dict[str, Any] = {}
    if "tan" in names:
        f.answer["dilute"] = None
    for name in names:
        value = f.get(name)
        if value is None:
            continue
        if value.value is None and value.band:
            f.notes.warn("kit-cannot-show", f"{name} could not be read")
            continue
        kit = kit_testing(_kits(f), _test(name))
        if kit is not None:
            value = _by_kit(f, kit, name, value, way)
        if name == "tan":
            value = _tan(f, kit, value)
        elif value.high is None or value.low is None:
            text = f"{name} {value.text}: the kit shows no further; take one that goes further"
            f.notes.warn("kit-cannot-show", text)
        read[name.replace("-", "_")] = _kept(value, kit)
    return read


def _kept(value: Quantity, kit: Kit | None) -> dict[str, Any]:
    return kept_quantity(value) | ({} if kit is None else {"kit": kit.id})


def _by_kit(f: Filling, kit: Kit, name: str, value: Quantity, way: str) -> Quantity:
    found = read_off(kit, name, value)
    if isinstance(found, Problem):
        f.problems.append(replace(found, path=f"--{name}"))
        return value
    if found.assumed:
        f.notes.assume(found.assumed)
    doubt = doubt_of(f.book, kit, f.when, _water(f), way)
    if doubt is not None:
        f.notes.warn(doubt[0], f"{name}: {doubt[1]}")
    return found.reading


def _water(f: Filling) -> System | None:
    subject = f.get("subject")
    if isinstance(subject, Vessel):
        return f.book.facts.system_of(subject)
    return subject if isinstance(subject, System) else None


def _tan(f: Filling, kit: Kit | None, value: Quantity) -> Quantity:
    """Total ammonia with its dilution undone, and what to do where it is off the chart."""
    parts = f.get("diluted")
    if parts:
        value = dilute(value, parts)
        share = f"{PIPETTE_SHARE * 100:.0f} %"
        f.notes.assume(f"a dilution can be off by {share} (common practice); not in its ends")
    if value.high is None:
        parts = DILUTE * (parts or 1)
        told = dilution_text(parts)
        f.notes.warn("kit-cannot-show", f"tan {value.text}: the kit shows no further; {told}")
        f.answer["dilute"] = {"parts": parts, "text": told}
    if kit is None:
        _other_basis(f, value)
    return value


def _other_basis(f: Filling, value: Quantity) -> None:
    """Says it where the room's kits count ammonia otherwise than this reading does."""
    reports = {k.reports for k in own_kits(f.book, "tan") if k.reports}
    if value.basis and reports and value.basis not in reports:
        names = ", ".join(f"{k.name} reports {k.reports}" for k in own_kits(f.book, "tan"))
        f.notes.assume(f"tan is as {value.basis}, as typed, though {names}: check which it is")


def read_keys(read: dict[str, Any]) -> dict[str, Any]:
    """What was read as an answer names it, each with its ends."""
    keys: dict[str, Any] = {}
    for name, kept in read.items():
        key = ENDINGS.get(name, name)
        keys |= {key: kept["value"], f"{key}_low": kept["low"], f"{key}_high": kept["high"]}
    return keys
