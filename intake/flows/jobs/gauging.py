"""Gauging guided: a salt step, a filling by the bucket, the way that is settled on."""

from __future__ import annotations

from collections.abc import Mapping

from intake.flows.desk import Desk, at_work
from intake.flows.facts.buckets import BucketFill
from intake.flows.facts.ways import known_ways
from intake.flows.forms.fillings import counted
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.words import recorded
from intake.flows.record import Said, record
from intake.flows.salt_needed import needed_in
from intake.flows.salt_steps import step_for
from intake.flows.views.gauging import GaugingState, SaltAsked
from intake.flows.views.parts import Recorded
from intake.science.show import show


def state(desk: Desk, name: str) -> GaugingState:
    """What waits at a vessel."""
    with at_work(desk) as book:
        facts = book.facts
        fill = next((b for b in facts.of_kind(BucketFill) if b.name == name and b.present), None)
        vessel = facts.vessel_named(name)
        step = step_for(vessel, book.now) if vessel is not None else None
        ways = known_ways(vessel) if vessel is not None else {}
        depths = [m.depth for m in fill.marks if m.depth is not None] if fill else []
        return GaugingState(
            f"{step.typed['salt']} of salt of {facts.local(step.at)}" if step else "",
            step is not None and "before_temp" in step.typed,
            fill is not None,
            fill.count if fill else 0,
            counted(fill) if fill else "",
            show(depths[-1].value, "cm") if depths else "",
            tuple((way, f"{way}, {show(litres, 'L')}") for way, litres in ways.items()),
        )


def salt(desk: Desk, name: str, typed: Mapping[str, str]) -> SaltAsked:
    """How much salt tells the volume of a vessel to 5 %, within its limit now."""
    with at_work(desk) as book, as_unreadable():
        found = needed_in(book.trusted(), {"vessel": name, **typed})
    told = [w["text"] for w in found["warnings"] if "cannot be reached" in w["text"]]
    return SaltAsked(f"{found['salt_g']:g} g", "; ".join([*told, *found["because"]]))


def write(desk: Desk, kind: str, typed: Mapping[str, str], why: str) -> Recorded:
    """One entry of a gauging."""
    given = {key.replace("-", "_"): text for key, text in typed.items() if text.strip()}
    with as_unreadable():
        answer = record(desk, kind, given, Said(why=why or None))
    name = given.get("vessel") or given.get("name", "")
    said = {
        "salt-step": f"{given.get('salt')} of salt in {name}; read the meter again in a day",
        "gauge": f"{name} gauged by salt",
        "filling": f"{name} is being filled",
        "bucket": f"{name}: {answer.get('count')} buckets",
        "filled": f"{name} has its table",
        "settle": f"{name} is settled: {given.get('way')}",
    }[kind]
    if "volume_l" in answer:
        said += f", {show(answer['volume_l'], 'L')}"
    return recorded(desk, answer, said)
