"""The room itself as a job: making one, its settings, what is in it, its proof."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from intake import clock
from intake.flows.bottles import shelf_keys
from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.things import Animal, KeptTool, Kit, Person, Product, Shipment, Vessel
from intake.flows.facts.volumes import added, bare, litres, water_of
from intake.flows.kept import forget
from intake.flows.kit_shelf import kit_keys
from intake.flows.line_words import waterline_sizes
from intake.flows.names import unknown
from intake.flows.notes import Notes
from intake.flows.record import Said, unfit, when_of
from intake.flows.usage import Usage
from intake.science.problem import Problem, Unreadable
from intake.science.quantity import Quantity, read_quantity
from intake.science.text import read_name, read_note

UNITS = ("metric", "us", "imperial")
MOST_NIGHT_DROP_C = 15
"""The most a room's water is taken to cool by night [C]; more is a slip of the hand. Common
practice."""

DECIMALS = ("point", "comma")


def new_room(desk: Desk, typed: Mapping[str, Any]) -> dict[str, Any]:
    """Makes a room file and its first entry, and the keeper it is made by.

    Raises
    ------
    Usage, Unreadable, RoomTrouble
        And then no file is left behind.
    """
    settings = _settings(typed)
    settings.setdefault("time_zone", clock.local_zone_name())
    settings.setdefault("units", "metric")
    name = read_name(desk.keeper) if desk.keeper is not None else None
    if isinstance(name, Problem):
        raise Unreadable(name.placed("--keeper"))
    _check_at(desk, settings["time_zone"])
    from intake.store.engine import make_engine

    make_engine(desk.room).dispose()
    forget(desk.room)
    try:
        with at_work(desk, write=True) as book:
            book.facts.time_zone = settings["time_zone"]
            number = book.append("room", settings, keeper=name or "")
            if name is not None:
                book.append("keeper", {"name": name}, keeper=name)
    except BaseException:
        desk.room.unlink(missing_ok=True)
        raise
    finally:
        forget(desk.room)
    notes = Notes()
    if "time_zone" not in typed:
        notes.assumptions.append(f"time zone {settings['time_zone']}, this computer's")
    return {"entry": number, "room": str(desk.room), **_shown(settings), **notes.as_keys()}


def _check_at(desk: Desk, zone_name: str) -> None:
    if desk.at is None:
        return
    zone = clock.zone(zone_name)
    assert not isinstance(zone, Problem)
    moment = clock.read_time(desk.at, zone, now=desk.clock.now())
    if isinstance(moment, Problem):
        raise Unreadable(moment.placed("--at"))


def _settings(typed: Mapping[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    problems: list[Problem] = []
    for name, words in (("units", UNITS), ("decimal", DECIMALS)):
        if name in typed:
            if typed[name] not in words:
                problems.append(unknown(str(typed[name]), words, "known here").placed(f"--{name}"))
            found[name] = typed[name]
    if "time_zone" in typed:
        zone = clock.zone(str(typed["time_zone"]))
        if isinstance(zone, Problem):
            problems.append(zone.placed("--time-zone"))
        found["time_zone"] = typed["time_zone"]
    for name, kind in (("tape", "length"), ("night_drop", "temperature-step")):
        if name in typed:
            q = read_quantity(str(typed[name]), kind)
            q = q if isinstance(q, Problem) or name == "tape" else _night(q)
            if isinstance(q, Problem):
                problems.append(q.placed("--" + name.replace("_", "-")))
            else:
                found[name] = {"text": q.text, "value": float(q.value or 0)}
    if "quiet" in typed:
        found["quiet"] = typed["quiet"]
        if not _hours(str(typed["quiet"])):
            text = f"'{str(typed['quiet'])[:40]}' is not two hours of the day"
            problems.append(Problem("no-such-time", text, "like 23-06", "--quiet"))
    if "round_order" in typed:
        note = read_note(str(typed["round_order"]))
        if isinstance(note, Problem):
            problems.append(note.placed("--round-order"))
        found["round_order"] = typed["round_order"]
    if problems:
        raise Unreadable(*problems)
    return found


def _night(q: Quantity) -> Quantity | Problem:
    """How far the water cools by night, where water indoors or under a roof may."""
    if q.value is not None and 0 <= q.value <= MOST_NIGHT_DROP_C:
        return q
    most = f"0 to {MOST_NIGHT_DROP_C} C"
    return Problem("out-of-range", f"'{q.text[:40]}' is no drop by night", f"{most} below the day")


def _shown(settings: Mapping[str, Any]) -> dict[str, Any]:
    """The settings as an answer names them, a number under a key that ends in its unit."""
    units = {"tape": "tape_cm", "night_drop": "night_drop_c"}
    return {
        units.get(name, name): kept["value"] if name in units else kept
        for name, kept in settings.items()
    }


def _hours(text: str) -> bool:
    parts = text.split("-")
    return len(parts) == 2 and all(p.isascii() and p.isdigit() and int(p) < 24 for p in parts)


def set_room(desk: Desk, typed: Mapping[str, Any], said: Said) -> dict[str, Any]:
    """Changes settings of the room from now on.

    Raises
    ------
    Usage, Unreadable, Refused, RoomTrouble
        And then nothing is written.
    """
    settings = _settings(typed)
    if not settings:
        raise Usage("room set needs a setting")
    if problems := unfit(said):
        raise Unreadable(*problems)
    with at_work(desk, write=True) as book:
        number = book.append("settings", settings, at=when_of(book, said), why=said.why)
        answer = {"entry": number, **_shown(settings), **Notes().as_keys()}
    forget(desk.room)
    return answer


def show_room(desk: Desk) -> dict[str, Any]:
    """Everything that is in the room now, as lists of objects with a name."""
    with at_work(desk) as book:
        facts = book.facts
        animals = [a for a in facts.of_kind(Animal) if a.present]
        vessels, systems = _vessels(book), _systems(book)
        return {
            "time_zone": facts.time_zone,
            "units": facts.units,
            "night_drop_c": facts.night_drop_c,
            "keepers": [{"name": k} for k in facts.keepers],
            "persons": [
                {"name": p.name, "role": p.role, "phone": p.phone} for p in facts.of_kind(Person)
            ],
            "tools": [{"name": t.name, "step": t.step} for t in facts.of_kind(KeptTool)],
            "kits": [kit_keys(book, k) for k in facts.of_kind(Kit)],
            "products": [shelf_keys(book, p) for p in facts.of_kind(Product)],
            "vessels": vessels,
            "systems": systems,
            "links": _links(book),
            "totals": _totals(systems, len(vessels)),
            "fish": [_animal(book, a) for a in animals if a.kind == "fish"],
            "groups": [_animal(book, a) for a in animals if a.kind == "group"],
            "shipments": [
                {
                    "name": s.name,
                    "from": s.seller,
                    "boxes": [facts.things[b].name for b in s.boxes],
                }
                for s in facts.of_kind(Shipment)
            ],
            **Notes().as_keys(),
        }


def _vessels(book: Book) -> list[dict[str, Any]]:
    found = []
    for vessel in [book.facts.vessel(v) for s in book.facts.waters() for v in s.vessels]:
        volume, low, high = litres(vessel)
        found.append(
            {
                "name": vessel.name,
                "shape": vessel.shape,
                "volume_l": volume,
                "volume_l_low": low,
                "volume_l_high": high,
                "own_l": litres(bare(vessel))[0],
                "isolated": bool(vessel.left),
                "depth_cm": vessel.depth.value if vessel.depth else None,
                "waterline": waterline_sizes(vessel),
                "zone": vessel.zone,
                "system": book.facts.system_of(vessel).name,
            }
        )
    return sorted(found, key=lambda v: v["name"])


def _systems(book: Book) -> list[dict[str, Any]]:
    found = []
    for system in book.facts.waters():
        vessels = [book.facts.vessel(v) for v in system.vessels]
        running = system.quarantine
        volume, low, high = water_of(system, vessels)
        found.append(
            {
                "name": system.name,
                "vessels": [v.name for v in vessels],
                "volume_l": volume,
                "volume_l_low": low,
                "volume_l_high": high,
                "connected_l": system.sump.value if system.sump is not None else 0.0,
                "isolated": [
                    v.name
                    for v in book.facts.of_kind(Vessel)
                    if v.left and book.facts.water_now(v.left).id == system.id
                ],
                "quarantine": running.plan if running else None,
            }
        )
    return found


def _links(book: Book) -> list[dict[str, Any]]:
    """The waters that touch: never sharing a clock, watched together."""
    facts = book.facts
    return [
        {
            "name": f"{a} and {b}",
            "a": a,
            "b": b,
            "by": link.by,
            "since": facts.local(link.at),
        }
        for link in facts.links
        if link.until is None
        for a, b in [[facts.water_now(s).name for s in link.systems]]
    ]


def _totals(systems: list[dict[str, Any]], vessels: int) -> dict[str, Any]:
    """All water of the room; the doubts of its waters are independent of each other."""
    ends = ("volume_l", "volume_l_low", "volume_l_high")
    water = added((s[ends[0]], s[ends[1]], s[ends[2]]) for s in systems)
    return {
        "vessels": vessels,
        "systems": len(systems),
        **dict(zip(ends, water, strict=True)),
    }


def _animal(book: Book, animal: Animal) -> dict[str, Any]:
    vessel = book.facts.vessel(animal.vessel).name if animal.vessel else None
    return {
        "name": animal.name,
        "count": animal.count,
        "variety": animal.variety,
        "stage": animal.stage,
        "vessel": vessel,
        "mass_g": animal.mass_g,
    }


def verify(desk: Desk, *, replay: bool = False) -> dict[str, Any]:
    """Follows the whole chain; with `replay` also folds the projections again and compares."""
    from intake.store import fold, journal
    from intake.store.engine import open_engine
    from intake.store.files import plain_words

    engine = open_engine(desk.room, write=False)
    with plain_words(desk.room), engine.connect() as connection, connection.begin():
        state = journal.follow_chain(connection)
        # Rows that were changed may not even fold, so nothing is compared with them.
        same = state.first_bad is None
        if replay and same:
            same = fold.matches(connection)
        answer: dict[str, Any] = {
            "entries": state.entries,
            "head": state.head,
            "ok": same,
            "first_bad": state.first_bad,
        }
    if replay:
        answer["projections_match"] = None if state.first_bad else same
    return {**answer, **Notes().as_keys()}
