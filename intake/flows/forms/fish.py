"""Forms for fish and groups: placing, moving, looking, losing."""

from __future__ import annotations

from pathlib import Path

from intake.flows.chilled import warn_of_cold
from intake.flows.close_quarters import ask_if_close, length_cm, living_there
from intake.flows.dosed_water import STAGE_OF_ZONE
from intake.flows.drags import drags_in
from intake.flows.facts.things import Animal, Box, Vessel
from intake.flows.facts.volumes import litres
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.pairs import APair
from intake.flows.forms.readers import (
    ABox,
    ACount,
    ADate,
    AName,
    AQuantity,
    AText,
    AThing,
    ATime,
    Choice,
    NewName,
)
from intake.flows.forms.shipments import one_bag
from intake.flows.usage import Usage
from intake.science.targets import STAGES


def _new(f: Filling) -> None:
    vessel = f.thing("into")
    assert isinstance(vessel, Vessel)
    facts = f.book.facts
    stage = f.get("stage")
    if stage is None:
        stage = STAGE_OF_ZONE.get(vessel.zone, "adult")
        f.notes.assumptions.append(f"stage taken as {stage}")
    f.extra["stage"] = stage
    box = f.get("box")
    source = ""
    if box is not None:
        if isinstance(box, Box):
            bag = one_bag(f, box)
            f.refs["box"] = box.id
            if bag is not None:
                f.extra["bag"] = bag.number
                warn_of_cold(f.book, f.notes, vessel, bag, f.when, f.get("name"))
            source = facts.shipment(box.shipment).seller
        else:
            f.fault("no-such-name", "--box", f"'{box.name}' has no box yet")
    f.stop_if_faulty()
    f.extra["source"] = source
    _enough_water(f, vessel, stage)
    f.answer["drags_in"] = drags_in(
        f.book, vessel, source or f.get("name"), f.notes, when=f.when, box=f.refs.get("box", 0)
    )


def _enough_water(f: Filling, vessel: Vessel, stage: str) -> None:
    typed = f.get("length")
    long_cm = length_cm(stage, None if typed is None else float(typed.value or 0))
    others = living_there(f.book.facts, vessel.id, but=f.entry or 0)
    ask_if_close(f.notes, litres(vessel)[0], [*others, (f.get("count") or 1, long_cm)])


def animal_there(f: Filling) -> Animal:
    animal = f.thing("subject")
    assert isinstance(animal, Animal)
    count = f.get("count")
    if count is not None and count > animal.count and f.entry is None:
        f.fault("out-of-range", "--count", f"there are {animal.count} in '{animal.name}'")
    if not animal.vessel and f.entry is None:
        f.fault("no-such-name", "SUBJECT", f"'{animal.name}' is not in any vessel")
    _where(f, animal)
    return animal


def _where(f: Filling, animal: Animal) -> None:
    """Lets the vessel's history tell what happened to the fish in it."""
    at = [s.vessel for s in animal.stays if s.since <= f.when]
    if at:
        f.refs["there"] = at[-1]


def _measure(f: Filling) -> None:
    stage, subject = f.get("stage"), f.thing("subject")
    if stage is None and f.get("mass") is None and f.get("length") is None:
        raise Usage("nothing was measured: give --mass, --length or --stage")
    assert isinstance(subject, Animal)
    if stage is not None and f.entry is None:
        if STAGES.index(stage) < STAGES.index(subject.stage):
            text = f"{subject.name} is {subject.stage}: nothing grows back to {stage}"
            f.fault("out-of-range", "--stage", text, "correct the entry that says so")
        f.answer["stage_was"] = subject.stage


def _look(f: Filling) -> None:
    signs = f.book.shelf.signs
    subject = f.thing("subject")
    seen = f.get("sign") or []
    names = [sign for sign, _ in seen]
    if len(set(names)) != len(names):
        f.fault("out-of-range", "--sign", "the same sign twice in one look", "give its one grade")
    if isinstance(subject, Animal):
        _where(f, subject)
    here = (
        sum(a.count for a in f.book.facts.occupants([subject.id]))
        if isinstance(subject, Vessel)
        else getattr(subject, "count", 1)
    )
    for option in ("affected", "count"):
        number = f.get(option)
        if number is not None and number > here and f.entry is None:
            f.fault("out-of-range", f"--{option}", f"{number} of {here} fish")
    f.stop_if_faulty()
    asks = []
    for sign, grade in seen:
        urgent = signs[sign].most_urgent(grade)
        if urgent:
            asks.append({"sign": sign, "grade": grade, "urgency": urgent})
        for other in signs[sign].look_like if grade else ():
            f.notes.because.append(f"{signs[sign].title}: {other}")
    f.answer["asks"] = asks


def _photo(f: Filling) -> None:
    if not Path(f.get("path")).is_file():
        f.notes.warn("file-missing", f"there is no file at {f.get('path')} now")


def _slide(f: Filling) -> None:
    found = [what for what, n in f.get("found") or [] if n > 0]
    animal = f.thing("subject")
    assert isinstance(animal, Animal)
    _where(f, animal)
    fish = f.get("fish") or 1
    since = [d for s in f.book.facts.waters() for d in s.deaths if d.at > f.when]
    if fish > animal.count + sum(d.count for d in since if d.animal == animal.id):
        f.fault("out-of-range", "--fish", f"{animal.name} is {animal.count} fish, not {fish}")
    f.stop_if_faulty()
    if found:
        names = " and ".join(found)
        f.notes.because.append(f"{names} on a slide begins the days again for its whole water")


def _death(f: Filling) -> None:
    animal = animal_there(f)
    last_seen = f.get("last-seen")
    if last_seen is not None and last_seen > f.when:
        f.fault("out-of-range", "--last-seen", "seen alive after it was found dead")
    f.stop_if_faulty()
    if f.get("count") is None and animal.count > 1:
        f.notes.assume(f"one of the {animal.count}")
    seen = last_seen or (animal.last_look.at if animal.last_look else None)
    if seen is not None:
        hours = (f.when - seen).total_seconds() / 3600
        f.answer["hours_since_alive"] = round(hours, 2)
        f.notes.because.append(
            "keep it cool, not frozen, and ring the vet or lab today"
            if hours <= FRESH_H
            else "too long dead for parasites or culture; frozen it may still serve a virus test"
        )


FRESH_H = 6.0
"""A fish dead longer is useless for most outside parasites and culture [h]. Source: UF/IFAS,
Submission of fish for diagnostic evaluation (Klinger & Francis-Floyd)."""

SUBJECT = Field("subject", AThing(("fish", "group")), "fish or group", True, True)
_BODY = (
    Field("box", ABox(("box", "shipment")), "the box it came in"),
    Field("bag", ACount(1), "the bag it came in"),
    Field("variety", AText(), "like black moor", required=True),
    Field("into", AThing(("vessel",)), "the vessel it goes into", required=True),
    Field("stage", Choice(STAGES), "life stage"),
    Field("hatched", ADate(past=True), "when it hatched"),
    Field("mass", AQuantity("mass"), "of one fish"),
    Field("length", AQuantity("length"), "of one fish"),
    Field("sex", AText()),
    Field("marks", AText(), "how to know it"),
)
_NAME = Field("name", NewName(), "what you call it", positional=True, required=True)

FORMS = (
    Form("fish", "one animal", (_NAME, *_BODY), _new),
    Form(
        "group",
        "several counted together",
        (_NAME, Field("count", ACount(1), "how many", required=True), *_BODY),
        _new,
    ),
    Form(
        "measure",
        "weighed, measured, or grown to another stage",
        (
            SUBJECT,
            Field("mass", AQuantity("mass")),
            Field("length", AQuantity("length")),
            Field(
                "stage", Choice(STAGES), "what it has grown to: eggs that hatched, fry that grew"
            ),
        ),
        _measure,
    ),
    Form(
        "look",
        "one look at fish",
        (
            Field(
                "subject", AThing(("fish", "group", "vessel")), "fish, group or vessel", True, True
            ),
            Field("sign", APair("a sign", 0, 3), "sign:grade, grade 0 to 3", many=True),
            Field("affected", ACount(1), "how many show it"),
            Field("count", ACount(0), "how many were seen"),
            Field("appetite", Choice(("all", "some", "none"))),
        ),
        _look,
    ),
    Form(
        "photo",
        "a picture",
        (SUBJECT, Field("path", AText(), "where the file is", True, True)),
        _photo,
    ),
    Form(
        "slide",
        "something looked at under a microscope",
        (
            SUBJECT,
            Field(
                "from",
                Choice(("skin-scrape", "gill-clip", "fin-clip", "droppings")),
                required=True,
            ),
            Field("found", APair("a parasite", 0, 9999), "parasite:count", many=True),
            Field("fish", ACount(1), "how many different fish of a group, 1 where none is said"),
            Field("by", AName(), "who looked"),
        ),
        _slide,
    ),
    Form(
        "death",
        "found dead, or killed humanely",
        (
            SUBJECT,
            Field("count", ACount(1), "how many of the group"),
            Field("last-seen", ATime(), "last seen alive"),
            Field("how", Choice(("found", "killed-humanely"))),
        ),
        _death,
    ),
)
