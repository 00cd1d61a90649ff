"""The form a quarantine begins with: its plan, what is expected, a preventive course."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from intake.clock import dated, local_date
from intake.flows.facts.things import System
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import (
    ACount,
    ADate,
    AQuantity,
    AThing,
    ATreatment,
    Plain,
    kept_quantity,
)
from intake.flows.names import unknown
from intake.flows.own_clock import emptied_at
from intake.flows.preventives import offer_keys, offered
from intake.flows.quarantine_facts import plan_of
from intake.flows.readiness import Expected, bag_ends, readiness
from intake.science.figures import figure
from intake.science.limits import allowed
from intake.science.plan import Plan
from intake.science.preventive import offer_text
from intake.science.problem import Problem


class APlan(Plain):
    """A quarantine plan that has a file."""

    def read(self, text: str, asked: Any) -> str | Problem:
        known = asked.book.shelf.plans
        return text if text in known else unknown(text, known, "a plan")


def _quarantine(f: Filling) -> None:
    system = f.thing("system")
    assert isinstance(system, System)
    if system.quarantine is not None and f.entry is None and not _begun_by_itself(f, system):
        since = f.book.facts.local(system.quarantine.at)
        f.fault(
            "name-taken",
            "SYSTEM",
            f"{system.name} is in quarantine since {since}",
            "release it first, or void that entry",
        )
    f.stop_if_faulty()
    if f.get("plan") is None:
        f.values["plan"] = "standard"
        f.notes.assumptions.append("plan standard")
    plan = _plan(f, system)
    f.answer["days"] = plan.days
    if f.get("preventive") is not None:
        f.answer["preventive"] = _preventive(f, system, plan)
    _fits(f, system, plan)
    _day_0(f, system, plan)
    _ready(f, system, plan)


def _begun_by_itself(f: Filling, system: System) -> bool:
    """Whether its quarantine came with fish that were moved in, or its fish have all gone."""
    running = system.quarantine
    assert running is not None
    return bool(running.dragged) or emptied_at(f.book, system, running) is not None


def _plan(f: Filling, system: System) -> Plan:
    """The plan as it is now; a correction that leaves the plan alone keeps the text it had."""
    before = next((q for q in system.quarantines if q.id == f.entry), None)
    written = f.book.entry(f.entry) if before is not None and f.entry is not None else None
    if before is not None and written is not None and before.plan == f.get("plan"):
        f.extra |= {k: written.content[k] for k in KEPT if k in written.content}
        return plan_of(f.book, before)
    plan = f.book.shelf.plans[f.get("plan")]
    kept = (plan.id, plan.text, plan.version, plan.sha256)
    f.extra |= dict(zip(KEPT, kept, strict=True))
    return plan


KEPT = ("plan", "plan_text", "plan_version", "plan_sha256")
"""What the entry keeps of the plan it was begun with."""


def _day_0(f: Filling, system: System, plan: Plan) -> None:
    """Day 0 and the earliest release, where fish are in already, or when they are expected."""
    if f.get("expected") is not None:
        f.notes.because.append(f"the fish are expected {dated(f.get('expected'))}")
    animals = f.book.facts.occupants(system.vessels)
    if animals:
        last = max(s.since for a in animals for s in a.stays[-1:])
        day_0 = local_date(max(last, system.since), f.book.facts.zone)
        f.answer["day_0"] = day_0.isoformat()
        f.answer["earliest_release"] = (day_0 + timedelta(plan.days)).isoformat()


def _ready(f: Filling, system: System, plan: Plan) -> None:
    """What of the preparation is on record already."""
    bag, mass = f.get("bag-temp"), f.get("mass")
    expected = Expected(
        f.entry or 0,
        f.get("expected"),
        None if bag is None else bag_ends(kept_quantity(bag)),
        f.get("fish") or 0,
        0.0 if mass is None else float(mass.value or 0),
    )
    f.answer["ready"] = [
        {"piece": r.piece, "state": r.state, "text": r.text, "entry": r.entry or None}
        for r in readiness(f.book, system, plan, expected)
    ]


def _preventive(f: Filling, system: System, plan: Plan) -> dict[str, Any]:
    """The course chosen and its cautions."""
    treatment = f.book.shelf.treatments[f.get("preventive")]
    animals = f.book.facts.occupants(system.vessels)
    offer = offered(f.book.shelf, plan, treatment, animals)
    f.notes.because.append(f"{offer_text(offer, treatment.title)}: {offer.source.text}")
    if offer.because:
        f.notes.because.append(offer.because)
    return {**offer_keys(offer), "cautions": list(treatment.cautions)}


def _fits(f: Filling, system: System, plan: Plan) -> None:
    """Warns where the plan is made for other fish, or for warmer water."""
    animals = f.book.facts.occupants(system.vessels)
    others = [a for a in animals if plan.life_stages and a.stage not in plan.life_stages]
    if others:
        told = ", ".join(f"{a.name} ({a.stage})" for a in others)
        f.notes.warn(
            "life-stage", f"plan {plan.id} is for {', '.join(plan.life_stages)}, not for {told}"
        )
    rule = plan.check("warm-days")
    read = [r for v in system.vessels if (r := f.book.facts.vessel(v).readings.get("temp"))]
    temps = [r.value for r in read if r.value is not None]
    low = None if rule is None else rule.low_c
    if rule is not None and low is not None and temps and not allowed(min(temps), low, None):
        f.notes.warn(
            "no-warm-days",
            f"the water is at {figure(min(temps), 3)} C: no day under {figure(low)} C counts as "
            f"a warm one, and {rule.days} are asked for before release",
        )


FORMS = (
    Form(
        "quarantine",
        "a quarantine begun on a water system",
        (
            Field("system", AThing(("system",)), "water system, or a vessel in it", True, True),
            Field("plan", APlan(), "which plan, standard where none is given", unsaid="standard"),
            Field("expected", ADate(), "the day the fish are expected"),
            Field("bag-temp", AQuantity("temperature"), "what the bags are expected to have"),
            Field("fish", ACount(1), "how many are expected"),
            Field("mass", AQuantity("mass", zero=False), "what each of them weighs, about"),
            Field("preventive", ATreatment(), "a preventive course the plan offers"),
        ),
        _quarantine,
    ),
)
