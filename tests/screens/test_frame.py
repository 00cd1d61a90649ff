"""The frame of every screen: keys, sizes, what is shown when there is no room."""

from __future__ import annotations

from dataclasses import replace

import pytest
from textual.widgets import Input

from intake.flows.views.parts import Timer
from intake.screens.theme import Look
from intake.screens.today import TodayScreen
from intake.screens.widgets.because import Because
from tests.screens.fits import (
    EVERY_SIZE_AND_LOOK,
    SIZES,
    opened,
    press,
    problems,
    settled,
    text_of,
)
from tests.screens.sample import ALERT, NOW, SampleRoom

NASTY = "gill [/ flare [b + x]"


@pytest.mark.parametrize(("size", "look"), EVERY_SIZE_AND_LOOK)
async def test_today_fits(size: tuple[int, int], look: Look) -> None:
    async with opened(size=size, look=look) as (app, pilot, room):
        assert problems(app) == []
        room.view = replace(room.view, alerts=(ALERT, ALERT))
        await press(pilot, "question_mark")
        assert problems(app) == []
        await press(pilot, "escape")
        assert problems(app) == []


@pytest.mark.parametrize("size", [(39, 24), (80, 11), (32, 10)])
async def test_too_small_says_so_and_names_what_runs(size: tuple[int, int]) -> None:
    room = SampleRoom()
    ends = NOW.timestamp() + 600
    room.view = replace(room.view, timers=(Timer("LIFT", "Box 14", ends),))
    async with opened(size=size, room=room) as (app, _pilot, _room):
        text = text_of(app)
        assert "40 x 12 needed" in text
        assert f"this is {size[0]} x {size[1]}" in text
        assert "Box 14 LIFT" in text
        assert "North tub" not in text


async def test_the_clock_becomes_a_banner_when_something_is_overdue() -> None:
    room = SampleRoom()
    room.view = replace(room.view, timers=(Timer("LIFT", "Box 14", NOW.timestamp() - 60),))
    async with opened(room=room) as (app, _pilot, _room):
        assert "18:41 LIFT" in text_of(app).splitlines()[0]
        assert problems(app) == []


async def test_outside_text_is_never_markup() -> None:
    room = SampleRoom()
    stops = tuple(
        replace(s, vessel=NASTY, zone=NASTY, occupants=NASTY, because=NASTY)
        for s in room.view.stops
    )
    room.view = replace(room.view, stops=stops, date_text=NASTY)
    for size in SIZES:
        async with opened(size=size, room=room) as (app, _pilot, _room):
            assert NASTY in text_of(app)
            assert problems(app) == []


async def test_help_names_every_key_of_the_footer() -> None:
    async with opened() as (app, pilot, _room):
        feet = app.screen.FEET  # type: ignore[attr-defined]
        await press(pilot, "question_mark")
        text = text_of(app)
        for foot in feet:
            assert foot.label in text
        assert "label and your vet come first" in " ".join(text.split())


async def test_something_is_wrong_asks_nothing_first() -> None:
    async with opened() as (app, pilot, _room):
        await press(pilot, "0")
        text = text_of(app)
        assert "Air on" in text
        assert "never held back" in " ".join(text.split())
        assert problems(app) == []
        await press(pilot, "w", "a")
        assert "Air stone on full" in text_of(app)
        await press(pilot, "escape")
        assert isinstance(app.screen, TodayScreen)


async def test_the_palette_turns_over_and_plain_has_none() -> None:
    async with opened() as (app, pilot, _room):
        await press(pilot, "ctrl+n")
        assert app.theme == "day"
        await press(pilot, "ctrl+n")
        assert app.theme == "night"
    async with opened(look=Look(plain=True)) as (app, pilot, _room):
        await press(pilot, "ctrl+n")
        assert app.theme == "plain"


async def test_plain_paints_no_colour_at_all() -> None:
    async with opened(look=Look(plain=True)) as (app, _pilot, _room):
        for strip in app.screen._compositor.render_strips():
            for segment in strip:
                style = segment.style
                assert style is not None
                assert style.color is None or style.color.is_default
                assert style.bgcolor is None or style.bgcolor.is_default


async def test_a_number_typed_fast_into_a_new_form_is_whole() -> None:
    async with opened() as (app, pilot, room):
        await pilot.press("c", *"60", "enter")
        await settled(pilot)
        del app
        assert room.wrote == [("change", ("North tub", {"volume": "60 L"}))]


async def test_digits_type_in_a_field() -> None:
    async with opened() as (app, pilot, _room):
        await press(pilot, "w", "1", "9")
        assert app.current_mode == "today"
        assert app.screen.query(Input).first().value == "19"


async def test_a_refusal_says_that_nothing_was_recorded() -> None:
    from intake.science.problem import Refused

    class Refusing(SampleRoom):
        def all_well(self, vessel: str) -> object:  # type: ignore[override]
            raise Refused("keeper-unknown", f"who looks at {vessel}?", way_out="name the keeper")

    async with opened(room=Refusing()) as (app, pilot, room):
        await press(pilot, "a")
        said = app.screen.query_one(Because).text
        assert "Nothing was recorded." in said
        assert "Name the keeper." in said
        assert room.wrote == []
