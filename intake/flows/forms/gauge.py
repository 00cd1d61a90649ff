"""Forms for a vessel's water found another way, and for the way that is settled on."""

from __future__ import annotations

from typing import Any

from intake.flows.facts.steps.gauging import salt_known
from intake.flows.facts.things import Kit, Vessel
from intake.flows.facts.volumes import at_line
from intake.flows.facts.ways import WAYS as METHOD_NAMES
from intake.flows.facts.ways import known_ways
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import AText, AThing, Choice
from intake.flows.salt_steps import refuse_disturbed, step_for, too_early
from intake.flows.sizes import read_sizes
from intake.science.figures import figure
from intake.science.meter import MeterError, read_error
from intake.science.problem import Problem
from intake.science.volume import SHAPES, TrueVolume, compare, true_volume

WAYS = tuple(name for name, shape in SHAPES.items() if shape.family == "gauge")
"""The ways of gauging, in the order they are offered."""
SIZES = tuple({s.name: s for way in WAYS for s in SHAPES[way].sizes}.values())
BY_SALT = "by-salt"


def meter_of(f: Filling) -> MeterError | None:
    """How far the meter named can be off, None where nobody said."""
    kit = f.get("kit")
    if not isinstance(kit, Kit) or not kit.error:
        return None
    found = read_error(kit.error, comma=f.book.facts.comma)
    return None if isinstance(found, Problem) else found


def own_water(f: Filling, vessel: Vessel) -> None:
    """A fault where salt would tell the water of other vessels too."""
    others = [v for v in f.book.facts.system_of(vessel).vessels if v != vessel.id]
    if others and f.entry is None:
        names = ", ".join(f.book.facts.vessel(v).name for v in others)
        text = f"{vessel.name} shares its water with {names}: salt tells all of it together"
        f.fault("wrong-kind", "VESSEL", text, "isolate it first, or measure each by itself")
    f.stop_if_faulty()


def _gauge(f: Filling) -> None:
    vessel = f.thing("vessel")
    assert isinstance(vessel, Vessel)
    facts = f.book.facts
    typed = {s.name: f.typed[s.name] for s in SIZES if s.name in f.typed}
    way = SHAPES[f.get("way")]
    if way.name == BY_SALT:
        own_water(f, vessel)
        typed = _from_step(f, vessel, typed)
    sizes = read_sizes(way, typed, tape_cm=facts.tape_cm, comma=facts.comma, meter=meter_of(f))
    f.notes.assumptions += sizes.assumptions
    found = true_volume(way.name, sizes.sizes, **sizes.lists)
    if isinstance(found, Problem):
        f.problems.append(found if found.path else found.placed("WAY"))
    f.stop_if_faulty()
    assert not isinstance(found, Problem)
    f.extra |= {
        "sizes": sizes.kept()["sizes"],
        "volume_l": found.volume_l,
        "volume_l_low": found.low_l,
        "volume_l_high": found.high_l,
    }
    f.notes.assumptions += found.assumptions
    f.notes.warnings += found.warnings
    f.answer |= {name: f.extra[name] for name in ("volume_l", "volume_l_low", "volume_l_high")}
    if way.name == BY_SALT and "step" not in f.extra:
        _salt_counts(f, vessel)
    _compared(f, vessel, found)


def _from_step(f: Filling, vessel: Vessel, typed: dict[str, Any]) -> dict[str, Any]:
    """The salt and the reading before from the step that waits, where none are typed."""
    step = step_for(vessel, f.when, f.entry)
    if step is None or "salt" in typed or "before" in typed:
        return typed
    doubt = refuse_disturbed(f.book.facts, vessel, step, f.when)
    if doubt:
        f.notes.warn("volume-doubtful", doubt)
    if too_early(step, f.when):
        f.notes.warn(
            "volume-doubtful",
            f"the salt went in {f.book.facts.local(step.at)}: it takes a day to mix, read again",
        )
    if f.get("kit") is None and step.kit:
        kit = f.book.facts.find(step.kit, ("kit",), f.when)
        if isinstance(kit, Kit):
            f.values["kit"] = kit
    f.extra["step"] = step.entry
    f.notes.because.append(f"salt and the reading before are those of entry {step.entry}")
    return {**step.typed, **typed}


def _salt_counts(f: Filling, vessel: Vessel) -> None:
    """Says where the salt of a gauging is counted: once, and against the limits."""
    from intake.flows.forms.every import FORMS as EVERY

    system = f.book.facts.system_of(vessel)
    grams = f.extra["sizes"]["salt"]["value"]
    if f.entry is not None:
        return
    known = salt_known(system, vessel, grams, f.when)
    if known:
        f.notes.assume(f"its salt is taken to be that of entry {known}, counted there already")
        return
    f.notes.assume("its salt is counted as in this water from now on; no entry before told of it")
    typed = {"system": vessel.name, "treatment": "salt", "amount": f"{grams!r} g"}
    field = EVERY["given"].field("amount")
    assert field is not None
    from intake.flows.forms.readers import Asked

    amount = field.read.read(typed["amount"], Asked(f.book, f.when, typed))
    values = {"system": system, "treatment": "salt", "amount": amount}
    given = Filling(f.book, f.when, f.why, values, typed)
    EVERY["given"].build(given)
    f.extra["broke"] = given.extra["broke"]
    f.notes.warnings += [w for w in given.notes.warnings if w not in f.notes.warnings]


def _compared(f: Filling, vessel: Vessel, found: TrueVolume) -> None:
    """How it stands to what the vessel's own sizes say at today's line."""
    own = at_line(vessel)
    if isinstance(own, Problem):
        return
    both = compare(own, found)
    f.answer |= {"gap_l": both.gap_l, "normalised": both.normalised, "agree": both.agree}
    f.notes.warnings += both.warnings
    word = "agree" if both.agree else "do not agree"
    f.notes.because.append(
        f"{own.method} and {found.method} {word}: the gap is {figure(both.normalised, 2)} of "
        "what their doubts allow; limits use the smaller"
    )
    if vessel.settled is not None:
        f.notes.warn("volume-doubtful", f"{vessel.name} was settled; this opens it again")


def _settle(f: Filling) -> None:
    vessel = f.thing("vessel")
    assert isinstance(vessel, Vessel)
    known = known_ways(vessel)
    way = f.get("way")
    if way not in known:
        there = ", ".join(known) or "none"
        text = f"{vessel.name} was not found by {way}"
        f.fault("no-such-name", "--way", text, f"there is {there}")
    f.stop_if_faulty()
    f.extra["ways"] = known
    f.answer["way"] = way
    others = ", ".join(f"{name} {figure(litres, 4)} L" for name, litres in known.items())
    f.notes.because.append(
        f"{way} is the water of {vessel.name} from now on ({others}); sizes measured again or "
        "a new gauging open it again"
    )


VESSEL = Field("vessel", AThing(("vessel",)), "the vessel", positional=True, required=True)
KIT = Field("kit", AThing(("kit",)), "the meter, for how far it can be off")

FORMS = (
    Form(
        "gauge",
        "a vessel's water found another way",
        (
            VESSEL,
            Field("way", Choice(WAYS), "how it was found", positional=True, required=True),
            *(Field(s.option, AText(), s.how) for s in SIZES),
            KIT,
        ),
        _gauge,
    ),
    Form(
        "settle",
        "which of several ways is the vessel's water",
        (VESSEL, Field("way", Choice(METHOD_NAMES), "the way that holds", required=True)),
        _settle,
        needs_why=True,
    ),
)
