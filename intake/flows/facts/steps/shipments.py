"""Folding shipments, boxes, bags and what was done with each bag."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from intake.clock import from_utc_text
from intake.flows.facts.noted import Noted
from intake.flows.facts.things import Bag, Box, Shipment

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts
    from intake.store.journal import Entry


def _shipment(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    window = c.get("claim_window")
    facts.things[entry.entry] = Shipment(
        entry.entry, c["name"], "shipment", entry.at, seller=c["from"],
        delivered=from_utc_text(c["delivered"]),
        packed=from_utc_text(c["packed"]) if "packed" in c else None,
        claim_window_min=float(window["value"]) if window else None,
    )  # fmt: skip
    return True


def _box(facts: Facts, entry: Entry) -> bool:
    shipment = facts.things.get(entry.content["refs"]["shipment"])
    if not isinstance(shipment, Shipment):
        return False
    facts.things[entry.entry] = Box(
        entry.entry, entry.content["name"], "box", entry.at, shipment=shipment.id
    )
    shipment.boxes.append(entry.entry)
    return True


def _bag_of(facts: Facts, entry: Entry) -> Bag | None:
    box = facts.things.get(entry.content["refs"]["box"])
    if not isinstance(box, Box):
        return None
    return box.bags.setdefault(entry.content["number"], Bag(entry.content["number"], entry.at))


def _bag(facts: Facts, entry: Entry) -> bool:
    bag = _bag_of(facts, entry)
    if bag is None:
        return False
    bag.entries.append(entry.entry)
    c = entry.content
    for name in ("fish", "alive", "weak", "dead", "leaked", "photo", "volume"):
        if name in c:
            bag.content[name] = c[name]
    if "gasping" in c:
        bag.content["gasping"] = c["gasping"]
        bag.gasping_at = entry.at
    read = bag.content.setdefault("read", {})
    read.update(c.get("read", {}))
    bag.not_read -= {*c, *c.get("read", {})}
    for name in c.get("not_read", ()):
        if name == "hours_packed":
            bag.packed = None
        bag.not_read.add(name)
        read.pop(name, None)
        bag.content.pop(name, None)
    if "hours_packed" in c:
        bag.packed = entry.at - timedelta(hours=float(c["hours_packed"]["value"]))
    if c["refs"].get("to"):
        bag.goes_to = c["refs"]["to"]
    if "opened" in c:
        bag.opened = from_utc_text(c["opened"])
    if "photo" in c:
        bag.photo = c["photo"]
    return True


def _claim(facts: Facts, entry: Entry) -> bool:
    shipment = facts.things.get(entry.content["refs"]["shipment"])
    if not isinstance(shipment, Shipment):
        return False
    sent = from_utc_text(entry.content["sent"])
    shipment.claims.append((entry.entry, sent, entry.content.get("answer", "")))
    return True


def _acclimation(facts: Facts, entry: Entry) -> bool:
    bag = _bag_of(facts, entry)
    if bag is None:
        return False
    bag.chosen = entry.content["chosen"]
    bag.chosen_at = entry.at
    bag.chosen_entry = entry.entry
    bag.vessel = entry.content["refs"]["vessel"]
    bag.run = dict(entry.content.get("run", {}))
    return True


def _checkpoint(facts: Facts, entry: Entry) -> bool:
    bag = _bag_of(facts, entry)
    if bag is None:
        return False
    read = dict(entry.content.get("read", {}))
    bag.checkpoints.append(Noted(entry.entry, entry.at, entry.entered, read))
    return True


def _step(facts: Facts, entry: Entry) -> bool:
    bag = _bag_of(facts, entry)
    if bag is None:
        return False
    bag.steps.append(Noted(entry.entry, entry.at, entry.entered, {"what": entry.content["what"]}))
    return True


STEPS = {
    "shipment": _shipment,
    "box": _box,
    "bag": _bag,
    "claim": _claim,
    "acclimation": _acclimation,
    "checkpoint": _checkpoint,
    "step": _step,
}
