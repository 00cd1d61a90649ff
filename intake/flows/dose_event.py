"""What an entry of a dose keeps beside its amount, so that the event can be told whole later.

The fields are those of a treatment record (21 CFR 530.5 and the licence and farm rules beside
it); each is there, with a value or with the word unknown. Who, when and the hash before it stand
in the journal's own columns; how it ended and how the fish did follow from later entries.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from intake import __version__
from intake.flows.dose_typed import READINGS
from intake.flows.facts.things import Animal, Product, Vessel
from intake.flows.facts.volumes import at_line, settled_way
from intake.science.conditions import Reading
from intake.science.course_settled import directed, repeat_hours
from intake.science.dose import DoseRequest
from intake.science.dose_setting import goal_of
from intake.science.dosing import plan_dose
from intake.science.kinds import KINDS
from intake.science.problem import Problem, Refused, Unreadable, Warn
from intake.science.treatment import Course

UNKNOWN = "unknown"
NOT_FOR_FOOD = "ornamental, not for food"
AT_START = ("temp", "ph", "kh", "gh", "salt", "oxygen")
"""What is kept of the water a course begins in, read or unknown."""
EQUIPMENT = {"air": "air", "filter": "sponge", "carbon": "carbon"}
"""What is kept of the equipment, by the word it is recorded under."""


@dataclass(frozen=True, slots=True)
class Event:
    """One dose as it is about to be kept: what was treated, in what, with what.

    `vessels` are those whose water it goes into, none for a bath in a bucket; `fish` are those it
    reaches and how many of each. `found` says how a water that is no vessel's was found.
    """

    request: DoseRequest
    course: Course
    vessels: Sequence[Vessel]
    fish: Sequence[tuple[Animal, int]]
    product: Product | None = None
    named: bool = False
    found: str = ""


def event_of(
    event: Event,
    asked: Mapping[str, Any],
    warnings: Sequence[Warn],
    broke: Sequence[Mapping[str, Any]] = (),
) -> dict[str, Any]:
    """The fields that the entry's own options do not hold, each a value or "unknown".

    Parameters
    ----------
    asked
        As typed: amount, reason, diagnosed-by, vet, soft, holding, and why for something given.
    """
    return {
        "reaches": [v.name for v in event.vessels],
        "treated": sum(n for _, n in event.fish) or UNKNOWN,
        "sign": asked.get("reason") or UNKNOWN,
        "diagnosed_by": asked.get("diagnosed-by") or UNKNOWN,
        "vet": _vet(event, asked),
        "product": _product(event),
        "target": _target(event),
        "water_found": water_found(event.vessels) or event.found or UNKNOWN,
        "amount": _amount(event, asked["amount"]),
        "tool": _tool(event.request),
        "planned": _planned(event),
        "at_start": at_start(event.request, event.vessels),
        "food": NOT_FOR_FOOD,
        "holding": asked.get("holding") or UNKNOWN,
        "program": __version__,
        "overridden": _overridden(asked, warnings, broke),
    }


def _vet(event: Event, asked: Mapping[str, Any]) -> str:
    directed_by = event.request.direction
    return (directed_by.vet if directed_by else "") or asked.get("vet") or UNKNOWN


def fish_of(fish: Sequence[tuple[Animal, int]]) -> list[dict[str, Any]]:
    """The fish and groups treated, each by its number in the journal."""
    return [
        {
            "id": a.id,
            "name": a.name,
            "count": count,
            "variety": a.variety or UNKNOWN,
            "stage": a.stage,
        }
        for a, count in fish
    ]


def _product(event: Event) -> dict[str, Any]:
    """The bottle named, else the newest of its kind on the shelf, which is said."""
    product, directed_by = event.product, event.request.direction
    known = event.request.strength or event.request.bottle
    return {
        "name": product.name if product is not None else UNKNOWN,
        "named": event.named,
        "active": (directed_by.drug if directed_by else "") or event.request.treatment.title,
        "counted": event.request.treatment.basis,
        "strength": str(known) if known is not None else UNKNOWN,
        "batch": (product.batch if product else "") or UNKNOWN,
        "expires": (product.expires if product else "") or UNKNOWN,
        "opened": (product.opened if product else "") or UNKNOWN,
    }


def _target(event: Event) -> dict[str, Any]:
    asked = event.request.target
    value = goal_of(event.request, event.course)
    by = "asked for" if asked is not None else "the protocol's usual"
    if asked is None and directed(event.request):
        by = "the vet's direction"
    return {"value": float(value) if value else UNKNOWN, "unit": event.course.unit, "by": by}


def _amount(event: Event, measured: Any) -> dict[str, Any]:
    """What the plan comes to in all its digits, and what was weighed or drawn."""
    try:
        planned = plan_dose(replace(event.request, tool=None))
    except (Refused, Unreadable):
        worked = UNKNOWN
    else:
        same = planned.amount_unit == measured.canonical
        worked = f"{planned.amount.normalize():f}" if same else UNKNOWN
    return {
        "worked_out": worked,
        "measured": f"{Decimal(measured.value):f}",
        "unit": measured.canonical,
    }


def _tool(request: DoseRequest) -> dict[str, Any]:
    tool = request.tool
    if tool is None:
        return {"name": UNKNOWN, "step": UNKNOWN, "unit": UNKNOWN}
    return {"name": tool.name, "step": f"{tool.step:f}", "unit": tool.unit}


def _planned(event: Event) -> dict[str, Any]:
    course = event.course
    every_h = repeat_hours(course, event.request.readings.get("temp"))
    repeat = course.repeat
    least, most = course.duration_min_h, course.duration_max_h
    return {
        "at_least_h": UNKNOWN if least is None else float(least),
        "at_most_h": UNKNOWN if most is None else float(most),
        "every_h": UNKNOWN if every_h is None else float(every_h),
        "times": 1 if repeat is None else repeat.times or UNKNOWN,
        "steps": [[float(s.target), float(s.after_h)] for s in course.steps],
    }


def water_found(vessels: Sequence[Vessel]) -> list[dict[str, Any]]:
    """How the water of each vessel was found, and when its line was read."""
    return [
        {
            "vessel": v.name,
            "by": _way(v),
            "line_cm": UNKNOWN if v.depth is None else v.depth.value,
            "line_read": UNKNOWN if v.depth_at is None else v.depth_at.isoformat(),
        }
        for v in vessels
    ]


def _way(vessel: Vessel) -> str:
    way = settled_way(vessel)
    if way is not None:
        return way.way
    try:
        found = at_line(vessel)
    except Refused:
        return vessel.shape
    return vessel.shape if isinstance(found, Problem) else found.method


def at_start(request: DoseRequest, vessels: Sequence[Vessel]) -> dict[str, Any]:
    """The water as it was read before the dose, and what ran in it."""
    found: dict[str, Any] = {
        name: _reading(request.readings.get(name), KINDS[READINGS[name]].units[0].canonical)
        for name in AT_START
    }
    for name, word in EQUIPMENT.items():
        each = {v.name: v.equipment.get(word) or UNKNOWN for v in vessels}
        one = set(each.values())
        found[name] = each if len(one) > 1 else next(iter(one), UNKNOWN)
    return found


def _reading(reading: Reading | None, unit: str) -> Any:
    if reading is None:
        return UNKNOWN
    value, low, high = (
        None if end is None else float(end) for end in (reading.value, reading.low, reading.high)
    )
    return {
        "value": value, "low": low, "high": high, "unit": unit,
        "at": reading.at_utc.isoformat(), "evidence": reading.evidence,
    }  # fmt: skip


def _overridden(
    asked: Mapping[str, Any], warnings: Sequence[Warn], broke: Sequence[Mapping[str, Any]]
) -> list[dict[str, str]]:
    """Every warning gone past and every limit broken, with the reason given for it."""
    reasons = _reasons(asked.get("soft") or "")
    over = {b["code"] for b in broke}
    return [
        {
            "code": w.code,
            "text": w.text,
            "reason": reasons.get(w.code)
            or (asked.get("why") if w.code in over else None)
            or reasons.get("")
            or UNKNOWN,
        }
        for w in warnings
    ]


def _reasons(soft: str) -> dict[str, str]:
    """Reasons by code; one that names no code is the reason of all."""
    found: dict[str, str] = {}
    for part in soft.split(";"):
        code, colon, reason = part.partition(":")
        if colon and " " not in code.strip():
            found[code.strip()] = reason.strip()
        elif part.strip():
            found[""] = part.strip()
    return found
