"""The form for a water change, and what it leaves of every treatment."""

from __future__ import annotations

from dataclasses import replace

from intake.flows.facts.things import System, Vessel, WaterEvent
from intake.flows.facts.volumes import at_line, together
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import AQuantity, AThing
from intake.flows.forms.water import kept_size
from intake.flows.residues import after_change
from intake.flows.usage import Usage
from intake.science.ledger import Changed, Event, Regauged
from intake.science.problem import Problem
from intake.science.show import show
from intake.science.spread import Size


def _change(f: Filling) -> None:
    subject = f.thing("subject")
    facts = f.book.facts
    ways = [n for n in ("volume", "percent", "out") if f.get(n) is not None]
    if len(ways) != 1 or (f.get("out") is None) != (f.get("in") is None):
        raise Usage("give --volume, --percent, or --out and --in")
    whole = isinstance(subject, System)
    ids = subject.vessels if isinstance(subject, System) else [subject.id]
    here = together(facts.vessel(v) for v in ids)
    out_l = _out_litres(f, here[0])
    if out_l > here[2]:
        text = f"{show(out_l, 'L')} is more than the {show(here[0], 'L')} there is"
        hint = "the share or the volume that was really changed"
        f.fault("out-of-range", f"--{ways[0]}", text, hint)
    if f.get("to-depth") is not None:
        if whole:
            f.fault("wrong-kind", "--to-depth", "a depth is of one vessel", "name the vessel")
        else:
            _to_depth(f, facts.vessel(subject.id))
    f.stop_if_faulty()
    f.extra["whole_system"] = whole
    if f.get("percent") is not None:
        f.extra["share"] = float(f.get("percent").value) / 100
    f.answer |= {"changed_l": out_l, "share": out_l / here[0] if here[0] else 0.0}
    system = subject if isinstance(subject, System) else facts.system_of(facts.vessel(subject.id))
    f.answer["residue"] = after_change(
        f.book, _without(system, f.entry), f.when, _events(f, system, out_l), f.notes
    )


def _without(system: System, entry: int | None) -> System:
    """The system as if the entry that is corrected had never been written."""
    return replace(system, water=[w for w in system.water if w.entry != entry])


def _events(f: Filling, system: System, out_l: float) -> list[WaterEvent]:
    """What the change does to the system's water, as the fold will have it."""
    vessels = [f.book.facts.vessel(v) for v in system.vessels]
    all_l = together(vessels)[0]
    salt = f.get("salt")
    new_salt = float(salt.value) if salt is not None else 0.0
    event: Event
    if f.get("out") is not None:
        event = Changed(f.when, out_l=out_l, in_l=float(f.get("in").value))
    else:
        event = Changed(f.when, share=min(1.0, out_l / all_l) if all_l else 0.0)
    found = [WaterEvent(NEWEST, event, new_salt)]
    if "to_depth_cm" in f.extra:
        depth = Size(**f.extra["to_depth_cm"])
        changed = f.refs["subject"]
        at_last = [replace(v, depth=depth) if v.id == changed else v for v in vessels]
        found.append(WaterEvent(NEWEST, Regauged(f.when, *together(at_last))))
    return found


NEWEST = 2**62
"""Stands for the number the entry will get: after everything that is written."""


def _out_litres(f: Filling, here_l: float) -> float:
    if f.get("percent") is not None:
        return here_l * float(f.get("percent").value) / 100
    return float((f.get("volume") or f.get("out")).value)


def _to_depth(f: Filling, vessel: Vessel) -> None:
    f.extra["to_depth_cm"] = kept_size(f, "to-depth")
    found = at_line(vessel, Size(**f.extra["to_depth_cm"]))
    if isinstance(found, Problem):
        f.problems.append(found.placed("--to-depth"))


FORMS = (
    Form(
        "change",
        "a water change",
        (
            Field("subject", AThing(("vessel", "system")), "vessel or water system", True, True),
            Field("volume", AQuantity("volume"), "taken out and put back"),
            Field("percent", AQuantity("percent"), "of the water that is there"),
            Field("out", AQuantity("volume"), "taken out"),
            Field("in", AQuantity("volume"), "put in"),
            Field("to-depth", AQuantity("length"), "the waterline afterwards"),
            Field("temp", AQuantity("temperature"), "of the new water"),
            Field("salt", AQuantity("salt"), "in the new water"),
        ),
        _change,
    ),
)
