"""Isolating, letting in again and linking by keys, on a real room."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from intake.clock import Clock
from intake.flows import rooms
from intake.flows.desk import Desk
from intake.flows.jobs import RoomJobs
from intake.flows.record import record
from intake.screens.app import IntakeApp
from intake.screens.theme import Look
from tests.screens.fits import Tick, press, problems, settled, text_of

NOW = datetime(2026, 3, 1, 10, 0, tzinfo=UTC)


def room(folder: Path) -> Desk:
    desk = Desk(folder / "room.db", clock=Clock(NOW), keeper="Ana")
    rooms.new_room(desk, {"time_zone": "UTC"})
    tub = {"shape": "box", "length": "100 cm", "width": "100 cm", "depth": "31 cm"}
    record(desk, "vessel", {**tub, "name": "A", "system": "S", "connected": "60 L"})
    record(desk, "vessel", {**tub, "name": "B", "system": "S", "width": "50 cm"})
    record(desk, "vessel", {**tub, "name": "C"})
    return desk


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_out_of_the_shared_water_and_in_again(tmp_path: Path, size: tuple[int, int]) -> None:
    desk = room(tmp_path)
    app = IntakeApp(RoomJobs(desk), Look(), lambda: NOW, tick=Tick())
    app.begin("today", first=False)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        await press(pilot, "6")
        assert "total" in text_of(app)
        await press(pilot, "i")
        assert "A alone is 310 L; 215 L stay in S" in " ".join(text_of(app).split())
        assert problems(app) == []
        await press(pilot, "enter", "escape")
        assert rooms.show_room(desk)["systems"][0]["isolated"] == []
        await press(pilot, "i", "r")
        assert rooms.show_room(desk)["systems"][0]["isolated"] == ["A"]
        assert "isolated from S" in " ".join(text_of(app).split())
        assert problems(app) == []
        await press(pilot, "i", "r")
        assert rooms.show_room(desk)["systems"][0]["isolated"] == []


async def test_a_link_is_made_and_ended(tmp_path: Path) -> None:
    desk = room(tmp_path)
    app = IntakeApp(RoomJobs(desk), Look(), lambda: NOW, tick=Tick())
    app.begin("today", first=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await press(pilot, "6", "k", "a", "b")
        links = rooms.show_room(desk)["links"]
        assert [(x["a"], x["b"], x["by"]) for x in links] == [("S", "C", "splash")]
        await press(pilot, "k")
        assert "no longer: S and C by splash" in text_of(app)
        assert problems(app) == []
        await press(pilot, "b")
        assert rooms.show_room(desk)["links"] == []
