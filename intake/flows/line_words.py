"""How a waterline is told: its size, what moving it does to every treatment, how old it is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from intake.flows.desk import Book
from intake.flows.facts.happened import WaterEvent
from intake.flows.facts.things import System, Vessel
from intake.flows.facts.volumes import has_depth
from intake.flows.notes import Notes
from intake.flows.residues import level_of, substances
from intake.science.figures import figure
from intake.science.show import show
from intake.science.spread import Size
from intake.science.volume import SHAPES, waterline_cm
from intake.science.volume.asked import Asked

OLD_H = 24
"""A waterline read longer ago than this is asked for again [h] (common practice)."""
DAY_H = 48
"""From this on its age is told in days."""
SAME = 1e-9
"""A share by which a level has to move to have moved."""


def litres_said(volume_l: float, low_l: float, high_l: float) -> str:
    """Water with its doubt: ``372 ± 11 L``."""
    half = max(volume_l - low_l, high_l - volume_l)
    return show(volume_l, "L", half=half) if half > 0 else show(volume_l, "L", digits=4)


def residue_told(
    book: Book, system: System, at: datetime, events: list[WaterEvent], notes: Notes
) -> list[dict[str, object]]:
    """What events of a line leave of each treatment, before and after; notes tell it."""
    moved = replace(system, water=[*system.water, *events])
    found: list[dict[str, object]] = []
    for s in substances(book, moved, at):
        before = level_of(book, system, s.treatment, at)
        found.append(
            {
                "treatment": s.treatment,
                "before": before.now,
                "after": s.level.now,
                "unit": s.unit,
                "before_low": before.low,
                "before_high": before.high,
                "after_low": s.level.low,
                "after_high": s.level.high,
            }
        )
        notes.because.append(_said(s.treatment, before.now, s.level.now, s.unit))
    return found


def _said(name: str, before: float, after: float, unit: str) -> str:
    if abs(after - before) <= SAME * before:
        return f"{name} stays at {figure(after, 4)} {unit}"
    return f"{name} goes from {figure(before, 4)} to {figure(after, 4)} {unit}"


def waterline_sizes(vessel: Vessel) -> dict[str, float]:
    """The size of the water's surface at today's line, as an answer has it."""
    depth = vessel.depth or Size(0.0)
    asked = Asked(SHAPES[vessel.shape], vessel.sizes, vessel.inside, **vessel.lists)
    values = {name: size.value for name, size in asked.flat().items()}
    found = waterline_cm(vessel.shape, values, depth.value)
    return {f"{name}_cm": size for name, size in found.items()}


@dataclass(frozen=True, slots=True)
class OldLine:
    """A vessel whose line was read too long ago: the day, how old, and whether a tape can tell."""

    vessel: str
    read: str
    hours: float
    age: str
    has_depth: bool


def old_lines(book: Book, vessels: list[Vessel], now: datetime) -> list[OldLine]:
    """The vessels whose line has to be read again before a dose rests on it."""
    found = []
    for v in vessels:
        if v.depth_at is None:
            continue
        hours = (now - v.depth_at).total_seconds() / 3600
        if hours > OLD_H:
            old = f"{int(hours // 24)} days" if hours >= DAY_H else f"{int(hours)} h"
            found.append(OldLine(v.name, book.facts.local(v.depth_at), hours, old, has_depth(v)))
    return found


def asked_again(line: OldLine) -> str:
    """The warning of a dose that rests on an old line, with the command that answers it."""
    number = ", else --depth with a number" if line.has_depth else ""
    return (
        f"the line of {line.vessel} was read {line.age} ago, {line.read}, and is taken to stand "
        f"there still: intake record level '{line.vessel}' --at-mark{number}"
    )
