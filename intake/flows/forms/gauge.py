"""The form for a vessel's water found another way: by the bucket, a flow, a salt step."""

from __future__ import annotations

from intake.flows.facts.things import Vessel
from intake.flows.facts.volumes import at_line
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import AText, AThing, Choice
from intake.flows.sizes import read_sizes
from intake.science.figures import figure
from intake.science.problem import Problem
from intake.science.volume import SHAPES, TrueVolume, compare, true_volume

WAYS = tuple(name for name, shape in SHAPES.items() if shape.family == "gauge")
"""The ways of gauging, in the order they are offered."""
SIZES = tuple({s.name: s for way in WAYS for s in SHAPES[way].sizes}.values())


def _gauge(f: Filling) -> None:
    vessel = f.thing("vessel")
    assert isinstance(vessel, Vessel)
    facts = f.book.facts
    typed = {s.name: f.typed[s.name] for s in SIZES if s.name in f.typed}
    way = SHAPES[f.get("way")]
    sizes = read_sizes(way, typed, tape_cm=facts.tape_cm, comma=facts.comma)
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
    _compared(f, vessel, found)


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


FORMS = (
    Form(
        "gauge",
        "a vessel's water found another way",
        (
            Field("vessel", AThing(("vessel",)), "the vessel", positional=True, required=True),
            Field("way", Choice(WAYS), "how it was found", positional=True, required=True),
            *(Field(s.option, AText(), s.how) for s in SIZES),
        ),
        _gauge,
    ),
)
