"""The frame's jobs: whose room, finding by name, what to do when something is wrong."""

from __future__ import annotations

from intake.flows.correct import correct
from intake.flows.desk import Desk, at_work, load_rescues
from intake.flows.facts.things import Animal, Box, Shipment, Thing, Vessel
from intake.flows.facts.volumes import litres
from intake.flows.jobs.today import heads, timers
from intake.flows.jobs.words import recorded
from intake.flows.line_words import litres_said
from intake.flows.quarantines import in_quarantine
from intake.flows.record import Said
from intake.flows.rescues import in_room
from intake.flows.views.parts import Found, Recorded, RoomFacts, Timer, Wrong
from intake.science.problem import Refused
from intake.science.text import twin_key

FOUND_AT_MOST = 20


def room(desk: Desk) -> RoomFacts:
    """Whose room it is, and what runs."""
    with at_work(desk) as book:
        try:
            keeper = book.keeper()
        except Refused:
            keeper = ""
        vessels = [v for v in book.facts.of_kind(Vessel) if v.present]
        return RoomFacts(
            keeper,
            read_only=not keeper,
            quiet=book.facts.settings.get("quiet", ""),
            timers=timers(book),
            empty=not vessels,
        )


def running_now(desk: Desk) -> tuple[Timer, ...]:
    """What runs on the clock."""
    with at_work(desk) as book:
        return timers(book)


def find(desk: Desk, text: str) -> tuple[Found, ...]:
    """Everything present whose name holds the text, names that begin with it first."""
    wanted = twin_key(text)
    with at_work(desk) as book:
        hits: list[tuple[int, str, Found]] = []
        for thing in book.facts.things.values():
            key = twin_key(thing.name)
            if not thing.present or wanted not in key:
                continue
            detail = _detail(book.facts.things, thing)
            if detail is not None:
                found = Found(thing.kind, thing.name, detail)
                hits.append((0 if key.startswith(wanted) else 1, key, found))
        for system in in_quarantine(book):
            key = twin_key(system.name)
            if wanted in key:
                served = f"{heads(book.facts.occupants(system.vessels))}, its days and release"
                found = Found("quarantine", system.name, served)
                hits.append((0 if key.startswith(wanted) else 1, key, found))
        for id_, treatment in book.shelf.treatments.items():
            if wanted in twin_key(id_):
                hits.append((2, id_, Found("treatment", id_, treatment.title)))
        hits.sort(key=lambda h: h[:2])
        return tuple(f for _, _, f in hits[:FOUND_AT_MOST])


def _detail(things: dict[int, Thing], thing: Thing) -> str | None:
    if isinstance(thing, Vessel):
        return f"{litres_said(*litres(thing))}, {thing.zone}"
    if isinstance(thing, Animal):
        where = things.get(thing.vessel)
        return f"{heads([thing])}, {where.name if where else 'not here'}"
    if isinstance(thing, Shipment):
        return f"from {thing.seller}"
    if isinstance(thing, Box):
        return f"{len(thing.bags)} bags"
    return None


def rescues() -> tuple[tuple[str, str], ...]:
    """What it may look like: the rescues there are files of."""
    known, _ = load_rescues()
    return tuple((id_, rescue.title) for id_, rescue in sorted(known.items()))


def wrong(desk: Desk, vessel: str, rescue: str) -> Wrong:
    """What to do in order, with this vessel's own amounts, then what to record."""
    told = in_room(desk, rescue, vessel)
    assumed = next((text for text in told.notes.assumptions if "read" in text), "")
    because = f"{told.rescue.caution} {assumed}".strip()
    return Wrong(
        told.rescue.title, told.do, told.amounts, told.by_keys, because, told.place.vessel
    )


def correct_void(desk: Desk, entry: int, why: str) -> Recorded:
    """Takes back an entry, with its reason; it stays visible."""
    answer = correct(desk, entry, {}, Said(why=why), void=True)
    return recorded(desk, answer, f"entry {entry} taken back")
