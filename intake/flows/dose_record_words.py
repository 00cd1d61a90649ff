"""What the entry of a dose keeps, in words; unknown stays the word unknown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from intake.flows.desk import Book
from intake.science.show import show, show_range

UNKNOWN = "unknown"
Content = Mapping[str, Any]
NAMED = {
    "temp": "temperature",
    "ph": "pH",
    "kh": "KH",
    "gh": "GH",
    "salt": "salt",
    "oxygen": "oxygen",
}
EQUIPMENT = ("air", "filter", "carbon")


def number(value: Any, unit: str, digits: int = 4) -> str:
    """A kept number with its unit, or unknown."""
    return UNKNOWN if value in (None, UNKNOWN) else show(value, unit_text(unit), digits=digits)


def unit_text(unit: str) -> str:
    """A unit as it is written behind a number."""
    return "" if unit == UNKNOWN else unit


def treated(c: Content) -> Sequence[Mapping[str, Any]]:
    """The fish it reached; those of a bath stand beside the field that names them."""
    found: Sequence[Mapping[str, Any]] = c.get("treated", c["fish"])
    return found


def fish_words(c: Content) -> tuple[str, ...]:
    """Each fish or group with its number in the journal, then how many in all."""
    each = [
        f"{f['name']} (entry {f['id']}): {f['count']}, {f['variety']}, {f['stage']}"
        for f in treated(c)
    ]
    return (*(each or ["no fish recorded there"]), f"treated: {c['event']['treated']}")


def for_words(c: Content) -> tuple[str, ...]:
    """The sign or finding, who found it, and the vet."""
    event = c["event"]
    return event["sign"], f"found by: {event['diagnosed_by']}", f"vet: {event['vet']}"


def product_words(c: Content) -> tuple[str, ...]:
    """The bottle or packet, and whether it was named or taken from the shelf."""
    product = c["event"]["product"]
    name: str = product["name"]
    if name != UNKNOWN and not product["named"]:
        return (f"{name}, the newest of its kind on the shelf; none was named",)
    return (name,)


def inside_words(c: Content) -> tuple[str, ...]:
    """The active part, its strength, and what of it the target counts."""
    product = c["event"]["product"]
    return (
        f"{product['active']}, {product['strength']}",
        f"worked out with {c.get('strength_used', UNKNOWN)}; counted: {product['counted']}",
    )


def dates_words(c: Content) -> tuple[str, ...]:
    """Batch, expiry, opened."""
    product = c["event"]["product"]
    return (
        f"batch {product['batch']}",
        f"expires {product['expires']}",
        f"opened {product['opened']}",
    )


def target_words(c: Content) -> tuple[str, ...]:
    """What it was meant to come to, and what it does."""
    event = c["event"]
    target = event["target"]
    meant = f"{number(target['value'], target['unit'])}, {target['by']}"
    if target["value"] == UNKNOWN:
        meant = UNKNOWN
    fed = event.get("fed")
    if fed is not None:
        mass = show(fed["fish_mass_g"], "g")
        return meant, f"comes to {number(fed['value'], fed['unit'])} for {mass} of fish"
    there = number(c.get("already"), c["target_unit"])
    comes = number(c.get("target_value"), c["target_unit"])
    return meant, f"comes to {comes}; there before it: {there}"


def water_words(book: Book, c: Content) -> tuple[str, ...]:
    """The litres with their ends, and how each vessel's were found."""
    water = c["water"]
    volume, low, high = (water[f"volume_l{end}"] for end in ("", "_low", "_high"))
    ends = "taken as exact" if low == high else f"likely {show_range(low, high, 'L', digits=3)}"
    litres = f"{show(volume, 'L', digits=4)}, {ends}" if volume else UNKNOWN
    found = c["event"]["water_found"]
    if isinstance(found, str):
        return litres, f"found by: {found}"
    return (litres, *(_way(book, way) for way in found))


def _way(book: Book, way: Mapping[str, Any]) -> str:
    line = number(way["line_cm"], "cm", 3)
    read = way["line_read"]
    when = read if read == UNKNOWN else book.facts.local(datetime.fromisoformat(read))
    return f"{way['vessel']}: {way['by']}; line {line}, read {when}"


def amount_words(c: Content) -> tuple[str, ...]:
    """Worked out in all digits, and as measured."""
    amount = c["event"]["amount"]
    unit = amount["unit"]
    worked = amount["worked_out"]
    return (
        f"worked out: {worked if worked == UNKNOWN else f'{worked} {unit}'}",
        f"measured: {amount['measured']} {unit} (typed: {c['amount']['text']})",
    )


def tool_words(c: Content) -> tuple[str, ...]:
    """The scale or syringe and its step."""
    tool = c["event"]["tool"]
    step = UNKNOWN if tool["step"] == UNKNOWN else f"{tool['step']} {tool['unit']}"
    return (f"{tool['name']}, in steps of {step}",)


def planned_words(planned: Mapping[str, Any], unit: str) -> tuple[str, ...]:
    """How long and how often it was meant to be."""
    least, most = number(planned["at_least_h"], "h"), number(planned["at_most_h"], "h")
    every, times = number(planned["every_h"], "h"), planned["times"]
    said = [f"planned: {least} to {most}"]
    said.append(f"repeats: every {every}, {times} in all" if times != 1 else "repeats: none")
    if planned["steps"]:
        steps = ", ".join(f"{show(t, unit)} after {show(h, 'h')}" for t, h in planned["steps"])
        said.append(f"steps: {steps}")
    return tuple(said)


def start_words(start: Mapping[str, Any]) -> tuple[str, ...]:
    """What was read of the water, and what ran in it."""
    read = [f"{word}: {_read(start[name])}" for name, word in NAMED.items()]
    ran = [f"{name}: {_ran(start[name])}" for name in EQUIPMENT]
    return (*read, "; ".join(ran))


def _read(kept: Any) -> str:
    if kept == UNKNOWN:
        return UNKNOWN
    low, high, unit = kept["low"], kept["high"], kept["unit"]
    told = number(kept["value"], unit)
    if low is not None and high is not None and low != high:
        told = show_range(low, high, unit, digits=3)
    return f"{told}, {kept['evidence']} {kept['at'][:16].replace('T', ' ')} UTC"


def _ran(kept: Any) -> str:
    if isinstance(kept, str):
        return kept
    return ", ".join(f"{vessel} {word}" for vessel, word in kept.items())


def made_words(c: Content, links: Sequence[str]) -> tuple[str, ...]:
    """The protocol and program it was worked out with, what was gone past, and the hashes."""
    protocol, event = c["protocol"], c["event"]
    over = [
        f"gone past: {w['code']} ({w['text']}); reason: {w['reason']}" for w in event["overridden"]
    ]
    broke = [f"limit broken: {b['code']}: {b['text']}" for b in c.get("broke", ())]
    return (
        f"{protocol['path']} version {protocol['version']}",
        f"sha256 {protocol['sha256'] or UNKNOWN}",
        f"intake {event['program']}",
        *broke,
        *(over or ["no warning was gone past"]),
        f"hash before it: {links[0]}",
        f"its own: {links[1]}",
    )
