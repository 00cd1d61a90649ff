"""Folding a vessel filled by the bucket: begun, counted, and its table once it is full."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from intake.flows.facts.buckets import BucketFill, BucketMark
from intake.flows.facts.steps.changes import regauge, size
from intake.flows.facts.things import Gauging, Vessel
from intake.flows.facts.volumes import at_line
from intake.science.problem import Problem, Refused
from intake.science.spread import Size
from intake.science.volume import Inside, Lists, TrueVolume

if TYPE_CHECKING:
    from intake.flows.facts.state import Facts
    from intake.store.journal import Entry


def filling(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    facts.things[entry.entry] = BucketFill(
        entry.entry, c["name"], "filling", entry.at, bucket=size(c["bucket_l"]),
        vessel=c["refs"].get("vessel", 0) if "refs" in c else 0,
        zone=c.get("zone", ""), system=c.get("system", ""),
    )  # fmt: skip
    return True


def bucket(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    fill = facts.things.get(c["refs"]["name"])
    if not isinstance(fill, BucketFill):
        return False
    depth = size(c["depth_cm"]) if "depth_cm" in c else None
    fill.marks = (*fill.marks, BucketMark(entry.entry, c["count_in"], depth))
    return True


def filled(facts: Facts, entry: Entry) -> bool:
    c = entry.content
    fill, vessel = facts.things.get(c["refs"]["name"]), facts.things.get(c["vessel"])
    if not isinstance(fill, BucketFill) or not isinstance(vessel, Vessel):
        return False
    fill.until, fill.vessel, fill.made = entry.at, vessel.id, bool(c.get("made"))
    table = fill.table()
    if len(table) < 2:  # corrected until nothing is left of it
        return True
    line = table[-1][0]
    if not fill.made:
        _keep_tape(vessel, entry, line)
    lists: Lists = {"levels": table}
    if vessel.height is not None:
        lists["height"] = vessel.height
    vessel.shape, vessel.sizes, vessel.lists = "levels", {"depth": line}, lists
    # What is inside was inside while it was filled: the table is of water alone.
    vessel.inside = Inside(connected_l=vessel.inside.connected_l)
    vessel.mark = vessel.depth = line
    vessel.depth_at, vessel.off_l, vessel.settled = entry.at, 0.0, None
    regauge(facts, facts.system_of(vessel), entry)
    return True


def _keep_tape(vessel: Vessel, entry: Entry, line: Size) -> None:
    """What the sizes said before stays as another way, at the line it was filled to."""
    before = before_at(vessel, line)
    if before is None:
        return
    way = vessel.shape if vessel.shape in ("metered", "flow", "by-salt") else "tape"
    kept = Gauging(
        entry.entry, entry.at, way, vessel.sizes, before.volume_l, before.low_l, before.high_l,
        line, connected_l=vessel.inside.connected_l,
    )  # fmt: skip
    vessel.gauged = (*(g for g in vessel.gauged if g.way != way), kept)


def before_at(vessel: Vessel, line: Size) -> TrueVolume | None:
    """What the sizes say at a line, None where they do not reach it."""
    try:
        found = at_line(replace(vessel, off_l=0.0), line)
    except Refused:
        return None
    return None if isinstance(found, Problem) else found


STEPS = {"filling": filling, "bucket": bucket, "filled": filled}
