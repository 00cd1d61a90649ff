"""Forms for the room itself: people, tools, kits, products."""

from __future__ import annotations

from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import (
    ADate,
    AName,
    AQuantity,
    Asked,
    AStrength,
    AText,
    ATreatment,
    Choice,
)
from intake.flows.kits import split_words, unknown_words
from intake.flows.names import unknown
from intake.flows.strengths import stated, strength_of
from intake.science.amount import counted
from intake.science.kit import TESTS, read_steps
from intake.science.meter import read_error
from intake.science.problem import Problem, Refused
from intake.science.shelf_life import read_keeps


def _keeper(f: Filling) -> None:
    if f.get("name") in f.book.facts.keepers and f.entry is None:
        f.fault("name-taken", "NAME", f"'{f.get('name')}' is a keeper of this room already")
    f.stop_if_faulty()


def _named(kind: str, option: str) -> object:
    def build(f: Filling) -> None:
        name = f.get("name")
        others = (t for t in f.book.facts.things.values() if t.kind == kind and t.id != f.entry)
        if any(t.name == name for t in others):
            f.fault("name-taken", option, f"there is a {kind} '{name}' already")
        f.stop_if_faulty()

    return build


def _tool(f: Filling) -> None:
    step = f.get("step")
    if step.value is not None and step.band:
        f.fault("wrong-kind", "STEP", f"'{step.text}' is not one step", 'write it like "0.1 g"')
    _named("tool", "--name")(f)  # type: ignore[operator]


def _kit(f: Filling) -> None:
    """A kit; words of its leaflet that name no treatment cannot warn of anything."""
    for word in unknown_words(f.book, split_words(f.get("fooled-by") or "")):
        f.notes.assume(f"'{word}' is no treatment known here: nothing is warned of by itself")
    _named("kit", "NAME")(f)  # type: ignore[operator]


class ASteps(AText):
    """Colour steps of a kit, of one test or named for several."""

    def read(self, text: str, asked: Asked) -> str | Problem:
        found = read_steps(text, comma=asked.book.facts.comma)
        return found if isinstance(found, Problem) else text


class ATests(AText):
    """What a kit tests, commas between."""

    def read(self, text: str, asked: Asked) -> str | Problem:  # noqa: ARG002
        for word in text.split(","):
            if word.strip() not in TESTS:
                return unknown(word.strip(), TESTS, "something a kit tests")
        return text


class AMeterError(AText):
    """How far a meter can be off, in per cent, in its unit, or both with a plus."""

    def read(self, text: str, asked: Asked) -> str | Problem:
        found = read_error(text, comma=asked.book.facts.comma)
        return found if isinstance(found, Problem) else text


class AKeeps(AText):
    """How long something keeps once opened, as its label says it."""

    def read(self, text: str, asked: Asked) -> str | Problem:  # noqa: ARG002
        found = read_keeps(text)
        return found if isinstance(found, Problem) else text


def _product(f: Filling) -> None:
    """A product; a strength its protocol does not know is said before it is ever dosed."""
    treatment = f.book.shelf.treatments[f.get("treatment")]
    found = strength_of(treatment, f.get("strength"))
    if isinstance(found, Problem):
        f.problems.append(found)
        f.stop_if_faulty()
        return
    try:
        counted(treatment, stated(found))
    except Refused as refusal:
        f.notes.warn(refusal.code, f"{refusal.text}; {refusal.way_out}")
    if f.get("keeps-opened") is not None and f.get("opened") is None:
        f.notes.assume("not opened yet: say --opened when it is, from then on it counts")


FORMS = (
    Form(
        "keeper",
        "somebody who records in this room",
        (Field("name", AName(), "the name", positional=True, required=True),),
        _keeper,
    ),
    Form(
        "person",
        "a vet, lab, seller, helper or authority",
        (
            Field("name", AName(), "the name", positional=True, required=True),
            Field("role", Choice(("vet", "lab", "seller", "helper", "authority")), required=True),
            Field("phone", AText(), "how to reach them"),
        ),
        _named("person", "NAME"),  # type: ignore[arg-type]
    ),
    Form(
        "tool",
        "a scale or syringe and its smallest step",
        (
            Field("step", AQuantity("amount"), 'its step, like "0.1 g"', True, True),
            Field("name", AName(), "what you call it", required=True),
        ),
        _tool,
    ),
    Form(
        "kit",
        "a test kit or meter",
        (
            Field("name", AName(), "what you call it", positional=True, required=True),
            Field("tests", ATests(), "what it tests: tan, ph, kh ..."),
            Field("reports", Choice(("N", "NH3", "NH4")), "what its ammonia is counted as"),
            Field("steps", ASteps(), "its colour steps"),
            Field("expires", ADate(), "printed on the box"),
            Field("fooled-by", AText(), "what spoils its reading"),
            Field("error", AMeterError(), 'of a meter, as its maker states it: "1 % + 5 uS/cm"'),
        ),
        _kit,
    ),
    Form(
        "product",
        "a bottle or packet on the shelf",
        (
            Field("treatment", ATreatment(), "which protocol it belongs to", True, True),
            Field("strength", AStrength(), "as it stands on the label", required=True),
            Field("name", AName(), "what the label calls it"),
            Field("batch", AText(), "batch number"),
            Field("expires", ADate(), "printed on it"),
            Field("opened", ADate(past=True), "when you opened it"),
            Field("keeps-opened", AKeeps(), 'how long it keeps once opened: "6 months"'),
        ),
        _product,
    ),
)
