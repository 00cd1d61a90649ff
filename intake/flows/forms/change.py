"""The form for a water change, and what it leaves of every treatment."""

from __future__ import annotations

from dataclasses import replace

from intake.flows.change_here import foretell
from intake.flows.facts.happened import WaterEvent
from intake.flows.facts.steps.changes import changed, refilled
from intake.flows.facts.things import System, Thing, Vessel
from intake.flows.facts.volumes import at_line, share_of, water_of
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.kits import ATan
from intake.flows.forms.readers import AQuantity, AText, AThing
from intake.flows.forms.water import kept_size
from intake.flows.line_words import litres_said
from intake.flows.read_waters import NewWater, ends
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
    here = _here(f, subject)
    out_l = _out_litres(f, here[0])
    if out_l > here[2]:
        text = f"{show(out_l, 'L')} is more than the {litres_said(*here)} there is"
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
    f.answer |= dict(zip(("volume_l", "volume_l_low", "volume_l_high"), here, strict=True))
    system = subject if isinstance(subject, System) else facts.system_of(facts.vessel(subject.id))
    events = _events(f, system)
    f.answer["residue"] = after_change(f.book, _without(system, f.entry), f.when, events, f.notes)
    _foretold(f, system, events[0].event)


def _foretold(f: Filling, system: System, event: Event) -> None:
    """What it makes of pH and ammonia, kept with it as it was worked out then."""
    subject = f.thing("subject")
    temp, ph, kh, tan = (ends(f.get(n), n) for n in ("temp", "ph", "kh", "tan"))
    salt = None if f.get("salt") is None else float(f.get("salt").value)
    new = NewWater(temp, salt, ph, kh, tan, bool(f.get("dechlorinated")))
    all_l = water_of(system, [f.book.facts.vessel(v) for v in system.vessels])[0]
    vessel = subject if isinstance(subject, Vessel) else None
    told = foretell(f.book, system, vessel, f.when, _new_share(event, all_l), f.notes, new)
    f.answer |= told
    if told["after"] is not None:
        f.extra["after"] = told["after"]


def _new_share(event: Event, all_l: float) -> float:
    """The share of the water that is new afterwards."""
    if not isinstance(event, Changed):
        return 0.0
    if event.share is not None:
        return event.share
    left_l = max(0.0, all_l - event.out_l)
    return event.in_l / (left_l + event.in_l) if left_l + event.in_l > 0.0 else 0.0


def _here(f: Filling, subject: Thing) -> tuple[float, float, float]:
    """The water that is changed: all of a system, or what stands in one vessel."""
    facts = f.book.facts
    vessel = subject if isinstance(subject, Vessel) else None
    system = subject if isinstance(subject, System) else facts.system_of(facts.vessel(subject.id))
    return share_of(system, [facts.vessel(v) for v in system.vessels], vessel)


def _without(system: System, entry: int | None) -> System:
    """The system as if the entry that is corrected had never been written."""
    return replace(system, water=[w for w in system.water if w.entry != entry])


def _events(f: Filling, system: System) -> list[WaterEvent]:
    """What the change does to the system's water, as the fold will have it."""
    vessels = [f.book.facts.vessel(v) for v in system.vessels]
    subject = f.thing("subject")
    here = [subject] if isinstance(subject, Vessel) else vessels
    all_l = water_of(system, vessels)[0]
    salt = f.get("salt")
    new_salt = float(salt.value) if salt is not None else 0.0
    ways = ("volume", "out", "in")
    kept = {n: {"value": f.get(n).value} for n in ways if f.get(n) is not None} | f.extra
    event = changed(f.when, kept, _here(f, subject)[0], all_l)
    if "to_depth_cm" not in f.extra:
        return [WaterEvent(NEWEST, event, new_salt)]
    depth = Size(**f.extra["to_depth_cm"])
    at_last = [replace(v, depth=depth, off_l=0.0) if v in here else v for v in vessels]
    after = water_of(system, at_last)
    event = refilled(event, all_l, after[0], kept)
    found = [WaterEvent(NEWEST, event, new_salt), WaterEvent(NEWEST, Regauged(f.when, *after))]
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
            Field("out", AQuantity("volume", zero=True), "taken out"),
            Field("in", AQuantity("volume", zero=True), "put in"),
            Field("to-depth", AQuantity("length"), "the waterline afterwards"),
            Field("temp", AQuantity("temperature"), "of the new water"),
            Field("salt", AQuantity("salt"), "in the new water"),
            Field("kh", AQuantity("alkalinity"), "of the new water, where it is not the tap's"),
            Field("ph", AQuantity("ph"), "of the new water"),
            Field("tan", ATan(), "in the new water"),
            Field("dechlorinated", AText(), "chlorine was taken out of the new water", flag=True),
        ),
        _change,
        protocols=True,
    ),
)
