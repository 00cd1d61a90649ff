"""The papers of a dose and a tub from the screens: what was picked is made, and where is said."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from intake.flows.jobs import RoomJobs
from intake.report.dose_record import NAMES
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

BOX = {"shape": "box", "length": "100 cm", "width": "50 cm", "depth": "40 cm"}


@pytest.mark.parametrize(("size", "look"), SLOW_AT_EVERY_SIZE)
async def test_the_papers_fit(size: tuple[int, int], look: Look) -> None:
    async with opened("vessels", size=size, look=look) as (app, pilot, _):
        await press(pilot, "p")
        assert problems(app) == []
        await press(pilot, "b")
        assert problems(app) == []
        await press(pilot, "escape", "p", "c")
        assert problems(app) == []
        await press(pilot, "enter")
        assert problems(app) == []
        assert "Record of a treatment" in text_of(app)


async def test_a_card_is_made_and_its_place_said() -> None:
    async with opened("vessels") as (app, pilot, _):
        await press(pilot, "p", "b", "b")
        said = app.screen.query_one(Because).text
        assert "card of North tub is in /home/ana/tub-card-6.html" in said


async def test_the_twenty_are_read_one_by_one_and_then_on_paper() -> None:
    async with opened("fish") as (app, pilot, _):
        await press(pilot, "d", "enter")
        for name in NAMES[:8]:
            assert name in text_of(app)
        await press(pilot, "down", "enter")
        assert f"2  {NAMES[1]}" in text_of(app)
        assert "unknown" in text_of(app)
        await press(pilot, "escape")
        assert "Record of a treatment" in text_of(app), "back to the list"
        await press(pilot, *["down"] * 20, "enter")
        assert "entry 41 is in /home/ana/dose-41.pdf" in app.screen.query_one(Because).text


async def test_in_a_room_the_card_is_made_and_the_dose_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    small = small_desk(tmp_path)
    put(small, "2026-11-05 08:00", "vessel", name="Tub", **BOX)
    put(small, "2026-11-05 09:00", "dose", system="Tub", treatment="salt", amount="200 g")
    desk = then(small, "2026-11-05 10:00")
    app = IntakeApp(RoomJobs(desk), Look(), desk.clock.now, tick=Tick())
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await app.switch_mode("vessels")
        await settled(pilot)
        await press(pilot, "p", "b", "c")
        for _ in range(50):
            if "setting the card" not in app.screen.query_one(Because).text:
                break
            await settled(pilot)
        assert "the card of Tub is in" in app.screen.query_one(Because).text
        (made,) = tmp_path.glob("tub-card-*.txt")
        assert "Tub" in made.read_text(encoding="utf-8")
        await press(pilot, "p", "c")
        assert "Salt" in text_of(app)
        await press(pilot, "enter")
        assert "Record of a treatment" in text_of(app)
        assert problems(app) == []
        assert not app.screen.query(Input)
