"""The calendar as a file from its screen: what was picked is made, and where is said."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from intake.flows.jobs import RoomJobs
from intake.screens.app import IntakeApp
from intake.screens.theme import Look
from intake.screens.widgets.because import Because
from tests.flows.job_rooms import put, small_desk, then
from tests.screens.fits import (
    SLOW_AT_EVERY_SIZE,
    Tick,
    opened,
    press,
    problems,
    settled,
    text_of,
)


@pytest.mark.parametrize(("size", "look"), SLOW_AT_EVERY_SIZE)
async def test_the_choice_and_its_form_fit(size: tuple[int, int], look: Look) -> None:
    async with opened("calendar", size=size, look=look) as (app, pilot, _):
        assert problems(app) == []
        await press(pilot, "p")
        assert problems(app) == []
        assert "events for another calendar" in text_of(app)
        await press(pilot, "a")
        assert problems(app) == []
        field = app.focused
        assert isinstance(field, Input)
        assert field.value == "/home/ana/calendar.ics"


async def test_one_water_or_all_of_them() -> None:
    async with opened("calendar") as (app, pilot, room):
        await press(pilot, "p", "b", "enter")
        await press(pilot, "p", "c", "tab", *"Racetrack", "enter")
        assert room.wrote == [
            ("calendar", ("", "/home/ana/calendar.pdf")),
            ("calendar", ("Racetrack", "/home/ana/calendar.html")),
        ]
        assert "calendar.html" in app.screen.query_one(Because).text


async def test_in_a_room_the_events_are_made_and_made_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    small = small_desk(tmp_path)
    put(small, "2026-11-05 08:00", "vessel", name="Tub", shape="box", length="100 cm",
        width="50 cm", depth="40 cm")  # fmt: skip
    put(small, "2026-11-05 09:00", "quarantine", system="Tub", plan="standard")
    desk = then(small, "2026-11-05 10:00")
    app = IntakeApp(RoomJobs(desk), Look(), desk.clock.now, tick=Tick())
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await app.switch_mode("calendar")
        await settled(pilot)
        for _ in range(2):
            await press(pilot, "p", "a", "enter")
            for _ in range(50):
                if "setting the calendar" not in app.screen.query_one(Because).text:
                    break
                await settled(pilot)
            assert "calendar.ics" in app.screen.query_one(Because).text
    assert [path.name for path in tmp_path.glob("*.ics")] == ["calendar.ics"]
