"""A vessel's line from the screens: at its mark in one key, or a number; and what it tells."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from intake.flows import papers
from intake.flows import record as recording
from intake.flows.desk import Book, Desk
from intake.flows.facts.things import System, Vessel
from intake.flows.facts.volumes import water_of
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.words import recorded, with_doubt
from intake.flows.line_words import OldLine, old_lines, waterline_sizes
from intake.flows.views.parts import LineAsked, Recorded, Shown
from intake.science.figures import figure
from intake.science.show import show


def at_mark(desk: Desk, name: str) -> Recorded:
    """The line stands at its mark: one key, no number."""
    with as_unreadable():
        answer = recording.record(desk, "level", {"vessel": name, "at_mark": True})
    return _recorded(desk, answer, f"{name} at the mark")


def at_depth(desk: Desk, name: str, depth: str, by: str = "") -> Recorded:
    """The line by the tape, with why it moved where that is known."""
    typed = {"vessel": name, "depth": depth, **({"by": by} if by else {})}
    with as_unreadable():
        answer = recording.record(desk, "level", typed)
    return _recorded(desk, answer, f"{name} at {depth}")


def _recorded(desk: Desk, answer: dict[str, Any], said: str) -> Recorded:
    volume = with_doubt(answer["volume_l"], answer["volume_l_low"], answer["volume_l_high"], "L")
    text = f"{said}: {volume.text} L"
    moved = [
        f"{r['treatment']} {figure(r['before'], 3)} to {figure(r['after'], 3)} {r['unit']}"
        for r in answer["residue"]
        if figure(r["before"], 3) != figure(r["after"], 3)
    ]
    return recorded(desk, answer, text, next_text="; ".join([text, *moved]))


def table(desk: Desk, name: str, out: str, every: str) -> str:
    """The waterline table made, and where it is."""
    with as_unreadable():
        answer = papers.waterline(desk, name, out, every)
    return f"{len(answer['rows'])} lines of {name} are in {answer['file']}"


def asked_lines(book: Book, vessels: list[Vessel]) -> tuple[LineAsked, ...]:
    """The lines a dose asks for before it, the oldest first."""
    found = sorted(old_lines(book, vessels, book.now), key=lambda line: line.hours, reverse=True)
    return tuple(LineAsked(line.vessel, _asked(line)) for line in found)


def _asked(line: OldLine) -> str:
    keys = "a at the mark, l a number" if line.has_depth else "a at its mark"
    return f"the line of {line.vessel} was read {line.age} ago: {keys}"


def water_shown(system: System, vessels: list[Vessel], *, old: bool) -> Shown:
    """The water a dose goes into, and at which line."""
    line = "at the old line" if old else "at today's line"
    origin = line if len(vessels) == 1 else f"in {len(vessels)} vessels"
    return replace(with_doubt(*water_of(system, vessels), "L"), origin=origin)


def line_text(book: Book, vessel: Vessel) -> str:
    """What stands behind the doubt: where the line is and how large the water is there."""
    for line in old_lines(book, [vessel], book.now):
        return f"true water, line read {line.age} ago: a, l"
    if vessel.depth is None:
        return "true water at today's line"
    sizes = [show(size, "") for size in waterline_sizes(vessel).values()]
    there = f", {' x '.join(sizes)} cm there" if sizes else ""
    return f"true water at {show(vessel.depth.value, 'cm')}{there}"
