"""What to do when something is wrong: the rescue files, with this vessel's own amounts."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from intake.flows.desk import Book, Desk, at_work, load_protocols, load_rescues
from intake.flows.facts.things import Vessel
from intake.flows.names import unknown
from intake.flows.notes import Notes
from intake.flows.rescue_place import Place, nowhere, place_of
from intake.flows.rescue_sums import crash_lines, figures_of, plan_keys, sums_of
from intake.flows.usage import RoomTrouble
from intake.science.change_limits import ChangeLimits
from intake.science.problem import Problem, Unreadable
from intake.science.rescue import Rescue

_BRACES = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True, slots=True)
class Told:
    """A rescue for one place: what to do in order, amounts, what to write down after."""

    rescue: Rescue
    place: Place
    do: tuple[str, ...]
    amounts: tuple[str, ...]
    keys: Mapping[str, Any]
    commands: tuple[str, ...]
    by_keys: tuple[str, ...]
    notes: Notes = field(default_factory=Notes)


def tell(rescue: Rescue, place: Place, notes: Notes) -> Told:
    """The rescue as it reads for a place."""
    figures, typed = figures_of(place), figures_of(place, command=True)
    do: list[str] = []
    for step in rescue.do:
        if step.is_for(place.water):
            do += crash_lines(place) if step.lines else [_filled(step.text, figures)]
    sums = list(sums_of(place, rescue.amounts))
    keys: dict[str, Any] = {}
    for _, more in sums:
        keys |= more
    return Told(
        rescue,
        place,
        tuple(do),
        tuple(text for text, _ in sums),
        keys | (plan_keys(place) if any(step.lines for step in rescue.do) else {}),
        tuple(_filled(r.command, typed) for r in rescue.then_record),
        tuple(r.keys for r in rescue.then_record),
        notes,
    )


def _filled(text: str, figures: Mapping[str, str]) -> str:
    return _BRACES.sub(lambda m: figures[m[1]], text)


def in_room(desk: Desk, name: str, vessel: str) -> Told:
    """The rescue for a vessel by its name; for none where none of that name can be read.

    Raises
    ------
    Unreadable
        no-such-name, for a rescue no file describes.
    """
    known, _ = load_rescues()
    if name not in known:
        raise Unreadable(unknown(name, known, "a rescue"))
    notes = Notes()
    try:
        with at_work(desk) as book:
            found = book.facts.vessel_named(vessel) if vessel else None
            if found is not None:
                return _in_room(book, known[name], found, notes)
    except RoomTrouble as trouble:
        notes.assume(f"{trouble.text}: no amounts for a vessel of its own")
    return tell(known[name], nowhere(_limits(notes)), notes)


def _in_room(book: Book, rescue: Rescue, vessel: Vessel, notes: Notes) -> Told:
    try:
        return tell(rescue, place_of(book, vessel, notes), notes)
    except Unreadable:
        return tell(rescue, nowhere(_limits(notes)), notes)


def rescue(desk: Desk, name: str, vessel: str | None = None) -> dict[str, Any]:
    """The answer of `intake rescue`. Without a vessel no room is needed.

    Protocols that do not read take away amounts, never what to do.

    Raises
    ------
    Unreadable
        no-such-name, for a rescue no file describes or a vessel that is not here.
    """
    known, unread = load_rescues()
    if name not in known:
        raise Unreadable(unknown(name, known, "a rescue").placed("NAME"))
    found, notes = known[name], Notes()
    if name in unread:
        notes.assume(f"your own {name} cannot be read: this is the shipped one")
    if vessel is None:
        return _answer(tell(found, nowhere(_limits(notes)), notes))
    with at_work(desk) as book:
        here = book.facts.find(vessel, ("vessel",), book.now)
        if isinstance(here, Problem):
            raise Unreadable(here.placed("--vessel"))
        assert isinstance(here, Vessel)
        return _answer(_in_room(book, found, here, notes))


def _limits(notes: Notes) -> ChangeLimits:
    """The limits of a change; the program's own where the files do not read."""
    try:
        return load_protocols().water.change()
    except Unreadable:
        notes.assume("a protocol file cannot be read: limits as the program has them")
        return ChangeLimits()


def _answer(told: Told) -> dict[str, Any]:
    file = told.rescue
    return {
        "rescue": file.id,
        "title": file.title,
        "vessel": told.place.vessel or None,
        "water": told.place.water,
        "do": list(told.do),
        "amounts": {"said": list(told.amounts), **told.keys},
        "then_record": list(told.commands),
        "then_keys": list(told.by_keys),
        "caution": file.caution,
        "protocol": {"path": file.path, "version": file.version, "sha256": file.sha256},
        **told.notes.as_keys(),
    }
