"""A vessel's line by keys: at the mark in one, a number only if not, and asked for by a dose."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from textual.widgets import Input

from intake.clock import Clock
from intake.flows import residue_ahead
from intake.flows.desk import Desk
from intake.flows.jobs import RoomJobs
from intake.flows.views.dose import DoseAsk, DoseView
from intake.flows.views.parts import LineAsked
from intake.flows.views.vessels import VesselView
from intake.screens.app import IntakeApp
from intake.screens.dose import DoseScreen
from intake.screens.dose_faces import READ, REFUSED
from intake.screens.theme import Look
from intake.screens.widgets.because import Because
from tests.flows.job_rooms import at, put, small_desk, then
from tests.screens.fits import EVERY_SIZE_AND_LOOK, Tick, opened, press, problems, settled, text_of
from tests.screens.sample import SampleRoom, dose_view

ASKED = LineAsked(
    "North tub", "the line of North tub was read 3 days ago: a at the mark, l a number"
)


class Old(SampleRoom):
    """A room whose dose rests on a line of three days ago, until it is answered."""

    def dose(self, ask: DoseAsk) -> DoseView:
        answered = any(what in ("mark", "waterline") for what, _ in self.wrote)
        return replace(dose_view(ask), lines=() if answered else (ASKED,))


async def test_at_the_mark_is_one_key() -> None:
    async with opened("vessels") as (app, pilot, room):
        await press(pilot, "a")
        assert room.wrote == [("mark", ("North tub",))]
        assert "recorded 18:42, key u corrects it" in app.screen.query_one(Because).text
        assert problems(app) == []


async def test_a_drip_on_the_mark_records_once() -> None:
    async with opened("vessels") as (app, pilot, room):
        tick = app.guard.tick
        assert isinstance(tick, Tick)
        await press(pilot, "a")
        tick.step = 0.05
        await press(pilot, "a", "a")
        assert [what for what, _ in room.wrote] == ["mark"]
        tick.step = 1.0
        await press(pilot, "a")
        assert [what for what, _ in room.wrote] == ["mark", "mark"]


async def test_a_number_may_say_why_the_line_moved() -> None:
    async with opened("vessels") as (app, pilot, room):
        await press(pilot, "l", *"30", "tab", *"lea")
        assert problems(app) == []
        await press(pilot, "enter")
        assert room.wrote == [], "lea is no cause"
        await press(pilot, "k", "enter")
        assert room.wrote == [("waterline", ("North tub", "30 cm", "leak"))]


async def test_without_a_depth_a_number_is_not_asked() -> None:
    class Vat(SampleRoom):
        def vessel(self, name: str) -> VesselView:
            return replace(super().vessel(name), has_depth=False)

    async with opened("vessels", room=Vat()) as (app, pilot, room):
        await press(pilot, "l")
        assert "key a when the water is at it" in app.screen.query_one(Because).text
        await press(pilot, "a")
        assert room.wrote == [("mark", ("North tub",))]


@pytest.mark.parametrize(("size", "look"), EVERY_SIZE_AND_LOOK)
async def test_an_old_line_fits_on_both_faces(size: tuple[int, int], look: Look) -> None:
    async with opened(size=size, look=look, room=Old()) as (app, pilot, _room):
        await press(pilot, "d")
        assert problems(app) == []
        assert "was read 3 days ago" in " ".join(text_of(app).split())
        await press(pilot, "e", "6", "enter")
        assert problems(app) == []


async def test_one_key_answers_the_dose_and_works_it_out_again() -> None:
    async with opened(room=Old()) as (app, pilot, room):
        await press(pilot, "d", "a")
        screen = app.screen
        assert isinstance(screen, DoseScreen)
        assert room.wrote == [("mark", ("North tub",))]
        assert (screen.face, screen.view and screen.view.lines) == (READ, ())
        assert "was read 3 days ago" not in text_of(app)
        await press(pilot, "a", "l")
        assert len(room.wrote) == 1, "nothing is asked any more"


async def test_a_number_answers_a_refusal_too() -> None:
    async with opened(room=Old()) as (app, pilot, room):
        await press(pilot, "d", "e", "6", "enter")
        assert isinstance(app.screen, DoseScreen)
        assert app.screen.face == REFUSED
        await press(pilot, "l", *"44", "enter")
        assert room.wrote == [("waterline", ("North tub", "44 cm"))]


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A box of 200 L recorded three days ago with 400 g of salt, 38 cm deep since."""
    desk = small_desk(tmp_path)
    sizes = {n: f"{cm} cm +/- 0 cm" for n, cm in (("length", 100), ("width", 50), ("depth", 40))}
    put(desk, "2026-11-04 09:00", "vessel", name="Tub", shape="box", **sizes)
    put(desk, "2026-11-04 09:05", "dose", system="Tub", treatment="salt", amount="400 g")
    line = {"depth": "38 cm +/- 0 cm", "by": "evaporation"}
    put(desk, "2026-11-04 09:10", "level", vessel="Tub", **line)
    return then(desk, "2026-11-07 10:00")


async def test_in_a_room_the_amount_follows_the_mark(desk: Desk) -> None:
    """190 L for 3 g/L is 170 g more; back at the mark, 200 L, it is 200 g."""
    app = IntakeApp(RoomJobs(desk), Look(), Clock(at("2026-11-07 10:00")).now, tick=Tick())
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await app.switch_mode("dose")
        await settled(pilot)
        screen = app.screen
        assert isinstance(screen, DoseScreen)
        screen.asked = DoseAsk("salt", "support", "Tub", "3 g/L")
        screen.work_out(READ)
        await settled(pilot)
        assert "170" in str(screen.view and screen.view.amount)
        assert "the line of Tub was read 3 days ago" in text_of(app)
        assert problems(app) == []
        await press(pilot, "a")
        assert screen.view is not None
        assert screen.view.lines == ()
        assert "200" in str(screen.view.amount)
        assert "Tub at the mark: 200" in app.screen.query_one(Because).text
        assert "salt 2.11 to 2 g/L" in app.screen.query_one(Because).text
    later = replace(desk, clock=Clock(at("2026-11-07 10:00") + timedelta(minutes=1)))
    assert residue_ahead.residue(later, "Tub", {})["volume_l"] == pytest.approx(200.0)


# The waterline table


async def test_the_table_asks_what_and_where_and_says_where_it_is() -> None:
    async with opened("vessels") as (app, pilot, room):
        await press(pilot, "p")
        assert problems(app) == []
        await press(pilot, "a")
        assert problems(app) == []
        await press(pilot, "b")
        assert "/home/ana/waterline-6.html" in text_of(app)
        assert problems(app) == []
        await press(pilot, "enter")
        assert room.wrote == [("table", ("North tub", "/home/ana/waterline-6.html", "1 cm"))]
        assert "are in /home/ana/waterline-6.html" in app.screen.query_one(Because).text


async def test_in_a_room_the_table_is_made_and_never_over_another(
    desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    app = IntakeApp(RoomJobs(desk), Look(), Clock(at("2026-11-07 10:00")).now, tick=Tick())
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await app.switch_mode("vessels")
        await settled(pilot)
        await press(pilot, "p", "a", "c", "enter")
        await press(pilot, "p", "a", "c", "enter")
        number = next(p for p in tmp_path.iterdir() if p.suffix == ".txt").stem.split("-")[1]
        names = sorted(p.name for p in tmp_path.glob("*.txt"))
        assert names == [f"waterline-{number}-2.txt", f"waterline-{number}.txt"]
        assert "Tub" not in "".join(names), "a file is named by a number, never by a text"
        assert f"waterline-{number}-2.txt" in app.screen.query_one(Because).text
        taken = str(tmp_path / names[0])
        await press(pilot, "p", "a", "c")
        field = app.focused
        assert isinstance(field, Input)
        field.value = taken
        await press(pilot, "enter")
        assert "never written over" in app.screen.query_one(Because).text
