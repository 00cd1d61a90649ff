"""A logger's file taken in by keys: looked at first, recorded by one key, wrong lines told."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from intake.clock import Clock
from intake.flows import rooms
from intake.flows.desk import Desk
from intake.flows.history import history
from intake.flows.jobs import RoomJobs
from intake.flows.record import record
from intake.screens.app import IntakeApp
from intake.screens.logger_file import LogScreen
from intake.screens.question import FormScreen
from intake.screens.theme import Look
from intake.screens.vessels import VesselsScreen
from tests.screens.fits import (
    SLOW_AT_EVERY_SIZE,
    Tick,
    opened,
    press,
    problems,
    settled,
    text_of,
)

NOW = datetime(2026, 3, 1, 10, 0, tzinfo=UTC)
LATER = datetime(2026, 3, 20, 10, 0, tzinfo=UTC)


@pytest.mark.parametrize(("size", "look"), SLOW_AT_EVERY_SIZE)
async def test_the_form_and_the_days_fit(size: tuple[int, int], look: Look) -> None:
    async with opened("vessels", size=size, look=look) as (app, pilot, _room):
        await press(pilot, "t")
        assert isinstance(app.screen, FormScreen)
        assert problems(app) == []
        await press(pilot, *"log.csv", "enter")
        assert isinstance(app.screen, LogScreen)
        assert problems(app) == []


async def test_every_day_is_reached_and_one_key_records() -> None:
    async with opened("vessels") as (app, pilot, room):
        await press(pilot, "t", *"log.csv", "enter")
        assert "28,800 rows" in text_of(app)
        assert "Sun 1 Nov" in text_of(app)
        assert "Sun 25 Nov" not in text_of(app)
        await press(pilot, *["pagedown"] * 4)
        assert "Sun 25 Nov" in text_of(app)
        assert problems(app) == []
        await press(pilot, "enter")
        assert room.wrote == []
        await press(pilot, "r")
        ((what, args),) = room.wrote
        assert (what, args[1]) == ("log", {"file": "log.csv"})
        assert isinstance(app.screen, VesselsScreen)


async def test_escape_records_nothing() -> None:
    async with opened("vessels") as (_app, pilot, room):
        await press(pilot, "t", *"log.csv", "enter", "escape")
        assert room.wrote == []


async def test_wrong_lines_come_back_to_the_form_with_what_was_typed() -> None:
    async with opened("vessels") as (app, pilot, room):
        await press(pilot, "t", *"log.txt", "enter")
        assert isinstance(app.screen, FormScreen)
        shown = text_of(app)
        assert "line 2: 'hot' is no temperature" in shown
        assert "and 4 more" in shown
        assert "log.txt" in shown
        assert problems(app) == []
        await press(pilot, *["backspace"] * 3, *"csv", "enter")
        assert isinstance(app.screen, LogScreen)
        assert room.wrote == []


def tub(folder: Path) -> Desk:
    desk = Desk(folder / "room.db", clock=Clock(NOW), keeper="Ana")
    rooms.new_room(desk, {"time_zone": "UTC"})
    box = {"shape": "box", "length": "100 cm", "width": "50 cm", "depth": "40 cm"}
    record(desk, "vessel", {"name": "Tub", **box})
    return Desk(folder / "room.db", clock=Clock(LATER), keeper="Ana")


def logs(desk: Desk) -> list[int]:
    return [e["entry"] for e in history(desk, "Tub")["entries"] if e["kind"] == "log"]


async def test_a_real_file_goes_into_a_real_room_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = tub(tmp_path)
    monkeypatch.chdir(tmp_path)
    rows = "".join(f"0{n}/03/2026 10:00,2{n}\n" for n in range(3, 9))
    Path("l.csv").write_text("Time,Temp C\n" + rows)
    app = IntakeApp(RoomJobs(desk), Look(), lambda: LATER, tick=Tick())
    app.begin("today", first=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await press(pilot, "6", "t", *"l.csv", "enter")
        assert "dates day-first or dates month-first" in " ".join(text_of(app).split())
        await press(pilot, "tab", *"day-first", "enter")
        assert isinstance(app.screen, LogScreen)
        assert "6 rows" in text_of(app)
        await press(pilot, "r")
        (entry,) = logs(desk)
        await press(pilot, "t", *"l.csv", "tab", *"day-first", "enter")
        assert f"entry {entry} already" in " ".join(text_of(app).split())
        await press(pilot, "r")
        assert logs(desk) == [entry]
        assert problems(app) == []
