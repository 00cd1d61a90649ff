"""Dose plans for the ten-fold guard: a room of many waters, clean plans, and slips of the hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any

from intake.flows.desk import Desk, load_protocols, rehearsed
from intake.flows.dosing import dose_in_room
from intake.flows.record import record
from intake.science.problem import Refused, Unreadable
from intake.science.treatment import Course, Treatment
from tests.flows.job_rooms import put, small_desk, then

BEGAN, NOW = "2026-11-05 08:00", "2026-11-05 12:00"
LITRES = (18, 40, 75, 120, 200, 310, 450, 640, 900, 1300, 1900, 2800)
MIDDLE = {
    "temp": "20 C", "ph": "7.6", "kh": "6 dKH", "gh": "8 dGH", "oxygen": "8 mg/L",
    "tan": "0.2 mg/L as N", "no2": "0 mg/L as NO2", "chlorine": "0.5 mg/L", "demand": "2 mg/L",
}  # fmt: skip
"""Water in which every shipped course may be given."""
BY_VET = ("vet-only", "not-advised", "wrong-route")
"""What stands against a clean plan without a vet, or where nothing goes into the water."""
US, IMPERIAL = Decimal("3.785411784"), Decimal("4.54609")
BETWEEN = IMPERIAL / US


@dataclass(frozen=True)
class Seen:
    """How a plan ended: a refusal's or problem's code, or the codes it warned with."""

    refused: str = ""
    codes: tuple[str, ...] = ()
    texts: tuple[tuple[str, str], ...] = ()
    answer: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Plan:
    """One clean plan: what is typed to work it out, and what is typed to write it down."""

    treatment: Treatment
    course: Course
    vessel: str
    litres: Decimal
    target: Decimal
    unit: str
    asked: dict[str, Any]
    worked: Seen
    written: dict[str, Any]
    recorded: Seen


def furnished(folder: Path, *, shelved: bool) -> Desk:
    """Two tubs of every size, one with grown fish in it, their water read half an hour ago.

    Every other size is read without doubt, the rest to half a centimetre of a line of 40 cm.
    A bottle of each treatment may stand on the shelf, its strength recorded when it came.
    """
    desk = small_desk(folder)
    for n, litres in enumerate(LITRES):
        half = "0 cm" if n % 2 else "0.5 cm"
        for kind in ("Fish", "Bare"):
            name = f"{kind} {litres}"
            box = {"length": f"{litres / 2} cm +/- 0 cm", "width": "50 cm +/- 0 cm"}
            more = {"depth": f"40 cm +/- {half}", "height": "60 cm"}
            put(desk, BEGAN, "vessel", name=name, shape="box", **box, **more)
            put(desk, "2026-11-05 11:30", "reading", subject=name, **MIDDLE)
        fish = {"count": "2", "variety": "ranchu", "into": f"Fish {litres}", "stage": "adult"}
        put(desk, BEGAN, "group", name=f"Ranchus {litres}", mass=f"{litres / 4} g", **fish)
    for treatment in load_protocols().treatments.values():
        if shelved and treatment.strengths:
            value, unit = label(treatment)
            typed = {"treatment": treatment.id, "strength": f"{number(value)} {unit}"}
            put(desk, BEGAN, "product", name=f"The {treatment.id}", **typed)
    return then(desk, NOW)


def work(desk: Desk, typed: dict[str, Any]) -> Seen:
    """How `intake dose` ends."""
    return seen(lambda: dose_in_room(desk, typed))


def seen(ask: Callable[[], dict[str, Any]]) -> Seen:
    try:
        answer = ask()
    except Refused as refused:
        return Seen(refused.code)
    except Unreadable as unread:
        return Seen(unread.problems[0].code)
    said = tuple((w["code"], w["text"]) for w in answer["warnings"])
    return Seen("", tuple(code for code, _ in said), said, answer)


def write(desk: Desk, typed: dict[str, Any]) -> Seen:
    """How `intake record dose` ends; nothing is kept."""
    return seen(lambda: record(rehearsed(desk), "dose", typed))


def number(value: Decimal, digits: int = 6) -> str:
    return format(Decimal(f"{value:.{digits}g}"), "f")


def label(treatment: Treatment) -> tuple[Decimal, str]:
    usual = treatment.usual_strength
    return usual.value, usual.unit


def bare_plan(treatment: Treatment, course: Course, vessel: str) -> dict[str, Any]:
    typed = {"treatment": treatment.id, "course": course.name, "vessel": vessel}
    if treatment.strengths:
        value, unit = label(treatment)
        typed["strength"] = f"{number(value)} {unit}"
    return typed


def made(desk: Desk, treatment: Treatment, course: Course, hand: Random) -> Plan | Seen:
    """A clean plan, its target anywhere in the course's range; or what stands against any."""
    litres = hand.choice(LITRES[:1] if course.route == "clean" else LITRES)  # a cleaning bucket
    kind = "Fish" if "adult" in course.stages else "Bare"
    typed = bare_plan(treatment, course, f"{kind} {litres}")
    usual = work(desk, typed)
    if usual.refused:
        return usual
    low, high = Decimal(str(usual.answer["low"])), Decimal(str(usual.answer["high"]))
    high = min(high, Decimal(str(usual.answer["hard_limit"])))
    target = Decimal(number(low + (high - low) * Decimal(hand.random()), 3))
    target = min(max(target, low), high)
    unit = usual.answer["target_unit"]
    asked = {**typed, "target": f"{target} {unit}"}
    worked = work(desk, asked)
    assert not worked.refused, (asked, worked.refused)
    answer = worked.answer
    written = {
        "system": typed["vessel"], "treatment": treatment.id, "course": course.name,
        "target": f"{answer['target']:.12g} {unit}", "strength": typed.get("strength"),
        "amount": f"{exact(answer['amount'])} {answer['amount_unit']}",
    }  # fmt: skip
    recorded = write(desk, written)
    return Plan(
        treatment, course, typed["vessel"], Decimal(litres), target, unit, asked, worked,
        written, recorded,
    )  # fmt: skip


def exact(amount: float) -> str:
    return format(Decimal(repr(amount)).quantize(Decimal("1E-9")).normalize(), "f")


# Slips: a changed plan to be worked out, or a changed line to be written down


Slip = Callable[[Plan], tuple[str, dict[str, Any]] | None]
"""What was typed instead, and whether it is asked ("asked") or written ("written")."""


def target_times(times: Decimal) -> Slip:
    def slip(p: Plan) -> tuple[str, dict[str, Any]]:
        return "asked", {**p.asked, "target": f"{number(p.target * times)} {p.unit}"}

    return slip


def volume_times(times: Decimal) -> Slip:
    def slip(p: Plan) -> tuple[str, dict[str, Any]] | None:
        if p.unit == "mg/kg/d":
            return None
        return "asked", {**p.asked, "volume": f"{number(p.litres * times)} L"}

    return slip


def amount_times(times: Decimal) -> Slip:
    def slip(p: Plan) -> tuple[str, dict[str, Any]]:
        amount, unit = p.worked.answer["amount"], p.worked.answer["amount_unit"]
        return "written", {**p.written, "amount": f"{exact(amount * float(times))} {unit}"}

    return slip


def amount_in_other_unit(p: Plan) -> tuple[str, dict[str, Any]]:
    other = {"g": "mL", "mg": "mL", "mL": "g"}[p.worked.answer["amount_unit"]]
    return "written", {**p.written, "amount": f"{exact(p.worked.answer['amount'])} {other}"}


def strength_times(times: Decimal) -> Slip:
    def slip(p: Plan) -> tuple[str, dict[str, Any]] | None:
        if not p.treatment.strengths:
            return None
        value, unit = label(p.treatment)
        return "asked", {**p.asked, "strength": f"{number(value * times)} {unit}"}

    return slip


def strength_in(other: str) -> Slip:
    def slip(p: Plan) -> tuple[str, dict[str, Any]] | None:
        if not p.treatment.strengths or label(p.treatment)[1] == other:
            return None
        return "asked", {**p.asked, "strength": f"{number(label(p.treatment)[0])} {other}"}

    return slip


def swapped(p: Plan) -> tuple[str, dict[str, Any]] | None:
    """The number of the label where the litres belong, and the litres as its strength."""
    if not p.treatment.strengths or p.unit == "mg/kg/d":
        return None
    value, unit = label(p.treatment)
    other = {"volume": f"{number(value)} L", "strength": f"{number(p.litres)} {unit}"}
    return "asked", {**p.asked, **other}


def active_share(p: Plan) -> Decimal:
    """The share of the usual product that is its active part: 0.37 of formalin, 0.25 of bluestone.

    Copper in the pentahydrate: 63.546 / 249.685 (IUPAC atomic weights).
    """
    if p.treatment.id == "copper-sulfate":
        return Decimal("63.546") / Decimal("249.685")
    if not p.treatment.strengths:
        return Decimal(1)
    value, unit = label(p.treatment)
    return value / {"mg/mL": 1000}.get(unit, 100)


def active_for_product(p: Plan) -> tuple[str, dict[str, Any]] | None:
    return target_times(1 / active_share(p))(p)


def product_for_active(p: Plan) -> tuple[str, dict[str, Any]] | None:
    return target_times(active_share(p))(p)


TEN, THOUSAND = Decimal(10), Decimal(1000)
SLIPS: dict[str, tuple[Slip, ...]] = {
    "target x 10": (target_times(TEN),),
    "target / 10": (target_times(1 / TEN),),
    "target x 1000": (target_times(THOUSAND),),
    "target per gallon": (target_times(US), target_times(1 / US)),
    "amount x 10": (amount_times(TEN),),
    "amount / 10": (amount_times(1 / TEN),),
    "amount x 1000": (amount_times(THOUSAND),),
    "amount / 1000": (amount_times(1 / THOUSAND),),
    "amount by another gallon": tuple(amount_times(t) for t in (US, 1 / US, BETWEEN, 1 / BETWEEN)),
    "amount in mL for g": (amount_in_other_unit,),
    "volume x 10": (volume_times(TEN),),
    "volume / 10": (volume_times(1 / TEN),),
    "volume by gallons": tuple(
        volume_times(t) for t in (US, 1 / US, IMPERIAL, 1 / IMPERIAL, BETWEEN, 1 / BETWEEN)
    ),
    "volume and strength swapped": (swapped,),
    "strength x 10, / 10": (strength_times(TEN), strength_times(1 / TEN)),
    "% w/w, % w/v, mg/mL": (strength_in("% w/w"), strength_in("% w/v"), strength_in("mg/mL")),
    "active for product": (active_for_product, product_for_active),
}
STRENGTHS = ("strength x 10, / 10", "% w/w, % w/v, mg/mL")
ALWAYS_STOPPED = ("target x 10", "target x 1000", "amount x 10", "amount x 1000", "volume x 10")
