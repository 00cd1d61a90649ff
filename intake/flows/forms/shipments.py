"""Forms for shipments, boxes, bags and the way across."""

from __future__ import annotations

from datetime import timedelta

from intake.flows.facts.things import Bag, Box, Shipment
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import (
    ABox,
    ACount,
    AName,
    AQuantity,
    AText,
    AThing,
    ATime,
    AWords,
    Choice,
    NewName,
)
from intake.flows.forms.readings import KIT_FIELDS, read_keys, read_values, reading_fields
from intake.flows.shipments import CLAIM_WINDOW_MIN

NOT_READ = ("photo", "fish", "hours-packed", "temp", "ph", "tan", "kh", "volume")
"""What may be said not to have been read of a bag: a range stands in its place."""
BAG_READINGS = ("temp", "ph", "tan", "kh", "salt")


def _shipment(f: Filling) -> None:
    delivered, packed = f.get("delivered"), f.get("packed")
    if packed is not None and packed > delivered:
        f.fault("out-of-range", "--packed", "packed after it was delivered", "check both times")
    f.stop_if_faulty()
    seller = f.get("from")
    known = [t.name for t in f.book.facts.things.values() if t.kind == "person"]
    if seller not in known and f.entry is None:
        f.book.append("person", {"name": seller, "role": "seller"}, at=f.when)
        f.notes.warn("new-person", f"{seller} was not known: recorded as a seller")
    window = f.get("claim-window")
    minutes = float(window.value) if window is not None else CLAIM_WINDOW_MIN
    if window is None:
        f.notes.assumptions.append(
            "claims are taken for 2 h from the carrier's stamp (common practice): read the terms"
        )
    closes = f.book.facts.local(delivered + minutes_long(minutes))
    f.notes.because.append(f"the claim window closes {closes}; photograph every bag shut first")


def minutes_long(minutes: float) -> timedelta:
    """A span of so many minutes."""
    return timedelta(minutes=minutes)


def _box(f: Filling) -> None:
    f.stop_if_faulty()


def box_thing(f: Filling, *, make: bool) -> Box | None:
    """The box meant; the first bag on a shipment without a box makes its only box."""
    found = f.thing("box")
    if isinstance(found, Box):
        return found
    assert isinstance(found, Shipment)
    if not make:
        hint = "the first bag makes it: intake record bag"
        f.fault("no-such-name", "BOX", f"'{found.name}' has no box yet", hint)
        return None
    name = f"{found.name} box 1"
    number = f.book.append(
        "box", {"name": name, "shipment": found.name, "refs": {"shipment": found.id}}, at=f.when
    )
    f.notes.assumptions.append(f"its only box is called '{name}'")
    return Box(number, name, "box", f.when, shipment=found.id)


def _bag_number(f: Filling, box: Box) -> int:
    given = f.get("bag")
    if given is not None:
        return int(given)
    return max(box.bags, default=0) + 1


def _bag(f: Filling) -> None:
    box = box_thing(f, make=True)
    assert box is not None
    f.refs["box"] = box.id
    number = _bag_number(f, box)
    fish = f.get("fish")
    counted = [f.get(n) or 0 for n in ("alive", "weak", "dead")]
    if fish is not None and sum(counted[i] for i in (0, 2)) > fish:
        f.fault(
            "out-of-range", "--fish", f"{fish} fish, but {counted[0]} alive and {counted[2]} dead"
        )
    _after_delivery(f, f.book.facts.shipment(box.shipment), "opened")
    both = [n for n in f.get("not-read") or () if f.get(n) is not None]
    if both:
        f.fault("out-of-range", "--not-read", f"{', '.join(both)} read and not read", "say one")
    known = box.bags.get(number)
    read = read_values(f, BAG_READINGS, known.chosen if known is not None else "")
    f.stop_if_faulty()
    f.extra["number"] = number
    f.extra["read"] = read
    f.answer["bag"] = number
    f.answer["read"] = read_keys(read)
    shut = f.get("photo") is None and (known is None or not known.photo)
    if f.get("opened") is not None and shut:
        f.notes.warn("photo-first", "opened with no picture of it shut: a claim may fail on that")


def one_bag(f: Filling, box: Box) -> Bag | None:
    """The bag meant: the one named, else the only one there is."""
    number = f.get("bag")
    if number is None and len(box.bags) == 1:
        return next(iter(box.bags.values()))
    there = ", ".join(str(n) for n in sorted(box.bags)) or "none yet"
    if number is None:
        f.fault("no-such-name", "--bag", f"which bag of '{box.name}'?", f"there is {there}")
        return None
    if number not in box.bags:
        f.fault("no-such-name", "--bag", f"'{box.name}' has no bag {number}", f"there is {there}")
        return None
    return box.bags[number]


def _claim(f: Filling) -> None:
    shipment = f.thing("shipment")
    assert isinstance(shipment, Shipment)
    _after_delivery(f, shipment, "sent")
    f.stop_if_faulty()


def _after_delivery(f: Filling, shipment: Shipment, name: str) -> None:
    when = f.get(name)
    if when is not None and shipment.delivered is not None and when < shipment.delivered:
        there = f.book.facts.local(shipment.delivered)
        text = f"before {shipment.name} was delivered, {there}"
        f.fault("out-of-range", f"--{name}", text, "check both times")


BOX = Field("box", ABox(("box", "shipment")), "box, or a shipment with one", True, True)
BAG = Field("bag", ACount(1), "which bag of the box")

FORMS = (
    Form(
        "shipment",
        "boxes from one seller",
        (
            Field("name", NewName(), "what you call it", positional=True, required=True),
            Field("from", AName(), "the seller", required=True),
            Field("delivered", ATime(), "the carrier's stamp", required=True),
            Field("packed", ATime(), "when the seller packed it"),
            Field("claim-window", AQuantity("duration"), "how long claims are taken"),
            Field("papers", AText(), "where the papers are"),
        ),
        _shipment,
    ),
    Form(
        "box",
        "one box of a shipment",
        (
            Field("shipment", AThing(("shipment",)), "the shipment", True, True),
            Field("name", NewName(), "what you call it", positional=True, required=True),
        ),
        _box,
    ),
    Form(
        "bag",
        "one bag: what is in it, and its water",
        (
            BOX,
            BAG,
            *(Field(n, ACount(), f"{n} in it") for n in ("fish", "alive", "weak", "dead")),
            Field("leaked", Choice(("yes",)), "water was lost", flag=True),
            Field("gasping", Choice(("yes",)), "its fish gasp at the surface", flag=True),
            *reading_fields(*BAG_READINGS),
            Field("volume", AQuantity("volume"), "water in the bag"),
            Field("hours-packed", AQuantity("number"), "since it was closed, where the bag's own"),
            Field(
                "not-read", AWords(NOT_READ), f"not read, commas between: {', '.join(NOT_READ)}"
            ),
            Field("to", AThing(("vessel",)), "the vessel its fish are meant for"),
            *KIT_FIELDS,
            Field("opened", ATime(), "when it was opened"),
            Field("photo", AText(), "where its picture is"),
        ),
        _bag,
    ),
    Form(
        "claim",
        "a claim sent to the seller",
        (
            Field("shipment", AThing(("shipment",)), "the shipment", True, True),
            Field("sent", ATime(), "when it was sent", required=True),
            Field("answer", AText(), "what the seller said"),
        ),
        _claim,
    ),
)
