"""Folding what moves water: changes and top-ups, and the lines and volumes after them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Any

from intake.flows.facts.happened import WaterEvent
from intake.flows.facts.lines import line_read, topped_up
from intake.flows.facts.things import System, Vessel
from intake.flows.facts.volumes import SAME_L, fill_to, litres, share_of, waters
from intake.science.ledger import Changed, Regauged
from intake.science.spread import Size

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts
    from intake.store.journal import Entry


def size(kept: dict[str, float]) -> Size:
    """A size as the journal keeps it."""
    return Size(kept["value"], kept["half"])


def regauge(facts: Facts, system: System, entry: Entry) -> None:
    system.water.append(WaterEvent(entry.entry, Regauged(entry.at, *waters(facts, system))))


def _vessels(facts: Facts, system: System) -> list[Vessel]:
    return [facts.vessel(v) for v in system.vessels]


def level(facts: Facts, entry: Entry) -> bool:
    vessel = facts.things.get(entry.content["refs"]["vessel"])
    if not isinstance(vessel, Vessel):
        return False
    kept, system = entry.content.get("depth_cm"), facts.system_of(vessel)
    depth, by = size(kept) if kept else None, entry.content.get("by", "")
    if entry.content.get("pump") == "stopped":
        vessel.stopped = depth or vessel.mark
        return True
    moved = line_read(system, _vessels(facts, system), vessel, depth, by, entry.at)
    moved.put_on(vessel)
    system.water.extend(moved.as_water(entry.entry))
    return True


def top_up(facts: Facts, entry: Entry) -> bool:
    vessel = facts.things.get(entry.content["refs"]["vessel"])
    if not isinstance(vessel, Vessel):
        return False
    added, system = float(entry.content["volume"]["value"]), facts.system_of(vessel)
    rain = bool(entry.content.get("rain"))
    moved = topped_up(system, _vessels(facts, system), vessel, added, entry.at, rain=rain)
    moved.put_on(vessel)
    system.water.extend(moved.as_water(entry.entry))
    return True


def _fill(
    facts: Facts, system: System, vessels: list[Vessel], more_l: float, entry: Entry
) -> None:
    """Lets water into vessels, or out, each its share; what their walls do not hold is told."""
    all_l = sum(litres(v)[0] for v in vessels)
    for vessel in vessels:
        share = litres(vessel)[0] / all_l if all_l > 0 else 1 / len(vessels)
        fill_to(vessel, max(0.0, litres(vessel)[0] + more_l * share))
    if abs(sum(litres(v)[0] for v in vessels) - all_l - more_l) > SAME_L:
        regauge(facts, system, entry)


def change(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    thing = facts.things.get(c["refs"]["subject"])
    vessel = thing if isinstance(thing, Vessel) and not c.get("whole_system") else None
    system = facts.system_of(vessel) if vessel else facts.water_meant(c, "subject")
    if system is None:
        return False
    vessels = [vessel] if vessel else _vessels(facts, system)
    all_l = waters(facts, system)[0]
    here_l = share_of(system, _vessels(facts, system), vessel)[0]
    salt = float(c["salt"]["value"]) if "salt" in c else 0.0
    event = changed(entry.at, c, here_l, all_l)
    line = size(c["to_depth_cm"]) if vessel and "to_depth_cm" in c else None
    if vessel and line is not None:
        vessel.depth, vessel.off_l = line, 0.0
        event = refilled(event, all_l, waters(facts, system)[0], c)
    system.water.append(WaterEvent(entry.entry, event, salt))
    system.recorded.append((entry.entry, entry.at, "change"))
    for seen in vessels:
        seen.depth_at = entry.at  # whoever changes water stands at its line
    if line is not None:
        regauge(facts, system, entry)
    elif event.share is None and event.in_l != event.out_l:
        _fill(facts, system, vessels, event.in_l - event.out_l, entry)
    return True


def changed(at: datetime, c: Mapping[str, Any], here_l: float, all_l: float) -> Changed:
    """The change of an entry's content: of `here_l` [L] in a system of `all_l` [L]."""
    if "out" in c:
        out_l, in_l = float(c["out"]["value"]), float(c["in"]["value"])
        return Changed(at, out_l=out_l, in_l=in_l)
    if "share" in c:
        return Changed(at, share=float(c["share"]) * here_l / all_l if all_l > 0 else 0.0)
    both_l = min(float(c["volume"]["value"]), all_l)
    return Changed(at, out_l=both_l, in_l=both_l)


def refilled(event: Changed, all_l: float, after_l: float, c: Mapping[str, Any]) -> Changed:
    """The change once the line it was filled to tells how much new water really went in."""
    if "out" in c:
        return event
    out_l = event.out_l if event.share is None else event.share * all_l
    return Changed(event.at_utc, out_l=out_l, in_l=max(0.0, after_l - all_l + out_l))
