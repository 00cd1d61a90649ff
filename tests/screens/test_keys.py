"""Keys of the jobs that came last: the first start, a shelf, claims, what went in already."""

from __future__ import annotations

from pathlib import Path
from typing import cast

import pytest

from intake.clock import Clock
from intake.flows.desk import Desk
from intake.flows.jobs import RoomJobs
from intake.screens.app import IntakeApp
from intake.screens.dose import DoseScreen
from intake.screens.dose_faces import DONE
from intake.screens.first import FirstScreen
from intake.screens.jobs import Jobs
from intake.screens.theme import Look
from intake.screens.today import TodayScreen
from intake.screens.vessels import VesselsScreen
from intake.screens.widgets.because import Because
from tests.screens.fits import EVERY_SIZE_AND_LOOK, Tick, opened, press, problems, settled, text_of
from tests.screens.sample import NOW, SampleRoom, now


@pytest.mark.parametrize(("size", "look"), EVERY_SIZE_AND_LOOK)
async def test_the_first_start_fits_and_waits_for_a_choice(
    size: tuple[int, int], look: Look
) -> None:
    app = IntakeApp(cast(Jobs, SampleRoom()), look, now, tick=Tick())
    app.begin("today", first=True)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        assert problems(app) == []
        await press(pilot, "6", "escape")
        assert isinstance(app.screen, FirstScreen)
        await press(pilot, "s")
        assert problems(app) == []


async def test_a_room_that_is_not_there_is_named_and_never_made_by_looking(
    tmp_path: Path,
) -> None:
    folder = tmp_path / ("a folder with a long name " * 6).strip()
    folder.mkdir()
    room = folder / "typo.db"
    app = IntakeApp(RoomJobs(Desk(room, clock=Clock(NOW))), Look(), now, tick=Tick())
    app.begin("today", first=True)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "typo.db" in "".join(text_of(app).split())
        assert "is it the one you meant" in " ".join(text_of(app).split())
        await press(pilot, "1", "6", "escape", "s", "escape")
        assert list(folder.iterdir()) == []
        await press(pilot, "s", *"Ana", "enter")
        assert isinstance(app.screen, TodayScreen)
        assert [p.name for p in folder.iterdir() if p.suffix == ".db"] == ["typo.db"]


async def test_the_demo_room_is_built_beside_and_nothing_else(tmp_path: Path) -> None:
    app = IntakeApp(RoomJobs(Desk(tmp_path / "room.db")), Look(), now, tick=Tick())
    app.begin("today", first=True)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await press(pilot, "d")
        assert isinstance(app.screen, TodayScreen)
        assert "Blue pool" in text_of(app)
        assert [p.name for p in tmp_path.iterdir() if p.suffix == ".db"] == ["demo-room.db"]


async def test_a_scale_is_added_to_the_room() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "r")
        assert "scale 0.01 g" in text_of(app)
        await press(pilot, "a", *"0.1", "tab", *"pocket", "enter")
        assert room.wrote == [("add", ("tool", {"step": "0.1 g", "name": "pocket"}))]


async def test_a_new_vessel_says_its_name_and_zone() -> None:
    async with opened("vessels") as (app, pilot, room):
        assert isinstance(app.screen, VesselsScreen)
        await press(pilot, "n", "a", *"Tub", "tab", "ctrl+u", *"quarentine", "enter")
        assert room.wrote == []
        assert problems(app) == []
        await press(pilot, "ctrl+u", *"quarantine", "tab")
        for size in ("120", "70", "35"):
            await press(pilot, *size, "tab")
        await press(pilot, "enter")
        [(what, args)] = room.wrote
        typed = cast(dict[str, str], args[2])
        assert (what, args[1]) == ("vessel", "box")
        assert (typed["name"], typed["zone"]) == ("Tub", "quarantine")


async def test_a_bag_more_a_claim_and_where_they_go() -> None:
    async with opened("receive") as (app, pilot, room):
        await press(pilot, "b", "c", *"18:10", "enter")
        assert room.wrote[0][0] == "bag_new"
        assert room.wrote[1] == ("claim", ("Box 14", {"sent": "18:10"}))
        await press(pilot, "enter", "v")
        assert problems(app) == []


async def test_what_went_in_already_shows_the_limit_it_broke() -> None:
    async with opened("dose") as (app, pilot, room):
        await press(pilot, "a", "g", *"1500", "tab", *"tipped", "enter")
        screen = app.screen
        assert isinstance(screen, DoseScreen)
        assert screen.face == DONE
        what, args = room.wrote[-1]
        assert (what, args[2]) == ("given", {"amount": "1500 g", "why": "tipped"})
        assert "over the hard limit" in " ".join(text_of(app).split())
        assert problems(app) == []


async def test_a_dose_under_way_is_stopped_from_its_read_back() -> None:
    async with opened("dose") as (app, pilot, room):
        await press(pilot, "a", "x", "a")
        assert room.wrote == [("stop", ("North tub", "salt", False))]
        assert "recorded 18:42" in app.screen.query_one(Because).text
