"""Folding what the room itself is: settings, people, tools, kits, products."""

from __future__ import annotations

from typing import TYPE_CHECKING

from intake.flows.facts.things import KeptTool, Kit, Person, Product

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts
    from intake.store.journal import Entry


def _room(facts: Facts, entry: Entry) -> bool:
    content = entry.content
    facts.time_zone = content.get("time_zone", facts.time_zone)
    facts.units = content.get("units", facts.units)
    facts.decimal = content.get("decimal", facts.decimal)
    if content.get("tape"):
        facts.tape_cm = content["tape"]["value"]
    if content.get("night_drop"):
        facts.night_drop_c = content["night_drop"]["value"]
    for name in ("quiet", "round_order"):
        if name in content:
            facts.settings[name] = content[name]
    return True


def _keeper(facts: Facts, entry: Entry) -> bool:
    facts.keepers[entry.content["name"]] = entry.entry
    return True


def _person(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    facts.things[entry.entry] = Person(
        entry.entry, c["name"], "person", entry.at, role=c["role"], phone=c.get("phone", "")
    )
    return True


def _tool(facts: Facts, entry: Entry) -> bool:
    step = entry.content["step"]
    facts.things[entry.entry] = KeptTool(
        entry.entry, entry.content["name"], "tool", entry.at, step=step["text"], unit=step["unit"]
    )
    return True


def _kit(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    facts.things[entry.entry] = Kit(
        entry.entry, c["name"], "kit", entry.at, tests=c.get("tests", ""),
        reports=c.get("reports", ""), steps=c.get("steps", ""), expires=c.get("expires", ""),
        fooled_by=c.get("fooled_by", ""), error=c.get("error", ""),
    )  # fmt: skip
    return True


def _product(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    facts.things[entry.entry] = Product(
        entry.entry, c.get("name") or c["treatment"], "product", entry.at,
        treatment=c["treatment"], strength=c["strength"], batch=c.get("batch", ""),
        expires=c.get("expires", ""), opened=c.get("opened", ""),
        keeps_opened=c.get("keeps_opened", ""),
    )  # fmt: skip
    return True


def _protocol(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    facts.protocols[c["id"]] = (entry.entry, entry.at, c["action"])
    return True


STEPS = {
    "room": _room,
    "settings": _room,
    "keeper": _keeper,
    "person": _person,
    "tool": _tool,
    "kit": _kit,
    "product": _product,
    "protocol": _protocol,
}
