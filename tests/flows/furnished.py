"""A small furnished room, made through the jobs, for tests of them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from intake.clock import Clock
from intake.flows.desk import Desk, at_work
from intake.flows.record import Said, record
from intake.flows.rooms import new_room

BEGAN = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
BOX = {"shape": "box", "length": "100 cm", "width": "50 cm", "depth": "40 cm"}
LATE = Said(when="2026-11-20 08:00", why="kept on paper until now")


def desk_at(path: Path, minutes: int = 0, keeper: str | None = "Ana") -> Desk:
    return Desk(path, clock=Clock(BEGAN + timedelta(minutes=minutes)), keeper=keeper)


def furnish(path: Path) -> Path:
    """A room with two vessels that have been there for days."""
    new_room(desk_at(path), {"time_zone": "Europe/Lisbon"})
    record(desk_at(path), "vessel", {"name": "Tub", **BOX}, LATE)
    record(desk_at(path), "vessel", {"name": "Pool", **BOX, "system": "Yard"}, LATE)
    record(
        desk_at(path),
        "group",
        {"name": "Ryukins", "count": "6", "variety": "ryukin", "into": "Tub"},
        LATE,
    )
    return path


def rows(path: Path) -> list[tuple[Any, ...]]:
    with at_work(Desk(path)) as book:
        found = book.connection.exec_driver_sql("SELECT * FROM journal ORDER BY sequence")
        return [tuple(row) for row in found]
