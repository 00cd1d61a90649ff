"""Gauging by keys alone, on a room: buckets counted and gone on with, a salt step, settling."""

from __future__ import annotations

from pathlib import Path
from typing import cast

import pytest

from intake.flows.jobs import RoomJobs
from tests.flows.job_rooms import put, small_desk, then
from tests.screens.fits import LOOKS, opened, press, problems, text_of
from tests.screens.sample import SampleRoom

NOON = "2026-11-16 12:00"


@pytest.fixture
def jobs(tmp_path: Path) -> RoomJobs:
    desk = small_desk(tmp_path)
    put(desk, "2026-11-16 09:00", "vessel", name="Tub", shape="box", length="100 cm",
        width="50 cm", depth="40 cm")  # fmt: skip
    return RoomJobs(then(desk, NOON))


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_buckets_are_counted_paused_and_gone_on_with(
    jobs: RoomJobs, size: tuple[int, int]
) -> None:
    room = cast(SampleRoom, jobs)
    async with opened("vessels", size, LOOKS[2], room) as (app, pilot, _):
        await press(pilot, "f", "d", "1", "0", "enter")
        await press(pilot, "space", "space", "space", "d", "1", "0", "enter")
        assert "3 buckets, 30 L" in text_of(app)
        assert problems(app) == []
        await press(pilot, "escape")
        await press(pilot, "down")
        assert "paused at 3 buckets" in text_of(app)
        assert problems(app) == []
        await press(pilot, "f", "d")
        assert "depth last read 10 cm" in text_of(app)
        await press(pilot, "space", "space", "space", "d", "2", "0", "enter", "f", "b")
    view = jobs.vessel("Tub")
    assert {g.method for g in view.gauged} == {"marks", "tape"}
    assert view.digits == "60"


async def test_a_salt_step_is_read_back_and_waits(jobs: RoomJobs) -> None:
    room = cast(SampleRoom, jobs)
    async with opened("vessels", (80, 24), LOOKS[0], room) as (app, pilot, _):
        await press(pilot, "f", "c", *"335", "space", *"uS", "slash", *"cm", "enter")
        assert "How much salt" in text_of(app)
        assert problems(app) == []
        await press(pilot, "enter")
        assert "Read back" in text_of(app)
        assert problems(app) == []
        await press(pilot, "enter")  # focus is on Cancel
        assert jobs.gauging("Tub").waiting == ""
        await press(pilot, "f", "c", *"335", "space", *"uS", "slash", *"cm", "enter", "enter", "b")
        assert jobs.gauging("Tub").waiting
        await press(pilot, "f", "c")
        assert "Read the meter again" in text_of(app)
        assert problems(app) == []


async def test_ways_are_settled_with_a_reason(jobs: RoomJobs) -> None:
    jobs.gauging_record(
        "gauge", {"vessel": "Tub", "way": "metered", "bucket": "10 L", "count": "14"}, ""
    )
    room = cast(SampleRoom, jobs)
    async with opened("vessels", (80, 24), LOOKS[0], room) as (app, pilot, _):
        assert "they differ" in text_of(app)
        await press(pilot, "s", "a", *"leak", "enter")
        assert "settled: fill" in text_of(app)
        assert problems(app) == []
    assert jobs.vessel("Tub").digits == "140"


async def test_a_vessel_nobody_measured_is_known_by_its_buckets(jobs: RoomJobs) -> None:
    room = cast(SampleRoom, jobs)
    async with opened("vessels", (80, 24), LOOKS[2], room) as (app, pilot, _):
        await press(pilot, "n", "l", "a", *"Pond", "tab", "tab", "tab", *"10", "enter")
        assert problems(app) == []
        await press(pilot, "space", "space", "d", *"10", "enter", "escape")
        await press(pilot, "b")
        assert "go on with Pond, 2 buckets, 20 L" in text_of(app)
        assert problems(app) == []
        await press(pilot, "a", "space", "space", "d", *"20", "enter", "f", "b")
    view = jobs.vessel("Pond")
    assert view.digits == "40"
    assert view.shape.startswith("levels")
