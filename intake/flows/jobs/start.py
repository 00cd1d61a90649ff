"""The first start: a room of one's own, or the demo room beside it; and what stands on a shelf."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from intake import clock, paths
from intake.flows.bottles import shelf_keys
from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.things import KeptTool, Kit, Person, Product
from intake.flows.jobs.directions import bottle_text
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.words import reading_shown, recorded, write
from intake.flows.kit_shelf import kit_text
from intake.flows.record import record
from intake.flows.rooms import new_room
from intake.flows.views.parts import Recorded
from intake.flows.views.start import FirstStart, KeptKind
from intake.science.problem import Problem, Unreadable
from intake.science.quantity import read_quantity

DEMO_NAME = "demo-room.db"


def demo_path(desk: Desk) -> Path:
    """Where the demo room is built: beside the keeper's own, never over anything."""
    return desk.room.with_name(DEMO_NAME)


def first_start(desk: Desk) -> FirstStart:
    """What is offered where there is no room yet; nothing is made by asking."""
    demo = demo_path(desk)
    return FirstStart(
        room=str(desk.room),
        named=desk.room != paths.default_room(),
        keeper=desk.keeper or "",
        time_zone=clock.local_zone_name(),
        demo=str(demo),
        demo_there=demo.exists(),
    )


def demo_room(desk: Desk) -> Desk:
    """The desk of the demo room, which is built first where it is not there.

    Raises
    ------
    RoomTrouble
        Where the folder cannot be written.
    """
    from intake.flows.demo import build
    from intake.flows.demo_story import KEEPER

    path = demo_path(desk)
    if not path.exists():
        build(path, desk.clock.now())
    return replace(desk, room=path, keeper=KEEPER)


def room_new(desk: Desk, typed: Mapping[str, str]) -> Recorded:
    """The keeper's own room, with a scale where its step is said.

    Parameters
    ----------
    typed
        ``keeper``, ``time-zone``, ``tape`` and ``scale``: the step of each.

    Raises
    ------
    Unreadable, RoomTrouble
        And then no room is left behind.
    """
    given = {k.replace("-", "_"): v.strip() for k, v in typed.items() if v.strip()}
    keeper = given.pop("keeper", None) or desk.keeper
    scale = given.pop("scale", None)
    if keeper is None:
        raise Unreadable(Problem("needed", "who records in this room?", "a name", "--keeper"))
    step = read_quantity(scale, "amount") if scale is not None else None
    if isinstance(step, Problem):
        raise Unreadable(step.placed("--scale"))
    named = replace(desk, keeper=keeper)
    with as_unreadable():
        answer = new_room(named, given)
        if scale is not None:
            record(named, "tool", {"step": scale, "name": "scale"})
    return recorded(desk, answer, f"the room of {keeper}", next_text=str(desk.room))


def room_things(desk: Desk) -> tuple[KeptKind, ...]:
    """What a room keeps beside vessels and fish, kind by kind."""
    with at_work(desk) as book:
        facts = book.facts
        tools = [f"{t.name} {t.step} {t.unit}" for t in facts.of_kind(KeptTool)]
        kits = [kit_text(book, k) for k in facts.of_kind(Kit) if k.present]
        products = [bottle_text(shelf_keys(book, p)) for p in facts.of_kind(Product)]
        people = [f"{p.name}, {p.role}" for p in facts.of_kind(Person)]
        keepers = list(facts.keepers)
        tap = _tap(book)
    kinds = (
        ("tool", "scale or syringe", tools),
        ("kit", "test kit or meter", kits),
        ("product", "bottle or packet", products),
        ("person", "vet, seller or helper", people),
        ("keeper", "keeper, who records", keepers),
        ("tap", "tap water", tap),
    )
    return tuple(
        KeptKind(kind, title, "; ".join(there) or "none yet", tuple(there))
        for kind, title, there in kinds
    )


TAP = {"ph": "pH", "kh": "KH", "temp": "", "tan": "TAN", "chlorine": "chlorine",
       "combined": "combined", "salt": "salt"}  # fmt: skip
"""What is told of the tap, and the word before it."""


def _tap(book: Book) -> list[str]:
    """The newest reading of each, in one line; nothing where it was never tested."""
    shown = [
        (word, reading_shown(book, book.facts.tap[name]))
        for name, word in TAP.items()
        if name in book.facts.tap
    ]
    said = [" ".join(t for t in (word, s.text, s.unit) if t) for word, s in shown]
    return [", ".join(said)] if said else []


def room_add(desk: Desk, kind: str, typed: Mapping[str, str]) -> Recorded:
    """One more tool, kit, product, person, keeper or test of the tap, as commands record it.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then nothing is written.
    """
    given: dict[str, object] = {k.replace("-", "_"): v.strip() for k, v in typed.items()}
    given = {k: v for k, v in given.items() if v}
    with as_unreadable():
        if kind == "tap":
            return write(desk, "reading", {"subject": "tap", **given}, "tap water")
        return write(desk, kind, given, f"{kind} {given.get('name', '')}".strip())
