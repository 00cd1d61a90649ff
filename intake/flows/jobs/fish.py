"""Fish: who lives where, what each look saw day by day, weighing and moving."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any, TypeVar, cast

from intake.clock import local_date
from intake.flows.desk import Book, Desk, at_work, rehearsed
from intake.flows.facts.things import Animal, Vessel
from intake.flows.jobs.calendar_words import readable
from intake.flows.jobs.fish_days import Recent, last_words, shown_days
from intake.flows.jobs.fish_story import detail_of
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.today import heads, round_of, zone_text
from intake.flows.jobs.words import recorded, when_text, write
from intake.flows.names import unknown
from intake.flows.quarantines import alerts_of
from intake.flows.record import Said, record
from intake.flows.views.fish import FishDetail, FishPage, FishRow, FishView
from intake.flows.views.parts import Recorded
from intake.science.problem import Unreadable
from intake.science.show import show
from intake.science.text import twin_key

T = TypeVar("T")
EVERY_DAY = "every fish is looked at every day."


def view(desk: Desk, vessel: str) -> FishView:
    """The head of the list: one vessel's fish, or all of them for ""."""
    with at_work(desk) as book:
        places = round_of(book)
        here = _vessel(book, vessel) if vessel else None
        animals = _listed(book, vessel)
        counted = {v.id: 0 for v in places}
        for animal in book.facts.of_kind(Animal):
            if animal.present and animal.vessel in counted:
                counted[animal.vessel] += animal.count
        return FishView(
            vessel=vessel,
            zone=zone_text(book, here) if here else "",
            occupants=heads(animals),
            looked=_looked(book, animals),
            days=shown_days(book),
            vessels=tuple((v.name, counted[v.id]) for v in places),
            quarantined=tuple(
                v.name for v in places if book.facts.system_of(v).quarantine is not None
            ),
            total=len(animals),
            because=_because(book, animals, here),
        )


def _vessel(book: Book, name: str) -> Vessel:
    found = book.facts.vessel_named(name)
    if found is None:
        names = [v.name for v in book.facts.of_kind(Vessel) if v.present]
        raise Unreadable(unknown(name, names, "a vessel of this room").placed("VESSEL"))
    return found


_kept: dict[tuple[object, ...], object] = {}
"""Lists and looks as last worked out, by room, newest journal row, day and vessel."""
KEPT_AT_MOST = 32


def _once(book: Book, what: str, make: Callable[[], T]) -> T:
    """What `make` answers, again only once the journal has grown or the day has changed."""
    from intake.store import journal

    today = local_date(book.now, book.facts.zone)
    key = (book.desk.room, journal.head(book.connection), today, what)
    if key not in _kept:
        if len(_kept) >= KEPT_AT_MOST:
            _kept.clear()
        _kept[key] = make()
    return cast(T, _kept[key])


def _recent(book: Book) -> Recent:
    return _once(book, "looks", lambda: Recent(book))


def _listed(book: Book, vessel: str) -> list[Animal]:
    """The fish and groups in the order of the list: the round's vessels, then by name."""
    return _once(book, f"list {vessel}", lambda: _sorted(book, vessel))


def _sorted(book: Book, vessel: str) -> list[Animal]:
    if vessel:
        found = book.facts.occupants([_vessel(book, vessel).id])
        return sorted(found, key=lambda a: (twin_key(a.name), a.id))
    order = {v.id: n for n, v in enumerate(round_of(book))}
    present = [a for a in book.facts.of_kind(Animal) if a.present and a.vessel in order]
    return sorted(present, key=lambda a: (order[a.vessel], twin_key(a.name), a.id))


def _looked(book: Book, animals: list[Animal]) -> str:
    looks = [a.last_look.at for a in animals if a.last_look is not None]
    return f"looked {when_text(book, max(looks))}" if looks else ""


def _because(book: Book, animals: list[Animal], here: Vessel | None) -> str:
    """What the record calls for among these fish, else who was not looked at yet today."""
    vessels = [here] if here else [book.facts.vessel(v) for v in {a.vessel for a in animals}]
    for system in {v.system: book.facts.system_of(v) for v in vessels}.values():
        if system.quarantine is not None:
            for alert in alerts_of(book, system):
                return f"{alert.text}: {alert.because}."
    if not animals:
        return "no fish here."
    today = local_date(book.now, book.facts.zone)
    waiting = [a for a in animals if not _seen_on(book, a, today)]
    if waiting:
        return f"{heads(waiting)} not looked at yet today; {EVERY_DAY}"
    return f"all were looked at today; {EVERY_DAY}"


def _seen_on(book: Book, animal: Animal, day: date) -> bool:
    look = animal.last_look
    return look is not None and local_date(look.at, book.facts.zone) == day


def page(desk: Desk, vessel: str, start: int, count: int) -> FishPage:
    """`count` rows of the list from the row `start` on; only these are worked out."""
    with at_work(desk) as book:
        animals = _listed(book, vessel)
        first = max(0, min(start, len(animals)))
        shown = animals[first : first + max(0, count)]
        recent = _recent(book)
        rows = tuple(_row(book, a, recent, first + n) for n, a in enumerate(shown))
        return FishPage(rows, first, len(animals))


def place(desk: Desk, vessel: str, name: str) -> int:
    """Where a fish or group stands in the list of a vessel; 0 where it is not in it."""
    with at_work(desk) as book:
        names = [a.name for a in _listed(book, vessel)]
        return names.index(name) if name in names else 0


def _row(book: Book, animal: Animal, recent: Recent, place: int) -> FishRow:
    last, care, stop = last_words(book, animal)
    return FishRow(
        key=f"{place:09d}",
        name=animal.name,
        kind=animal.kind,
        count=animal.count,
        vessel=book.facts.vessel(animal.vessel).name,
        detail=detail_text(book, animal),
        grades=recent.worst(animal),
        last=last,
        care=care,
        stop=stop,
    )


def detail_text(book: Book, animal: Animal) -> str:
    """``black moor, 86 g on 14 Nov, bag 2 of Box 14``."""
    parts = [animal.variety] if animal.variety else []
    if animal.stage != "adult":
        parts.append(animal.stage)
    if animal.mass_g is not None:
        each = " each" if animal.count > 1 else ""
        when = ""
        if animal.measured_at is not None:
            day = local_date(animal.measured_at, book.facts.zone)
            when = f" on {day.day} {day:%b}"
        parts.append(f"{show(animal.mass_g, 'g')}{each}{when}")
    if animal.length_cm is not None:
        parts.append(show(animal.length_cm, "cm"))
    if animal.box:
        box = book.facts.box(animal.box).name
        parts.append(f"bag {animal.bag} of {box}" if animal.bag else f"from {box}")
    if animal.sex:
        parts.append(animal.sex)
    if animal.marks:
        parts.append(animal.marks)
    return ", ".join(parts)


def detail(desk: Desk, name: str) -> FishDetail:
    """One fish or group: its signs day by day, its history, its weights."""
    with at_work(desk) as book:
        animal = _animal(book, name)
        because = _because_of(book, animal)
        return detail_of(book, animal, _recent(book), detail_text(book, animal), because)


def _animal(book: Book, name: str) -> Animal:
    found = book.facts.find(name, ("fish", "group"), book.now)
    if isinstance(found, Animal):
        return found
    gone = [a for a in book.facts.of_kind(Animal) if a.name == name]
    if gone:
        return gone[-1]
    names = [a.name for a in book.facts.of_kind(Animal) if a.present]
    raise Unreadable(unknown(name, names, "a fish or group of this room").placed("SUBJECT"))


def _because_of(book: Book, animal: Animal) -> str:
    """What the signs of the last look say, else when that was."""
    look = animal.last_look
    for sign, grade in look.signs if look else ():
        known = book.shelf.signs.get(sign)
        if known is not None and grade:
            return f"{known.title} {grade}: {known.grades[grade - 1]}. {known.line}"
    if not animal.vessel:
        return "it has left this room."
    if look is None:
        return f"not looked at yet; {EVERY_DAY}"
    return f"no sign, looked {when_text(book, look.at)}; {EVERY_DAY}"


def weigh(desk: Desk, name: str, mass: str) -> Recorded:
    """A fish's mass as weighed."""
    with as_unreadable():
        return write(desk, "measure", {"subject": name, "mass": mass}, f"{name}: {mass}")


def _moving(name: str, count: int | None, to: str, *, mixing: bool) -> dict[str, Any]:
    typed: dict[str, Any] = {"subject": name, "to": to}
    if mixing:
        typed["as"] = "mixing-test"
    if count is not None:
        typed["count"] = str(count)
    return typed


def move(
    desk: Desk, name: str, count: int | None, to: str, why: str, *, mixing: bool = False
) -> Recorded:
    """A fish, or so many of a group, into another vessel, as a mixing test or for good."""
    with as_unreadable():
        answer = record(desk, "move", _moving(name, count, to, mixing=mixing), Said(why=why))
    who = f"{count} of {name}" if "new_name" in answer else name
    named = f", now {answer['new_name']}" if "new_name" in answer else ""
    follows = "; ".join(f"{d['system']}: {d['what']}" for d in answer["drags_in"])
    return recorded(desk, answer, f"{who} moved to {to}{named}", next_text=follows)


def move_what_if(
    desk: Desk, name: str, count: int | None, to: str, *, mixing: bool = False
) -> tuple[str, ...]:
    """Which clocks, dates and fish a move would drag in; nothing is kept of it."""
    typed = _moving(name, count, to, mixing=mixing)
    with as_unreadable():
        answer = record(rehearsed(desk), "move", typed, Said(why="what if"))
    with at_work(desk) as book:
        today = local_date(book.now, book.facts.zone)
    told = [f"{d['system']}: {d['what']}, because {d['because']}" for d in answer["drags_in"]]
    return (*(readable(t, today) for t in told), *(w["text"] for w in answer["warnings"]))
