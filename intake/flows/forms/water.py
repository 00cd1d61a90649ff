"""Forms for water: vessels, levels, tests, changes."""

from __future__ import annotations

from typing import Any

from intake.flows.facts.things import System, Vessel
from intake.flows.facts.volumes import at_line, has_depth, together
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import (
    ACount,
    AName,
    AQuantity,
    ATan,
    AText,
    AThing,
    AWater,
    Choice,
    NewName,
    kept_quantity,
)
from intake.flows.residues import after_change
from intake.flows.sizes import options, read_sizes
from intake.flows.usage import Usage
from intake.science.problem import Problem
from intake.science.quantity import dilute, read_quantity
from intake.science.spread import Size
from intake.science.volume import SHAPES, true_volume

ZONES = ("eggs", "fry", "resident", "cleared", "quarantine", "hospital")


def _kept_size(q: Any, tape_cm: float) -> dict[str, float]:
    half = float(q.half) if q.half is not None else tape_cm / 2
    return {"value": float(q.value), "half": half}


def _vessel(f: Filling) -> None:
    facts = f.book.facts
    shape = SHAPES[f.get("shape")]
    typed = {k: v for k, v in f.typed.items() if k in SIZE_KEYS or k == "unit"}
    sizes = read_sizes(shape, typed, tape_cm=facts.tape_cm, comma=facts.comma)
    f.notes.assumptions += sizes.assumptions
    lists = sizes.lists
    if f.get("height") is not None:
        f.extra["height_cm"] = _kept_size(f.get("height"), facts.tape_cm)
        lists["height"] = Size(**f.extra["height_cm"])
    found = true_volume(shape.name, sizes.sizes, sizes.within(), **lists)
    if isinstance(found, Problem):
        f.problems.append(found if found.path else found.placed("SHAPE"))
    _system_name(f)
    f.stop_if_faulty()
    assert not isinstance(found, Problem)
    f.extra |= sizes.kept()
    f.extra["volume_l"] = found.volume_l
    f.notes.assumptions += found.assumptions
    f.notes.warnings += found.warnings
    f.answer |= {
        "volume_l": found.volume_l,
        "volume_l_low": found.low_l,
        "volume_l_high": found.high_l,
        "doubt_from": found.doubt_from,
    }


def _system_name(f: Filling) -> None:
    name, facts = f.get("system"), f.book.facts
    if name is None or any(s.name == name and s.present for s in facts.systems.values()):
        return
    taken = None if name == f.get("name") else facts.name_taken(name, but=f.entry)
    if taken is not None:
        f.problems.append(taken.placed("--system"))


def _level(f: Filling) -> None:
    vessel = f.thing("vessel")
    assert isinstance(vessel, Vessel)
    if (f.get("depth") is None) == (not f.get("at-mark")):
        raise Usage("give --depth or --at-mark, one of them")
    if not has_depth(vessel):
        f.fault("wrong-kind", "VESSEL", f"{vessel.name} was gauged without a depth")
    f.stop_if_faulty()
    line = vessel.mark
    if f.get("depth") is not None:
        f.extra["depth_cm"] = _kept_size(f.get("depth"), f.book.facts.tape_cm)
        line = Size(**f.extra["depth_cm"])
    found = at_line(vessel, line)
    if isinstance(found, Problem):
        f.problems.append(found.placed("--depth"))
    f.stop_if_faulty()
    assert not isinstance(found, Problem)
    f.answer |= {
        "volume_l": found.volume_l,
        "volume_l_low": found.low_l,
        "volume_l_high": found.high_l,
    }


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
}
"""What a water test may read, and the kind of quantity it is."""


def reading_fields(*names: str) -> tuple[Field, ...]:
    """A field for each of these readings."""
    return tuple(
        Field(n, ATan() if n == "tan" else AQuantity(READINGS[n]), f"{n} as read") for n in names
    )


KIT_FIELDS = (
    Field("kit", AThing(("kit",)), "the kit or meter it was read with"),
    Field("diluted", ACount(1), "the TAN sample was 1 part in so many"),
)


def read_values(f: Filling, names: tuple[str, ...]) -> dict[str, Any]:
    """The readings given, as kept, with the dilution of the TAN sample undone."""
    read: dict[str, Any] = {}
    for name in names:
        value = f.get(name)
        if value is None:
            continue
        if value.value is None and value.band:
            f.notes.warn("kit-cannot-show", f"{name} could not be read")
            continue
        if name == "tan" and f.get("diluted"):
            value = dilute(value, f.get("diluted"))
        if value.high is None or value.low is None:
            f.notes.warn(
                "kit-cannot-show",
                f"{name} {value.text}: the kit shows no further; dilute and read",
            )
        read[name.replace("-", "_")] = kept_quantity(value)
    return read


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
    f.answer["read"] = {name: kept["value"] for name, kept in read.items()}


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
        option = f"--{ways[0]}"
        f.fault(
            "out-of-range",
            option,
            f"{out_l:.4g} L is more than the {here[0]:.4g} L there is",
            "the share or the volume that was really changed",
        )
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
    all_l = together(facts.vessel(v) for v in system.vessels)[0]
    if all_l:
        salt = f.get("salt")
        new_salt = float(salt.value) if salt is not None else 0.0
        share = min(1.0, out_l / all_l)
        f.answer["residue"] = after_change(f.book, system, f.when, share, new_salt, f.notes)


def _out_litres(f: Filling, here_l: float) -> float:
    if f.get("percent") is not None:
        return here_l * float(f.get("percent").value) / 100
    return float((f.get("volume") or f.get("out")).value)


def _to_depth(f: Filling, vessel: Vessel) -> None:
    f.extra["to_depth_cm"] = _kept_size(f.get("to-depth"), f.book.facts.tape_cm)
    found = at_line(vessel, Size(**f.extra["to_depth_cm"]))
    if isinstance(found, Problem):
        f.problems.append(found.placed("--to-depth"))


def _equipment(f: Filling) -> None:
    if not any(f.get(n) for n in ("air", "carbon", "uv", "heater", "sponge")):
        raise Usage("nothing was changed: give --air, --carbon, --uv, --heater or --sponge")


def _simple(f: Filling) -> None:
    f.stop_if_faulty()


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
        "level",
        "today's waterline",
        (
            VESSEL,
            Field("depth", AQuantity("length"), "from the floor up to the waterline"),
            Field("at-mark", Choice(("yes",)), "the depth it was recorded with", flag=True),
        ),
        _level,
    ),
    Form(
        "top-up",
        "replaced evaporation",
        (VESSEL, Field("volume", AQuantity("volume"), "what went in", required=True)),
        _simple,
    ),
    Form(
        "reading",
        "a water test",
        (WATER, *reading_fields(*READINGS), *KIT_FIELDS),
        _reading,
    ),
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
        _simple,
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
        _simple,
    ),
)
