"""The charts of a run: one at a time or stacked, whole in every size, and without colour."""

from __future__ import annotations

import pytest

from intake.screens.theme import Look
from tests.screens.fits import EVERY_SIZE_AND_LOOK, LOOKS, opened, press, problems, text_of
from tests.screens.sample import SampleRoom
from tests.screens.sample_receive import RUN


def running() -> SampleRoom:
    room = SampleRoom()
    room.bag_view = RUN
    return room


@pytest.mark.parametrize(("size", "look"), EVERY_SIZE_AND_LOOK)
async def test_every_chart_is_whole(size: tuple[int, int], look: Look) -> None:
    async with opened("receive", size, look, running()) as (app, pilot, _room):
        await press(pilot, "down", "enter")
        for name in ("temperature, C", "pH", "NH3, mg/L as N"):
            await press(pilot, "g")
            text = text_of(app)
            assert any(line.strip().startswith(name) for line in text.splitlines())
            assert problems(app) == []
            if look.ascii:
                assert text.isascii()
        await press(pilot, "g")
        assert "18:24" in text_of(app), "the steps are back"


@pytest.mark.parametrize("look", LOOKS)
async def test_the_limit_the_readings_and_now_are_words_or_marks(look: Look) -> None:
    async with opened("receive", (80, 24), look, running()) as (app, pilot, _room):
        await press(pilot, "down", "enter", "g")
        text = text_of(app)
        assert "measured 17.2 at 28 min" in text
        assert text.count("o" if look.ascii else "●") >= 2
        await press(pilot, "g", "g")
        text = text_of(app)
        assert "limit 0.05" in text
        assert "now 0.017 to 0.042" in text
        wall = next(line for line in text.splitlines() if line.endswith("limit 0.05"))
        assert ("=" if look.ascii else "━") * 10 in wall
        assert ("|" if look.ascii else "│") in text


async def test_all_three_stand_together_where_there_is_room() -> None:
    async with opened("receive", (120, 40), None, running()) as (app, pilot, _room):
        await press(pilot, "down", "enter")
        text = text_of(app)
        for words in ("temperature, C", "pH   now", "NH3, mg/L as N", "limit 0.05", "min"):
            assert words in text
        assert problems(app) == []
