"""What lies ahead of a vessel: one quiet screen, whole at every size and without colour."""

from __future__ import annotations

import pytest

from intake.flows.views.forecast import ForecastView, HoursBar
from intake.screens.forecast import ForecastScreen, forecast_lines
from intake.screens.theme import Look
from intake.screens.vessels import VesselsScreen
from tests.screens.fits import EVERY_SIZE_AND_LOOK, opened, press, problems, text_of


@pytest.mark.parametrize(("size", "look"), EVERY_SIZE_AND_LOOK)
async def test_it_opens_from_vessels_and_fits(size: tuple[int, int], look: Look) -> None:
    async with opened("vessels", size=size, look=look) as (app, pilot, room):
        await press(pilot, "o")
        assert isinstance(app.screen, ForecastScreen)
        assert problems(app) == []
        text = " ".join(text_of(app).split())
        assert "5.8 to 22 h" in text
        assert "0.31 to over 72 h" in text
        assert "KH" in text
        assert room.wrote == []
        await press(pilot, "escape")
        assert isinstance(app.screen, VesselsScreen)


async def test_gasping_from_there_means_the_same_vessel() -> None:
    async with opened("vessels") as (app, pilot, _room):
        await press(pilot, "o", "0", "g")
        assert "gasping North tub" in text_of(app)


def view(low: float | None, high: float | None, *, short: bool = False) -> ForecastView:
    bar = HoursBar("now", "said", low, high, short)
    return ForecastView("Tub", "hours", (bar,), (("KH", "known"),), "")


@pytest.mark.parametrize(
    ("low", "high", "solid", "dotted"),
    [
        (12.0, 18.0, 0.5, 0.25),
        (0.0, 12.0, 0.0, 0.5),
        (24.0, 99.0, 1.0, 0.0),
        (6.0, None, 0.25, 0.75),
        (None, None, 1.0, 0.0),
    ],
)
def test_the_bar_is_a_day_wide_solid_to_the_careful_end(
    low: float | None, high: float | None, solid: float, dotted: float
) -> None:
    line = forecast_lines(view(low, high), 120, Look())[3].plain
    cells = 120 - 40
    assert line.count("━") == solid * cells
    assert line.count("╍") == dotted * cells
    assert line.count("─") == cells - (solid + dotted) * cells


def test_shorter_than_a_night_is_a_sign_and_no_colour_alone() -> None:
    assert "▲" in forecast_lines(view(3, 9, short=True), 80, Look(plain=True))[3].plain
    assert "▲" not in forecast_lines(view(9, 12), 80, Look())[3].plain


def test_a_vessel_without_fish_has_words_and_no_bar() -> None:
    lines = forecast_lines(ForecastView("Tub", "hours", (), (("fish", "none"),), ""), 80, Look())
    assert [line.plain for line in lines] == ["Ahead  Tub", "", "fish       none"]
