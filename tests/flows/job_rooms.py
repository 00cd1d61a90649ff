"""Rooms for the tests of jobs, built with flows: a copy of the demo room, and an empty one."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

from intake.clock import Clock
from intake.flows.demo import build
from intake.flows.demo_story import KEEPER
from intake.flows.desk import Desk
from intake.flows.record import Said, record
from intake.flows.rooms import new_room

NOW = datetime(2026, 11, 25, 15, 0, tzinfo=UTC)


@lru_cache(maxsize=1)
def _demo() -> Path:
    path = Path(mkdtemp()) / "demo.db"
    build(path, NOW)
    return path


def demo_desk(folder: Path) -> Desk:
    """A copy of the demo room at three in the afternoon, UTC."""
    path = folder / "demo.db"
    shutil.copy(_demo(), path)
    return Desk(path, clock=Clock(NOW), keeper=KEEPER)


def small_desk(folder: Path) -> Desk:
    """A room in Lisbon with one keeper and nothing in it, three weeks before `NOW`."""
    desk = Desk(folder / "small.db", clock=Clock(at("2026-11-04 08:00")), keeper="K")
    new_room(desk, {"time_zone": "Europe/Lisbon", "tape": "1 cm"})
    return desk


def at(text: str) -> datetime:
    """A moment in UTC, which in November is Lisbon's time as well."""
    return datetime.strptime(text, "%Y-%m-%d %H:%M").replace(tzinfo=UTC)


def then(desk: Desk, moment: str) -> Desk:
    """The same desk at another time."""
    return Desk(desk.room, clock=Clock(at(moment)), keeper=desk.keeper)


def put(desk: Desk, moment: str, kind: str, said: Said | None = None, /, **typed: Any) -> int:
    """One entry, recorded when it happened."""
    number: int = record(then(desk, moment), kind, typed, said)["entry"]
    return number
