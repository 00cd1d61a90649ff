"""Forms for the way across: the choice, its steps, the readings on the way."""

from __future__ import annotations

from intake.flows.crossing import as_foretold, worked_out
from intake.flows.crossing_open import told_keys
from intake.flows.crossing_run import crossing
from intake.flows.crossing_state import Crossing
from intake.flows.facts.things import Bag, Box, Vessel
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import AThing, Choice
from intake.flows.forms.readings import KIT_FIELD, read_values, reading_fields
from intake.flows.forms.shipments import BAG, BOX, box_thing, one_bag
from intake.flows.usage import Usage
from intake.science.acclimation_options import Option
from intake.science.problem import Refused

WAYS = ("float-and-lift", "drip", "drip-with-binder", "match-water")
"""The ways across, as the answer to `acclimate` names them."""
STEPS = ("next", "hold", "go-on")


def _meant(f: Filling) -> tuple[Box, Bag]:
    """The bag the entry is about, noted in it."""
    box = box_thing(f, make=False)
    bag = one_bag(f, box) if box else None
    f.stop_if_faulty()
    assert box is not None
    assert bag is not None
    f.refs["box"] = box.id
    f.extra["number"] = bag.number
    f.answer["bag"] = bag.number
    return box, bag


def _acclimation(f: Filling) -> None:
    box, bag = _meant(f)
    vessel = f.thing("vessel")
    assert isinstance(vessel, Vessel)
    try:
        answer = worked_out(f.book, box, bag, vessel, f.when)
    except Refused as no_such:
        f.notes.assumptions.append(f"the ways could not be compared: {no_such.text}")
        return
    f.notes.assumptions += answer.assumed
    _bears(f, answer.option(f.get("chosen")))
    f.extra["offered"] = answer.choice
    f.answer["offered"] = answer.choice
    limits = f.book.shelf.water.acclimation()
    temp_read = "temp" in bag.content.get("read", {})
    f.extra["run"] = as_foretold(
        answer, f.get("chosen"), limits, temp_read=temp_read, there_read="temp" in vessel.readings
    )
    f.notes.because.append(answer.reason)
    if f.get("chosen") != answer.choice:
        f.notes.because.append(f"the keeper chose {f.get('chosen')}: {f.why or 'no reason given'}")


def _bears(f: Filling, way: Option) -> None:
    """A way the bag's water cannot bear is not begun; one that is over already is written down."""
    if way.possible or f.entry is not None or f.when < f.book.now:
        return
    raise Refused(
        "out-of-condition",
        way.steps[0],
        source="each mole of ammonia bound takes one equivalent of alkalinity",
        way_out="take another way across",
    )


def _checkpoint(f: Filling) -> None:
    if f.get("temp") is None and f.get("ph") is None:
        raise Usage("nothing was read: give --temp or --ph")
    _, bag = _meant(f)
    f.extra["read"] = read_values(f, ("temp", "ph"))
    if f.entry is not None or not f.extra["read"]:
        return
    now = crossing(f.book, bag, also=(f.when, f.extra["read"]))
    if now is not None:
        f.answer |= told_keys(now)
        f.answer["ends"] = now.ends.astimezone(f.book.facts.zone).isoformat()
        said = [c.said for c in now.checks if c.at == f.when and c.said]
        f.notes.because += [*said, *now.replanned, *now.learned]


def _step(f: Filling) -> None:
    _, bag = _meant(f)
    known = crossing(f.book, bag)
    if known is None:
        hint = "intake record acclimation"
        f.fault("no-such-name", "--bag", "no way across is chosen yet", hint)
    elif f.entry is None:
        _may_step(f, known)
    f.stop_if_faulty()
    if known is None or f.entry is not None:
        return
    now = crossing(f.book, bag, pressed=(f.when, f.get("what")))
    assert now is not None
    f.answer |= {
        "step": now.now + 1,
        "text": "" if now.over else now.steps[now.now],
        "holding": now.holding,
        "ends": None if now.over else now.ends.astimezone(f.book.facts.zone).isoformat(),
    }


def _may_step(f: Filling, known: Crossing) -> None:
    what = f.get("what")
    if known.over:
        hint = "name the fish: intake record fish"
        f.fault("out-of-range", "--what", "every step is done", hint)
    elif what == "hold" and known.holding:
        f.fault("out-of-range", "--what", "it is held already", "go-on, or next")
    elif what == "go-on" and not known.holding:
        f.fault("out-of-range", "--what", "it is not held", "hold, or next")


FORMS = (
    Form(
        "acclimation",
        "the way across that was chosen",
        (
            BOX,
            BAG,
            Field("chosen", Choice(WAYS), "the way across", required=True),
            Field("vessel", AThing(("vessel",)), "where they go", required=True),
        ),
        _acclimation,
    ),
    Form(
        "step",
        "the next step of the way across, or a hold",
        (
            BOX,
            BAG,
            Field("what", Choice(STEPS), "next (this one is done), hold or go-on", required=True),
        ),
        _step,
    ),
    Form(
        "checkpoint",
        "a reading on the way across",
        (BOX, BAG, *reading_fields("temp", "ph"), KIT_FIELD),
        _checkpoint,
    ),
)
