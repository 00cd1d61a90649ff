"""Measuring a vessel by keys: the shape from its drawing, the sizes beside one that follows."""

from __future__ import annotations

from math import pi
from pathlib import Path
from typing import cast

import pytest
from textual.pilot import Pilot

from intake.drawing.samples import SAMPLES
from intake.flows import rooms
from intake.flows.jobs import RoomJobs
from intake.science import volume
from intake.screens.app import IntakeApp
from intake.screens.jobs import Jobs
from intake.screens.measure import AS_SOLD, MeasureScreen
from intake.screens.shape_pick import SHAPES, ShapeScreen
from intake.screens.theme import Look
from intake.screens.vessels import VesselsScreen
from intake.screens.widgets.because import Because
from intake.screens.widgets.shape_drawing import cut_of, plan_of
from intake.screens.widgets.vessel_drawing import cut_lines
from tests.flows.job_rooms import small_desk
from tests.screens.fits import (
    SLOW_AT_EVERY_SIZE,
    Tick,
    opened,
    press,
    problems,
    settled,
    text_of,
)
from tests.screens.sample import now

DUMB = Look(plain=True, ascii=True)


def plain(lines: list[object]) -> list[str]:
    return [str(line).rstrip() for line in lines]


# the picker


def test_every_shape_that_is_no_gauging_can_be_picked() -> None:
    walls = {s.name for s in volume.SHAPES.values() if s.family != "gauge"}
    assert {name for name, _ in SHAPES} == walls
    assert set(SAMPLES) == walls - {"levels"}


@pytest.mark.parametrize(("size", "look"), SLOW_AT_EVERY_SIZE)
async def test_every_shape_is_whole_under_the_cursor(size: tuple[int, int], look: Look) -> None:
    async with opened("vessels", size=size, look=look) as (app, pilot, _room):
        await press(pilot, "n")
        for _ in SHAPES:
            assert problems(app) == []
            assert size[0] < 80 or app.screen.query_one(Because).whole
            await press(pilot, "right")
        assert cast(ShapeScreen, app.screen).cursor == len(SHAPES) - 1


async def test_oval_and_racetrack_are_told_apart() -> None:
    async with opened("vessels") as (app, pilot, _room):
        await press(pilot, "n", "right", "right")
        assert "Taken for an oval" in app.screen.query_one(Because).text
        await press(pilot, "right")
        assert "Taken for a racetrack" in app.screen.query_one(Because).text
        await press(pilot, "down")
        assert cast(ShapeScreen, app.screen).cursor == 7  # four drawings beside each other


def test_an_l_in_ascii() -> None:
    assert plain(list(plan_of("lshape", 24, 8, DUMB))) == [
        "########################",
        "#~~~~~~~~~~~~~~~~~~~~~~#",
        "#~~~~~~~~~~~~~~~~~~~~~~#",
        "#~~~~~~~~~~~############",
        "#~~~~~~~~~~#",
        "#~~~~~~~~~~#",
        "#~~~~~~~~~~#",
        "############",
    ]


def test_a_bowl_cut_in_ascii() -> None:
    drawn = plain(list(cut_of("bowl", 24, 8, DUMB)))
    assert drawn[-1].strip().startswith("\\")
    assert drawn[-1].strip().endswith("/")
    assert sum("~" in row for row in drawn) == len(drawn) - 1
    assert all(row.isascii() for row in drawn)


def test_slices_cut_in_ascii() -> None:
    rows = plain(list(cut_of("slices", 26, 7, DUMB)))
    inner = [len(row.strip()) for row in rows]
    assert inner == sorted(inner, reverse=True)
    assert inner[-1] < inner[0] / 1.6  # 50 cm at the floor, 100 at the top


# the sizes


class Measuring:
    """The app on a new room, on Today."""

    def __init__(self, pilot: Pilot[None], app: IntakeApp, jobs: RoomJobs) -> None:
        self.pilot, self.app, self.jobs = pilot, app, jobs
        self.keys = 0

    async def press(self, *keys: str) -> None:
        self.keys += len(keys)
        for key in keys:
            await self.pilot.press(key)
        await settled(self.pilot)
        assert problems(self.app) == []

    async def type(self, number: str) -> None:
        """Digits, points and units are no keys that count."""
        counted = self.keys
        await self.press(*["space" if c == " " else c for c in number])
        self.keys = counted


async def measuring(tmp_path: Path, steps, size=(80, 24), look=None):  # type: ignore[no-untyped-def]
    jobs = RoomJobs(small_desk(tmp_path))
    app = IntakeApp(cast(Jobs, jobs), look or Look(), now, tick=Tick())
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        await steps(Measuring(pilot, app, jobs))


async def oval(m: Measuring) -> None:
    """An oval tapered tub with gravel and a sump."""
    await m.press("6", "n", "d", *"Tub", "tab", "tab")
    await m.type("120")
    await m.press("tab")
    await m.type("70")
    await m.press("tab")
    await m.type("35")
    await m.press("tab", "tab")
    await m.type("8 L")
    await m.press("tab", "tab", "tab")
    await m.type("60 L")
    await m.press("tab", "tab", "enter")
    await m.type("100")
    await m.press("tab")
    await m.type("56")


async def test_a_tapered_oval_with_gravel_and_a_sump_in_at_most_60_keys(tmp_path: Path) -> None:
    async def steps(m: Measuring) -> None:
        await oval(m)
        assert "L   ±" in text_of(m.app)
        assert "most doubt from depth" in " ".join(text_of(m.app).split())
        await m.press("enter")
        assert isinstance(m.app.screen, VesselsScreen)
        (kept,) = rooms.show_room(m.jobs.desk)["vessels"]
        # Independent: the mean of 20,000 thin ellipses, gravel 38 % water, 60 L on top.
        n = 20_000
        shares = [(i + 0.5) / n for i in range(n)]
        mean = sum(pi / 4 * (100 + 20 * s) * (56 + 14 * s) for s in shares) / n
        assert kept["volume_l"] == pytest.approx(mean * 35 / 1000 - 8 * 0.62 + 60, rel=1e-6)
        assert m.keys == 20

    await measuring(tmp_path, steps)


@pytest.mark.parametrize(("size", "look"), SLOW_AT_EVERY_SIZE)
async def test_nothing_is_cut_while_it_is_measured(
    size: tuple[int, int], look: Look, tmp_path: Path
) -> None:
    await measuring(tmp_path, oval, size=size, look=look)


async def test_the_drawing_has_the_keeper_s_numbers_and_moves_with_every_key(
    tmp_path: Path,
) -> None:
    async def steps(m: Measuring) -> None:
        await m.press("6", "n", "a", *"Tank", "tab", "tab")
        assert "? at the waterline" in text_of(m.app)
        assert "L   ±" not in text_of(m.app)
        await m.type("12")
        assert "→ 12 cm at the waterline" in text_of(m.app)
        await m.type("0")
        assert "→ 120 cm at the waterline" in text_of(m.app)
        await m.press("tab")
        assert "across the length" in m.app.screen.query_one(Because).text
        await m.type("50")
        assert "← 50 cm" in text_of(m.app)
        await m.press("tab")
        await m.type("40")
        assert "40 cm" in text_of(m.app)
        assert "240 L   ±" in text_of(m.app)
        await m.press("question_mark")
        assert "Stand a rule on the floor" in text_of(m.app)
        await m.press("escape")
        assert isinstance(m.app.screen, MeasureScreen)

    await measuring(tmp_path, steps)


async def test_enter_with_no_diameter_keeps_what_was_typed(tmp_path: Path) -> None:
    async def steps(m: Measuring) -> None:
        await m.press("6", "n", "b", *"Pool", "tab", "tab", "tab", "tab")
        await m.type("40")
        await m.press("enter")
        assert isinstance(m.app.screen, MeasureScreen)
        assert "Nothing was recorded" in m.app.screen.query_one(Because).text
        assert "40" in text_of(m.app)

    await measuring(tmp_path, steps)


async def test_corners_one_by_one_taken_back_and_pasted(tmp_path: Path) -> None:
    async def steps(m: Measuring) -> None:
        await m.press("6", "n", "h", *"Pond", "tab", "tab")
        for corner in ("0,0", "120,0", "120,90"):
            await m.type(corner)
            await m.press("enter")
        assert "3 corners: 0,0 120,0 120,90" in text_of(m.app)
        await m.press("backspace")
        assert "2 corners: 0,0 120,0" in text_of(m.app)
        await m.press(*["backspace"] * len("120,90"))
        await m.type("120,60 0,60")
        await m.press("enter", "tab")
        await m.type("50")
        await m.press("enter")
        (kept,) = rooms.show_room(m.jobs.desk)["vessels"]
        assert kept["volume_l"] == pytest.approx(120 * 60 * 50 / 1000)

    await measuring(tmp_path, steps)


async def test_slices_and_marks_take_bare_numbers(tmp_path: Path) -> None:
    async def steps(m: Measuring) -> None:
        await m.press("6", "n", "k", *"Steps", "tab", "tab")
        for box in ("60x40x10", "80 x 50 x 20"):
            await m.type(box)
            await m.press("enter")
        await m.press("enter")
        await m.press("n", "l", "b", *"Marked", "tab", "tab")
        for mark in ("10:60", "20:131", "30:208"):
            await m.type(mark)
            await m.press("enter")
        await m.press("tab")
        await m.type("20")
        await m.press("enter")
        volumes = {v["name"]: v["volume_l"] for v in rooms.show_room(m.jobs.desk)["vessels"]}
        assert volumes == {"Steps": pytest.approx(104), "Marked": pytest.approx(131)}

    await measuring(tmp_path, steps)


async def test_a_size_as_sold_fills_the_fields_and_asks_for_the_glass(tmp_path: Path) -> None:
    async def steps(m: Measuring) -> None:
        await m.press("6", "n", "a", *"Rack", "tab", "tab", "shift+tab", "shift+tab", "shift+tab")
        assert AS_SOLD in m.app.screen.query_one(Because).text
        await m.press("enter", "e")
        assert "36 in" in text_of(m.app)
        screen = cast(MeasureScreen, m.app.screen)
        depth = next(f for f in screen.fields if f.asked.field == "depth")
        depth.put("14 in")
        await m.press("enter")
        assert (
            "needs wall: its sizes are outside the glass" in m.app.screen.query_one(Because).text
        )
        await m.type("0.25 in")
        await m.press("enter")
        (kept,) = rooms.show_room(m.jobs.desk)["vessels"]
        assert kept["volume_l"] == pytest.approx(35.5 * 17.5 * 14 * 2.54**3 / 1000)

    await measuring(tmp_path, steps)


def test_walls_that_lean_in_are_drawn_as_they_lean() -> None:
    # Narrower at the waterline than at the floor is allowed, and to be seen at a glance.
    rows = plain(list(cut_lines(((0.0, 100.0), (40.0, 40.0)), 30.0, 40.0, 30, 8, DUMB)))
    assert all(row.strip()[0] == "/" and row.strip()[-1] == "\\" for row in rows)
    assert [len(row.strip()) for row in rows] == sorted(len(row.strip()) for row in rows)
