"""A bath by keys: one confirmation, one banner on every screen, one key when they are out."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from textual.pilot import Pilot

from intake.clock import Clock
from intake.flows import asking
from intake.flows.desk import Desk
from intake.flows.jobs import RoomJobs
from intake.flows.record import record
from intake.screens.app import MODES, IntakeApp
from intake.screens.bathing import BathScreen
from intake.screens.dose import DoseScreen
from intake.screens.dose_faces import READ
from intake.screens.question import FormScreen, PickScreen
from intake.screens.theme import Look
from intake.screens.widgets.because import Because
from tests.flows.furnished import BEGAN, desk_at, furnish, rows
from tests.screens.fits import (
    EVERY_SIZE_AND_LOOK,
    SLOW_AT_EVERY_SIZE,
    Tick,
    press,
    problems,
    settled,
    text_of,
)

SALT = {"treatment": "salt", "in": "10 L", "fish": "Ryukins", "amount": "50 g"}


class Wall:
    """The wall clock of the app and of what it records, set by hand."""

    def __init__(self, jobs: RoomJobs) -> None:
        # A clock tells parts of a second as well.
        self.jobs, self.now = jobs, BEGAN + timedelta(microseconds=836979)
        self.on(0)

    def __call__(self) -> datetime:
        return self.now

    def on(self, minutes: float) -> None:
        self.now += timedelta(minutes=minutes)
        self.jobs.desk = replace(self.jobs.desk, clock=Clock(self.now))


Opened = tuple[IntakeApp, Pilot[None], Wall, list[int]]


@asynccontextmanager
async def opened(
    path: Path, size: tuple[int, int] = (80, 24), look: Look | None = None
) -> AsyncIterator[Opened]:
    jobs, bells = RoomJobs(desk_at(path)), list[int]()
    wall = Wall(jobs)
    app = IntakeApp(jobs, look or Look(), wall, tick=Tick())
    app.bell = lambda: bells.append(1)  # type: ignore[method-assign]
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        yield app, pilot, wall, bells


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return furnish(tmp_path / "room.db")


def begun(path: Path, **typed: str) -> int:
    words = {**SALT, "started": "2026-11-25 09:00", **typed}
    number: int = record(desk_at(path), "bath", words)["entry"]
    return number


def running(desk: Desk) -> list[str]:
    return [b["fish"] for b in asking.today(desk)["baths"]]


async def to_confirm(app: IntakeApp, pilot: Pilot[None]) -> BathScreen:
    """From the read-back of salt for the tub to the confirmation of a bath in 10 L."""
    app.carry(vessel="Tub", treatment="salt")
    await press(pilot, "3")
    await settled(pilot)
    screen = app.screen
    assert isinstance(screen, DoseScreen)
    screen.asked = replace(screen.asked, treatment="salt", vessel="Tub", course="support")
    screen.work_out(READ)
    await settled(pilot)
    await press(pilot, "b")
    await settled(pilot)
    assert isinstance(app.screen, PickScreen)
    assert problems(app) == []
    await press(pilot, "a")
    await settled(pilot)
    assert isinstance(app.screen, PickScreen)
    await press(pilot, "a")
    await settled(pilot)
    assert isinstance(app.screen, FormScreen)
    assert problems(app) == []
    await pilot.press("1", "0", "enter")
    await settled(pilot)
    assert isinstance(app.screen, BathScreen)
    return app.screen


@pytest.mark.parametrize(("size", "look"), SLOW_AT_EVERY_SIZE)
async def test_the_banner_counts_and_shouts(size: tuple[int, int], look: Look, path: Path) -> None:
    begun(path)
    async with opened(path, size, look) as (app, pilot, wall, bells):
        app.ask_timers()
        await settled(pilot)
        wall.on(20)
        app.show_timers(app.timers)
        await settled(pilot)
        row = text_of(app).splitlines()[1]
        assert "9:59 left, lift at 09:30" in row
        assert bells == []
        wall.on(9 * 60)  # it slept
        app.watch_clock()
        assert bells == [1]
        assert "Ryukins" in app.screen.query_one(Because).text
        for number, mode in enumerate(MODES, 1):
            await press(pilot, str(number))
            await settled(pilot)
            assert app.current_mode == mode
            assert "LIFT THEM OUT NOW: over" in text_of(app).splitlines()[1]
            assert problems(app) == []
            app.watch_clock()
        assert bells == [1]


async def test_one_key_says_that_they_are_out(path: Path) -> None:
    begun(path)
    async with opened(path) as (app, pilot, wall, _bells):
        app.ask_timers()
        await settled(pilot)
        wall.on(31)
        await press(pilot, "f8")
        await settled(pilot)
        assert running(desk_at(path, 32)) == []
        assert "LIFT" not in text_of(app).splitlines()[1]


async def test_of_several_it_asks_which(path: Path) -> None:
    begun(path, fish="Ryukins")
    other = {"name": "Moon", "variety": "oranda", "into": "Tub"}
    record(desk_at(path, 1), "fish", other)
    later = {"fish": "Moon", "started": "2026-11-25 09:02"}
    record(desk_at(path, 3), "bath", {**SALT, **later})
    async with opened(path) as (app, pilot, wall, _bells):
        wall.on(5)
        app.ask_timers()
        await settled(pilot)
        assert "+ 1 more" in text_of(app).splitlines()[1]
        await press(pilot, "f8")
        assert isinstance(app.screen, PickScreen)
        await press(pilot, "b")
        await settled(pilot)
        assert running(desk_at(path, 6)) == ["Ryukins"]


async def test_fifty_enters_begin_no_bath(path: Path) -> None:
    before = rows(path)
    async with opened(path) as (app, pilot, _wall, _bells):
        screen = await to_confirm(app, pilot)
        assert app.focused is screen.query_one("#cancel")
        for _ in range(50):
            await pilot.press("enter")
        await settled(pilot)
        assert rows(path) == before


@pytest.mark.parametrize(("size", "look"), EVERY_SIZE_AND_LOOK)
async def test_a_bath_is_begun_with_one_confirmation(
    size: tuple[int, int], look: Look, path: Path
) -> None:
    async with opened(path, size, look) as (app, pilot, _wall, _bells):
        await to_confirm(app, pilot)
        assert problems(app) == []
        shown = text_of(app)
        assert "50 g into 10 L, that is 5 g/L" in shown
        assert "1 of Ryukins" in shown
        assert "lift them at 09:30" in shown
        await press(pilot, "tab", "enter")
        await settled(pilot)
        app.ask_timers()
        await settled(pilot)
        assert running(desk_at(path, 1)) == ["1 of Ryukins"]
        assert "lift at 09:30" in text_of(app).splitlines()[1]
