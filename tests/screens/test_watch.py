"""The clock on every screen: one bell for each end, the banner in every mode, a laptop asleep."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import replace
from datetime import datetime, timedelta
from typing import cast

import pytest
from textual.pilot import Pilot

from intake.flows.views.parts import Timer
from intake.screens.app import MODES, IntakeApp
from intake.screens.jobs import Jobs
from intake.screens.theme import Look
from intake.screens.widgets.because import Because
from tests.screens.fits import LOOKS, Tick, press, problems, settled, text_of
from tests.screens.sample import NOW, SampleRoom

IN_TEN = NOW.timestamp() + 600


class Wall:
    """A wall clock that is set by hand."""

    def __init__(self) -> None:
        self.now = NOW

    def __call__(self) -> datetime:
        return self.now

    def on(self, minutes: float) -> None:
        self.now += timedelta(minutes=minutes)


@asynccontextmanager
async def afloat(
    *timers: Timer, look: Look | None = None
) -> AsyncIterator[tuple[IntakeApp, Pilot[None], Wall, list[int]]]:
    room, wall, bells = SampleRoom(), Wall(), list[int]()
    room.view = replace(room.view, timers=timers)
    app = IntakeApp(cast(Jobs, room), look or Look(), wall, tick=Tick())
    app.bell = lambda: bells.append(1)  # type: ignore[method-assign]
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        yield app, pilot, wall, bells


def strip(app: IntakeApp) -> str:
    return text_of(app).splitlines()[0]


@pytest.mark.parametrize("look", LOOKS)
async def test_the_banner_stands_in_every_mode_and_the_bell_rings_once(look: Look) -> None:
    async with afloat(Timer("LIFT", "Box 14 bag 2", IN_TEN), look=look) as (
        app,
        pilot,
        wall,
        rung,
    ):
        wall.on(9)
        app.watch_clock()
        assert rung == []
        wall.on(1)
        app.watch_clock()
        assert rung == [1]
        assert "Box 14 bag 2: LIFT" in app.screen.query_one(Because).text
        for number, mode in enumerate(MODES, 1):
            await press(pilot, str(number))
            assert app.current_mode == mode
            assert strip(app).endswith("18:52 LIFT")
            assert problems(app) == []
            app.watch_clock()
        assert rung == [1]


async def test_a_question_in_front_has_the_bell_and_the_words_too() -> None:
    async with afloat(Timer("LIFT", "Box 14 bag 2", IN_TEN)) as (app, pilot, wall, rung):
        await press(pilot, "w")
        wall.on(10)
        app.watch_clock()
        await settled(pilot)
        assert rung == [1]
        assert "Box 14 bag 2: LIFT" in text_of(app)
        assert "18:52 LIFT" in strip(app)


async def test_a_laptop_asleep_past_the_end_rings_on_waking_and_says_how_late() -> None:
    async with afloat(Timer("LIFT", "Box 14 bag 2", IN_TEN)) as (app, pilot, wall, rung):
        wall.on(10 + 48)
        app.watch_clock()
        await settled(pilot)
        assert rung == [1]
        said = app.screen.query_one(Because).text
        assert said.startswith("Box 14 bag 2: LIFT 18:52, told 48 min late")
        wall.on(3 * 24 * 60)
        await press(pilot, "6")
        assert "Wed 18:52 LIFT" in strip(app)
        assert rung == [1]


async def test_an_end_that_moves_and_comes_again_rings_again() -> None:
    timer = Timer("LIFT", "Box 14 bag 2", IN_TEN)
    async with afloat(timer) as (app, _pilot, wall, rung):
        wall.on(10)
        app.watch_clock()
        app.show_timers((replace(timer, ends=IN_TEN + 300),))
        assert rung == [1]
        wall.on(5)
        app.watch_clock()
        assert rung == [1, 1]


async def test_a_reading_that_is_due_gives_way_to_a_lift() -> None:
    read = Timer("READ", "Box 14 bag 1", IN_TEN - 300, reading=True)
    lift = Timer("LIFT", "Box 14 bag 2", IN_TEN)
    async with afloat(read, lift) as (app, pilot, wall, rung):
        wall.on(5)
        app.watch_clock()
        await press(pilot, "6")
        assert strip(app).endswith("18:47 READ")
        wall.on(5)
        app.watch_clock()
        await press(pilot, "5")
        assert strip(app).endswith("18:52 LIFT")
        assert rung == [1, 1]


async def test_a_clock_that_is_set_back_is_said_and_rung() -> None:
    async with afloat(Timer("LIFT", "Box 14 bag 2", IN_TEN)) as (app, _pilot, wall, rung):
        app.watch_clock()
        wall.on(-60)
        app.watch_clock()
        assert rung == [1]
        assert "went back 60 min" in app.screen.query_one(Because).text


async def test_what_another_program_recorded_is_watched_too() -> None:
    async with afloat() as (app, pilot, _wall, rung):
        room = cast(SampleRoom, app.jobs)
        room.view = replace(room.view, timers=(Timer("LIFT", "Box 9 bag 1", IN_TEN - 900),))
        await press(pilot, "6")
        app.ask_timers()
        await settled(pilot)
        assert rung == [1]
        assert strip(app).endswith("LIFT")
