"""The round: what each key of Today writes, and how the list follows."""

from __future__ import annotations

from dataclasses import replace

import pytest
from textual.pilot import Pilot

from intake.flows.views.today import TodayView
from intake.screens.app import IntakeApp
from intake.screens.today import TodayScreen
from intake.screens.today_lines import NO_VESSEL
from intake.screens.widgets.because import Because
from intake.screens.widgets.walk import WalkList
from tests.screens.fits import opened, press, problems, text_of
from tests.screens.sample import ALERT, SampleRoom


def here(app: IntakeApp) -> str:
    stop = app.screen.query_one(WalkList).stop
    assert stop is not None
    return stop.vessel


async def test_it_begins_at_the_first_vessel_still_open() -> None:
    async with opened() as (app, _pilot, _room):
        assert here(app) == "North tub"
        because = app.screen.query_one(Because).text
        assert because.startswith("the plan looks daily")


async def test_all_well_folds_the_row_and_goes_on() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "a")
        assert room.wrote == [("all_well", ("North tub",))]
        assert here(app) == "Racetrack"
        assert app.screen.query_one(Because).text == "recorded 18:42, key u corrects it"
        text = text_of(app)
        assert "4 of 7 done" in text
        assert "all well 18:42" in text
        assert problems(app) == []


async def test_a_whole_round_is_seven_keys() -> None:
    room = SampleRoom()
    stops = tuple(replace(s, done_text="") for s in room.view.stops)
    room.view = replace(room.view, stops=stops)
    async with opened(room=room) as (app, pilot, _room):
        await press(pilot, *["a"] * 7)
        assert [what for what, _ in room.wrote] == ["all_well"] * 7
        assert {args[0] for _, args in room.wrote} == {s.vessel for s in stops}
        assert "7 of 7 done" in text_of(app)


async def test_a_drip_writes_once() -> None:
    async with opened() as (app, pilot, room):
        app.guard.tick = lambda: 5.0
        app.guard._appeared = 0.0
        await press(pilot, "a", "a", "a")
        assert len(room.wrote) == 1


async def test_something_seen_is_five_keys() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "s", "c", "a", "2", "enter")
        assert room.wrote == [("seen", ("Coal", "clamped-fins", 2, None))]
        assert isinstance(app.screen, TodayScreen)


async def test_enter_alone_never_records_a_sign() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "s", "enter", "enter", "enter", "enter")
        assert room.wrote == []
        assert "Press 0, 1, 2 or 3" in app.screen.query_one(Because).text


async def test_a_group_is_asked_how_many() -> None:
    class Many(SampleRoom):
        def seen_choice(self, vessel: str):  # type: ignore[no-untyped-def]
            choice = super().seen_choice(vessel)
            return replace(choice, subjects=(("Fry", "fry", 40),))

    room = Many()
    async with opened(room=room) as (_app, pilot, _room):
        await press(pilot, "s", "a", "1", "enter", "3", "enter")
        assert room.wrote == [("seen", ("Fry", "clamped-fins", 1, 3))]


async def test_a_water_test_is_fourteen_keys() -> None:
    async with opened() as (_app, pilot, room):
        keys = [
            "w",
            *"19",
            "full_stop",
            "4",
            "tab",
            "7",
            "full_stop",
            "6",
            "tab",
            "0",
            "full_stop",
            "3",
            "enter",
        ]
        assert len(keys) == 14
        await press(pilot, *keys)
        typed = {"temp": "19.4 C", "ph": "7.6", "tan": "0.3 mg/L as N"}
        assert room.wrote == [("reading", ("North tub", typed))]


async def test_a_wrong_number_is_named_and_nothing_is_recorded() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "w", *"19,4", "enter")
        assert room.wrote == []
        assert "Nothing was recorded" in app.screen.query_one(Because).text
        assert problems(app) == []
        await press(pilot, "escape")
        assert room.wrote == []


async def test_skip_asks_which_and_why() -> None:
    async with opened() as (_app, pilot, room):
        await press(pilot, "k", "b", "c")
        assert room.wrote == [("skip", ("n/2", "fish were resting"))]


async def test_correct_takes_back_with_a_reason() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "up", "up")
        assert here(app) == "Window tank"
        await press(pilot, "u")
        assert "look: Window tank" in text_of(app)
        await press(pilot, "a", "b", "a")
        assert room.wrote == [("void", (801, "pressed by mistake"))]


async def test_correct_changes_a_value_and_asks_why() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "u", "b", "a", "tab", *["backspace"] * 3, *"7.7")
        assert problems(app) == []
        await press(pilot, "enter")
        assert room.wrote == []
        assert "why it was wrong" in app.screen.query_one(Because).text
        await press(pilot, *"misread", "enter")
        typed = {"temp": "19.4 C", "ph": "7.7"}
        assert room.wrote == [("correct", (799, typed, "misread"))]


async def test_a_death_asks_who_and_since_when() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "f", "b", *"22:00", "enter")
        assert room.wrote == [("death", ("Brick", {"last-seen": "22:00", "how": "found"}))]
        assert "keep it cool, not frozen" in app.screen.query_one(Because).text


async def test_a_treatment_is_stopped_and_washed_out() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "x")
        assert problems(app) == []
        await press(pilot, "b")
        assert room.wrote == [("stop", ("North tub", "salt", True))]


async def test_tasks_are_done_and_skipped_one_by_one() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "t", "down", "space", "down", "k", "a")
        assert problems(app) == []
        assert room.wrote == [("done", ("n/2",)), ("skip", ("n/3", "not at home"))]
        await press(pilot, "space", "escape")
        assert len(room.wrote) == 2


async def test_how_they_ate_is_one_look() -> None:
    async with opened() as (_app, pilot, room):
        await press(pilot, "y", "b")
        assert room.wrote == [("appetite", ("North tub", "some"))]


async def test_alerts_show_the_worst_and_the_rest_on_e() -> None:
    room = SampleRoom()
    watch = replace(ALERT, urgency="watch", text="pH fell 0.3 since yesterday")
    room.view = replace(room.view, alerts=(watch, ALERT))
    async with opened(room=room) as (app, pilot, _room):
        assert "call your vet" in text_of(app)
        assert "+ 1 more" in text_of(app)
        assert problems(app) == []
        await press(pilot, "e", "down")
        assert "pH fell 0.3" in text_of(app)
        assert problems(app) == []


async def test_an_empty_room_says_the_one_key() -> None:
    room = SampleRoom()
    room.view = TodayView("Wed 25 Nov 2026", (), None)
    async with opened(room=room) as (app, pilot, _room):
        assert NO_VESSEL.split(".")[0] in text_of(app)
        await press(pilot, "a", "s", "w", "d", "c", "k", "u", "down", "enter")
        assert room.wrote == []
        assert problems(app) == []


async def test_find_opens_the_first_name() -> None:
    async with opened() as (app, pilot, _room):
        await press(pilot, "slash", *"co")
        assert "Coal" in text_of(app)
        assert "Copper" in text_of(app)
        assert problems(app) == []


@pytest.mark.parametrize("count", [1, 12, 60])
async def test_a_long_round_scrolls_and_keeps_the_cursor(count: int) -> None:
    room = SampleRoom()
    stop = replace(room.view.stops[3], crossing="")
    stops = tuple(replace(stop, vessel=f"Vessel {n:02d}") for n in range(count))
    room.view = replace(room.view, stops=stops)
    async with opened(room=room) as (app, pilot, _room):
        await press(pilot, "end")
        assert here(app) == f"Vessel {count - 1:02d}"
        assert f"Vessel {count - 1:02d}" in text_of(app)
        assert problems(app) == []


async def test_a_tap_on_a_row_and_on_a_button() -> None:
    async with opened() as (app, pilot, room):
        await tap(pilot, 12, 11)
        assert here(app) == "Racetrack"
        await pilot.click("#all_well")
        await press(pilot)
        await app.workers.wait_for_complete()
        assert room.wrote == [("all_well", ("Racetrack",))]


async def tap(pilot: Pilot[None], x: int, y: int) -> None:
    await pilot.click(offset=(x, y))
    await pilot.pause()
