"""Forms for water: vessels, levels, tests, changes."""

from __future__ import annotations

from typing import Any

from intake.flows.chilled import warn_of_fall
from intake.flows.close_quarters import ask_if_close, living_there
from intake.flows.drags import contact_drags
from intake.flows.facts.things import System, Vessel
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import (
    AName,
    AQuantity,
    AText,
    AThing,
    AWater,
    Choice,
    NewName,
)
from intake.flows.forms.readings import (
    KIT_FIELDS,
    READINGS,
    read_keys,
    read_values,
    reading_fields,
)
from intake.flows.size_doubts import half_a_step
from intake.flows.sizes import options, read_sizes
from intake.flows.trade_sizes import rim
from intake.flows.usage import Usage
from intake.science.problem import Problem
from intake.science.quantity import read_quantity
from intake.science.show import show
from intake.science.spread import Size
from intake.science.volume import SHAPES, true_volume
from intake.science.volume.notes import NO_SUMP

ZONES = ("eggs", "fry", "resident", "cleared", "quarantine", "hospital")


def kept_size(f: Filling, name: str) -> dict[str, float]:
    """The length typed for a field as the journal keeps it; half a step of the tape is told."""
    q, tape_cm = f.get(name), f.book.facts.tape_cm
    if q.half is not None:
        return {"value": float(q.value), "half": float(q.half)}
    f.notes.assume(half_a_step(tape_cm / 2))
    return {"value": float(q.value), "half": tape_cm / 2}


def _vessel(f: Filling) -> None:
    facts = f.book.facts
    shape = SHAPES[f.get("shape")]
    typed = {k: v for k, v in f.typed.items() if k in SIZE_KEYS or k == "unit"}
    sizes = read_sizes(shape, typed, tape_cm=facts.tape_cm, comma=facts.comma)
    f.notes.assumptions += sizes.assumptions
    lists = sizes.lists
    height = (
        kept_size(f, "height")
        if f.get("height")
        else rim(str(typed.get("trade", "")), facts.tape_cm)
    )
    if height is not None:
        f.extra["height_cm"] = height
        lists["height"] = Size(**height)
    found = true_volume(shape.name, sizes.sizes, sizes.within(), **lists)
    if isinstance(found, Problem):
        f.problems.append(found if found.path else found.placed("SHAPE"))
    _system_name(f)
    f.stop_if_faulty()
    assert not isinstance(found, Problem)
    f.extra |= sizes.kept()
    f.extra["volume_l"] = found.volume_l
    f.notes.assumptions += _of_its_system(f, found.assumptions)
    f.notes.warnings += found.warnings
    if f.entry is not None:
        ask_if_close(f.notes, found.volume_l, living_there(facts, f.entry))
    f.answer |= {
        "volume_l": found.volume_l,
        "volume_l_low": found.low_l,
        "volume_l_high": found.high_l,
        "own_l": found.volume_l - found.connected_l,
        "connected_l": found.connected_l,
        "doubt_from": found.doubt_from,
    }
    _connected_twice(f)


def _of_its_system(f: Filling, said: tuple[str, ...]) -> list[str]:
    """What is taken for granted, where the sump of its system was named with another vessel."""
    name = f.get("system")
    system = next((s for s in f.book.facts.waters() if name and s.name == name), None)
    named = system is not None and any(id_ != f.entry for id_ in system.connected)
    return [
        f"connected water: as named with another vessel of {name}"
        if text == NO_SUMP and named
        else text
        for text in said
    ]


def _connected_twice(f: Filling) -> None:
    """Warns where the sump of this system was named with another of its vessels already."""
    name, facts = f.get("system"), f.book.facts
    system = next((s for s in facts.waters() if name and s.name == name), None)
    if f.get("connected") is None or system is None:
        return
    for id_, size in system.connected.items():
        if id_ != f.entry:
            f.notes.warn(
                "volume-doubtful",
                f"connected water of {name} was named with {facts.vessel(id_).name} already, "
                f"{show(size.value, 'L')}: the larger figure counts, once; give all sump and "
                "pipe water with one vessel",
            )


def _system_name(f: Filling) -> None:
    name, facts = f.get("system"), f.book.facts
    there = next((s for s in facts.waters() if name and s.name == name), None)
    first = facts.things.get(there.id) if there is not None else None
    if isinstance(first, Vessel) and first.id != f.entry and "system" not in first.content:
        f.extra["with_vessel"] = first.id
    if name is None or there is not None:
        return
    taken = None if name == f.get("name") else facts.name_taken(name, but=f.entry)
    if taken is not None:
        f.problems.append(taken.placed("--system"))


def _reading(f: Filling) -> None:
    read = read_values(f, tuple(READINGS))
    given = [n for n in READINGS if f.get(n) is not None]
    if not given:
        raise Usage("nothing was read: give --temp, --ph, --tan ...")
    low, high = f.get("temp-min"), f.get("temp-max")
    if low is not None and high is not None and low.value > high.value:
        f.fault("out-of-range", "--temp-min", "the lowest is above the highest temperature")
    f.stop_if_faulty()
    f.extra["read"] = read
    f.extra["whole_system"] = isinstance(f.get("subject"), System)
    f.answer["read"] = read_keys(read)
    if f.entry is None:
        warn_of_fall(f.book, f.notes, f.thing("subject"), f.when, read)


def _equipment(f: Filling) -> None:
    if not any(f.get(n) for n in ("air", "carbon", "uv", "heater", "sponge")):
        raise Usage("nothing was changed: give --air, --carbon, --uv, --heater or --sponge")


def _feed(f: Filling) -> None:
    f.stop_if_faulty()


def _contact(f: Filling) -> None:
    """Wet contact is between two waters; inside one there is nothing foreign to carry."""
    facts, origin, to = f.book.facts, f.thing("from"), f.thing("to")
    water = facts.system_of(origin) if isinstance(origin, Vessel) else origin
    if water.id == to.id:
        f.fault("out-of-range", "TO", f"{origin.name} and {to.name} are one water", "another one")
    f.stop_if_faulty()
    assert isinstance(to, System)
    assert isinstance(water, System)
    f.answer["drags_in"] = contact_drags(f.book, to, water, f.get("by"), f.when, f.notes)


class AHeater(AText):
    """A heater's setting, or off."""

    def read(self, text: str, asked: Any) -> Any:
        if text == "off":
            return text
        found = read_quantity(text, "temperature", comma=asked.book.facts.comma)
        return found if isinstance(found, Problem) else text


SIZE_KEYS = frozenset(spec.name for spec in options())
VESSEL = Field("vessel", AThing(("vessel",)), "the vessel", positional=True, required=True)
WATER = Field("subject", AWater(("vessel", "system")), "vessel, water system or tap", True, True)

FORMS = (
    Form(
        "vessel",
        "anything that holds water, by its shape and sizes",
        (
            Field("name", NewName(), "what you call it", positional=True, required=True),
            Field("shape", Choice(tuple(SHAPES)), "its shape", positional=True, required=True),
            *(Field(s.option, AText(), s.how, many=s.repeats) for s in options()),
            Field("unit", Choice(("mm", "cm", "m", "in", "ft")), "unit of --points"),
            Field("height", AQuantity("length"), "of the wall, from the floor to the rim"),
            Field("system", AName(), "the water system it shares"),
            Field("zone", Choice(ZONES), "what lives there"),
        ),
        _vessel,
    ),
    Form(
        "reading",
        "a water test",
        (WATER, *reading_fields(*READINGS), *KIT_FIELDS),
        _reading,
    ),
    Form(
        "feed",
        "food given",
        (
            VESSEL,
            Field("amount", AQuantity("mass"), "what was given", required=True),
            Field("food", AText(), "which food"),
            Field("protein", AQuantity("percent"), "from the label"),
            Field("eaten", Choice(("all", "some", "none")), "what became of it"),
        ),
        _feed,
    ),
    Form(
        "equipment",
        "what runs in a vessel",
        (
            VESSEL,
            Field("air", Choice(("on", "off"))),
            Field("carbon", Choice(("in", "out"))),
            Field("uv", Choice(("on", "off"))),
            Field("heater", AHeater(), "its setting, or off"),
            Field("sponge", Choice(("new", "seeded", "cycled", "squeezed"))),
            Field("from", AThing(("vessel",)), "where the sponge was seeded"),
        ),
        _equipment,
    ),
    Form(
        "contact",
        "wet contact between two waters",
        (
            Field("from", AThing(("vessel", "system")), "where it came from", True, True),
            Field("to", AThing(("system",)), "where it went", True, True),
            Field(
                "by",
                Choice(("water", "net", "hose", "sponge", "hands", "back-siphon")),
                required=True,
            ),
        ),
        _contact,
    ),
)
