"""A room to try things in, built through the same flows as everything else."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from intake import clock
from intake.clock import Clock
from intake.flows.asking import today
from intake.flows.demo_story import KEEPER, Line, lines
from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.things import Animal, Shipment, Vessel
from intake.flows.forms.every import FORMS
from intake.flows.kept import forget
from intake.flows.record import Said, record_in
from intake.flows.rooms import new_room

BEGAN_DAYS_AGO = 123


def build(path: Path, now: datetime | None = None) -> dict[str, Any]:
    """Makes the demo room at `path`; times are counted back from now.

    Raises
    ------
    RoomTrouble
        Where there is a file already, or the folder cannot be written.
    """
    moment = now or Clock().now()
    began = moment - timedelta(days=BEGAN_DAYS_AGO)
    zone = clock.local_zone_name()
    desk = Desk(path, clock=Clock(began), keeper=KEEPER)
    new_room(desk, {"time_zone": zone, "tape": "1 cm"})
    forget(path)
    try:
        with at_work(Desk(path, clock=Clock(moment), keeper=KEEPER), write=True) as book:
            for line in lines():
                _tell(book, line, moment)
    except BaseException:
        path.unlink(missing_ok=True)
        raise
    finally:
        forget(path)
    return summary(Desk(path, clock=Clock(moment), keeper=KEEPER))


def _tell(book: Book, line: Line, now: datetime) -> None:
    when = _moment(book, line.days_ago, line.at, now)
    if when > now:
        return
    book.move_to(when)
    book.speak_as(line.keeper)
    typed = dict(line.typed)
    for name in ("delivered", "packed", "expected", "expires"):
        ago = typed.pop(f"{name}_ago", None)
        if ago is not None:
            typed[name] = _counted(book, str(ago), now, day=name in ("expected", "expires"))
    if "task" in typed:
        typed["task"] = _own_task(book, typed["task"])
    record_in(book, FORMS[line.kind], typed, Said(why=line.said.get("why")))
    book.take_in()


def _own_task(book: Book, task: str) -> str:
    """``North tub/*/step/1`` with the entry that began the quarantine that runs there."""
    name = task.partition("/")[0]
    system = next(s for s in book.facts.waters() if s.name == name)
    return task.replace("*", str(system.quarantines[-1].id))


def _counted(book: Book, ago: str, now: datetime, *, day: bool) -> str:
    """``74 10:30`` is that time 74 days ago; ``0`` is today."""
    days, _, at = ago.partition(" ")
    moment = _moment(book, int(days), at or "12:00", now)
    there = moment.astimezone(book.facts.zone)
    return f"{there:%Y-%m-%d}" if day else clock.utc_text(moment)


def _moment(book: Book, days_ago: int, at: str, now: datetime) -> datetime:
    if at.startswith("-"):
        hours, minutes = at[1:].split(":")
        return now - timedelta(days=days_ago, hours=int(hours), minutes=int(minutes))
    day = clock.local_date(now, book.facts.zone) - timedelta(days=days_ago)
    found = clock.read_time(f"{day} {at}", book.facts.zone, now=now)
    if isinstance(found, datetime):
        return found
    # The clocks go forward over it: an hour later is as good for a story.
    return clock.read_time(f"{day} 12:00", book.facts.zone, now=now)  # type: ignore[return-value]


def summary(desk: Desk) -> dict[str, Any]:
    """What there is in a room, in a few numbers, and what it asks for now."""
    with at_work(desk) as book:
        from intake.store import journal

        facts = book.facts
        fish = [a for a in facts.of_kind(Animal) if a.present]
        counted = {
            "room": str(desk.room),
            "entries": journal.count(book.connection),
            "vessels": sum(v.present for v in facts.of_kind(Vessel)),
            "fish": sum(a.count for a in fish),
            "shipments": len(list(facts.of_kind(Shipment))),
            "quarantines": [s.name for s in facts.waters() if s.quarantine is not None],
        }
    asked = today(desk)
    return {
        **counted,
        "tasks_due": len(asked["tasks"]),
        "alerts": [a["text"] for a in asked["alerts"]],
        "claims": asked["claims"],
        "assumptions": [],
        "warnings": [],
        "because": [],
    }
