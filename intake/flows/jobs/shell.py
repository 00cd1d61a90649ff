"""The frame's jobs: whose room, finding by name, what to do when something is wrong."""

from __future__ import annotations

from intake.flows.correct import correct
from intake.flows.desk import Desk, at_work
from intake.flows.facts.things import Animal, Box, Shipment, Thing, Vessel
from intake.flows.facts.volumes import litres
from intake.flows.jobs.today import heads, timers
from intake.flows.jobs.words import recorded
from intake.flows.line_words import litres_said
from intake.flows.record import Said
from intake.flows.views.parts import Found, Recorded, RoomFacts, Wrong
from intake.science.problem import Refused
from intake.science.show import show
from intake.science.text import twin_key

FOUND_AT_MOST = 20
RESCUES = (
    ("gasping", "fish gasp at the surface"),
    ("overdose", "too much of something went in"),
    ("other", "something else"),
)
"""What it may look like; the first actions are the same and do little harm whatever it was."""
A_THIRD = 1 / 3
"""Share of the water changed first when something is wrong (common practice)."""


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


def rescues(desk: Desk) -> tuple[tuple[str, str], ...]:
    """What it may look like."""
    del desk
    return RESCUES


def wrong(desk: Desk, vessel: str, rescue: str) -> Wrong:
    """Three actions in order, with this vessel's own litres, then what to record."""
    with at_work(desk) as book:
        found = next(
            (v for v in book.facts.of_kind(Vessel) if v.name == vessel and v.present), None
        )
        volume, low, high = litres(found) if found else (0.0, 0.0, 0.0)
    third = show(volume * A_THIRD, "L", digits=2) if volume else "a third"
    water = (
        f"Change {third} with water of the same temperature and pH, its chlorine taken out. "
        "Is the pH under 6.5 and ammonia high? Then change nothing: air on, and ring the vet."
    )
    first = "Air on full, lights low, stop feeding."
    title = dict(RESCUES).get(rescue, "something is wrong")
    last = "Read temperature, pH and TAN, look at every fish, and ring the vet."
    if rescue == "overdose":
        do = ("Stop the treatment; carbon in.", water, f"{first} {last}")
    else:
        do = (first, water, last)
    half = show(volume / 2, "L", digits=2)
    said = litres_said(volume, low, high)
    amounts = (f"{vessel}: {said}; a third is {third}, half is {half}",)
    then = (
        f"intake record change '{vessel}' --volume '{third}'",
        f"intake record look '{vessel}' --sign gasping:2",
    )
    return Wrong(title, do, amounts if volume else (), then)


def correct_void(desk: Desk, entry: int, why: str) -> Recorded:
    """Takes back an entry, with its reason; it stays visible."""
    answer = correct(desk, entry, {}, Said(why=why), void=True)
    return recorded(desk, answer, f"entry {entry} taken back")
