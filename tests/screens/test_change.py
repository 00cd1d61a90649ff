"""The key c on Today: what a change does is seen before it is recorded; feed and the tap."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from intake.flows.views.change import ChangeView
from intake.science.problem import Refused
from intake.screens.change import ChangeScreen
from intake.screens.today import TodayScreen
from intake.screens.widgets.because import Because
from tests.screens.fits import opened, press, problems, text_of
from tests.screens.sample import SampleRoom
from tests.screens.sample_change import CRASH


class Acid(SampleRoom):
    """A vessel whose pH has crashed."""

    def change_foretold(self, vessel: str, typed: Mapping[str, str]) -> ChangeView:  # noqa: ARG002
        return CRASH


class Unknown(SampleRoom):
    """A vessel with readings that are no water."""

    def change_foretold(self, vessel: str, typed: Mapping[str, str]) -> ChangeView:  # noqa: ARG002
        raise Refused("not-in-range", "no such water")


SIZES = [(80, 24), (100, 30), (120, 40)]


async def test_what_it_does_stands_there_before_it_is_recorded() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "c")
        assert isinstance(app.screen, ChangeScreen)
        assert "0.0049" in text_of(app), "the water as it stands, before anything is typed"
        await press(pilot, *"60")
        text = text_of(app)
        assert "7.51, in open air 8.4" in text
        assert "0.0052, at most 0.037" in text
        assert "NH3 limit 0.02 mg/L as N" in text
        assert "▲ temperature goes down by 2.4 C" in text
        assert room.wrote == []
        await press(pilot, "enter")
        assert room.wrote == [("change", ("North tub", {"volume": "60 L"}))]
        assert isinstance(app.screen, TodayScreen)


@pytest.mark.parametrize("size", SIZES)
async def test_the_crash_and_the_way_out_are_whole_at_every_size(size: tuple[int, int]) -> None:
    async with opened(size=size, room=Acid()) as (app, pilot, _room):
        await press(pilot, "c", *"50%")
        text = text_of(app)
        assert "pH crash: 50 % of this water makes NH3 up to 0.22 mg/L as N, limit 0.02" in text
        assert "142.5 L of rain or reverse osmosis" in text
        assert "8.99 g of bicarbonate a day, 1 dKH" in text
        assert "test TAN and KH before every step" in text
        assert "chlorine in the tap" in text
        assert "0.0096, at most 0.22" in text
        assert problems(app) == []


@pytest.mark.parametrize("size", SIZES)
async def test_the_form_fits(size: tuple[int, int]) -> None:
    async with opened(size=size) as (app, pilot, _room):
        await press(pilot, "c", *"60")
        assert problems(app) == []
        assert "in 2 days 2 h, for NH3" in text_of(app)


async def test_a_crash_is_warned_of_and_held_back_by_nothing() -> None:
    async with opened(room=Acid()) as (_app, pilot, room):
        await press(pilot, "c", *"50%", "enter")
        assert room.wrote == [("change", ("North tub", {"volume": "50%"}))]


async def test_what_cannot_be_worked_out_keeps_nobody_from_recording() -> None:
    async with opened(room=Unknown()) as (app, pilot, room):
        await press(pilot, "c", *"60")
        assert "no such water" in app.screen.query_one(Because).text
        await press(pilot, "enter")
        assert room.wrote == [("change", ("North tub", {"volume": "60 L"}))]


async def test_new_water_that_is_not_the_taps_is_said() -> None:
    async with opened() as (_app, pilot, room):
        await press(pilot, "c", *"60", "tab", *"20", "tab", *"1", "enter")
        typed = {"volume": "60 L", "temp": "20 C", "kh": "1 dKH"}
        assert room.wrote == [("change", ("North tub", typed))]


async def test_a_number_that_cannot_be_read_is_not_recorded() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "c", *"6,0", "enter")
        assert room.wrote == []
        assert isinstance(app.screen, ChangeScreen)
        assert problems(app) == []


async def test_feed_is_written_down_from_the_round() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "g", *"5", "tab", *"36", "enter")
        assert room.wrote == [("feed", ("North tub", {"amount": "5 g", "protein": "36"}))]
        await press(pilot, "g")
        assert problems(app) == []


async def test_the_tap_is_tested_under_r() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "r", "f", *"7", "full_stop", "8", "tab", "8")
        assert "Tap water" in text_of(app)
        assert problems(app) == []
        await press(pilot, "enter")
        assert room.wrote == [("add", ("tap", {"ph": "7.8", "kh": "8 dKH"}))]
