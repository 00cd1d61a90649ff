"""Midnight passes while a screen is open, or the machine wakes on another day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import cast

import pytest

from intake.flows.views.calendar import CalendarView
from intake.flows.views.today import TodayView
from intake.screens.app import IntakeApp
from intake.screens.calendar import CalendarScreen
from intake.screens.jobs import Jobs
from intake.screens.theme import Look
from tests.screens.fits import Tick, press, settled, text_of
from tests.screens.sample import SampleRoom
from tests.screens.test_watch import Wall


class Dated(SampleRoom):
    """Today and Calendar show the day of the wall clock."""

    def __init__(self, wall: Wall) -> None:
        super().__init__()
        self.wall = wall
        self.asked = 0

    def today(self) -> TodayView:
        self.asked += 1
        return replace(super().today(), date_text=f"{self.wall.now:%a %d %b %Y}")

    def calendar(self) -> CalendarView:
        return replace(super().calendar(), today=self.wall.now.date())


@pytest.mark.parametrize(
    ("minutes", "shown"), [(6 * 60, "Thu 26 Nov 2026"), (3 * 24 * 60, "Sat 28 Nov 2026")]
)
async def test_today_is_the_new_day_without_a_key(minutes: int, shown: str) -> None:
    wall = Wall()
    room = Dated(wall)
    app = IntakeApp(cast(Jobs, room), Look(), wall, tick=Tick())
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "Wed 25 Nov 2026" in text_of(app)
        app.watch_clock()
        await settled(pilot)
        before = room.asked
        wall.on(minutes)
        app.watch_clock()
        await settled(pilot)
        assert shown in text_of(app)
        assert room.asked == before + 1
        app.watch_clock()
        await settled(pilot)
        assert room.asked == before + 1


async def test_a_question_in_front_stays_and_today_follows_when_it_is_closed() -> None:
    wall = Wall()
    app = IntakeApp(cast(Jobs, Dated(wall)), Look(), wall, tick=Tick())
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await press(pilot, "s")
        front = app.screen
        wall.on(6 * 60)
        app.watch_clock()
        await settled(pilot)
        assert app.screen is front
        await press(pilot, "escape")
        assert "Thu 26 Nov 2026" in text_of(app)


@pytest.mark.parametrize(("aside", "cursor"), [(0, date(2026, 11, 26)), (2, date(2026, 11, 27))])
async def test_the_cursor_of_calendar_goes_along_only_from_today(aside: int, cursor: date) -> None:
    wall = Wall()
    app = IntakeApp(cast(Jobs, Dated(wall)), Look(), wall, tick=Tick())
    async with app.run_test(size=(80, 24)) as pilot:
        await app.switch_mode("calendar")
        await settled(pilot)
        screen = app.screen
        assert isinstance(screen, CalendarScreen)
        await press(pilot, *["right"] * aside)
        assert screen.cursor == date(2026, 11, 25) + timedelta(aside)
        wall.on(6 * 60)
        app.watch_clock()
        await settled(pilot)
        assert screen.cursor == cursor
