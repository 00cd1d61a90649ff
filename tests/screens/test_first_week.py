"""docs/first-week.md by keys alone, in a terminal of 80 by 24, on a real room."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from intake.clock import Clock
from intake.flows import asking, residue_ahead, rooms
from intake.flows.desk import Desk
from intake.flows.jobs import RoomJobs
from intake.screens.app import IntakeApp
from intake.screens.dose import DoseScreen
from intake.screens.dose_faces import DONE, READ
from intake.screens.question import PickScreen
from intake.screens.receive import ReceiveScreen
from intake.screens.theme import Look
from intake.screens.today import TodayScreen
from intake.screens.widgets.because import Because
from intake.screens.widgets.walk import WalkList
from tests.screens.fits import Tick, press, problems, settled, text_of

OVAL_L = math.pi / 4 * 120 * 70 * 35 / 1000
"""Volume of the tub: the area of an ellipse times its depth (geometry)."""


class Keeper:
    """Somebody at the keyboard: every step is a key, and every screen must be whole."""

    def __init__(self, app: IntakeApp, jobs: RoomJobs, pilot: Pilot[None]) -> None:
        self.app, self.jobs, self.pilot = app, jobs, pilot

    def at(self, day: int, time: str) -> None:
        hour, minute = map(int, time.split(":"))
        moment = datetime(2026, 3, day, hour, minute, tzinfo=UTC)  # Lisbon keeps UTC in March
        self.jobs.desk = replace(self.jobs.desk, clock=Clock(moment))

    async def keys(self, *keys: str) -> None:
        await press(self.pilot, *keys)
        assert problems(self.app) == []

    async def type(self, text: str, *, then: str = "enter") -> None:
        await self.pilot.press(*["space" if c == " " else c for c in text])
        await self.keys(then)

    async def fill(self, typed: Mapping[str, str]) -> None:
        """Goes through a form with tab, types what is known, enters it."""
        left = dict(typed)
        first = self.app.focused
        while left:
            field = self.app.focused
            assert field is not None
            if not isinstance(field, Input):  # a row that opens more fields
                await self.keys("tab")
                continue
            parent = field.parent.parent if field.parent is not None else None
            name = (field.id or (parent.id if parent else "") or "").partition("-")[2]
            if name in left:
                await self.pilot.press("ctrl+u")
                await self.type(left.pop(name), then="tab")
            else:
                await self.keys("tab")
                assert self.app.focused is not first, f"no field {sorted(left)}"
        await self.keys("enter")

    async def pick(self, words: str) -> None:
        """The letter of the line that says it."""
        screen = self.app.screen
        assert isinstance(screen, PickScreen)
        at = next(i for i, (_, said) in enumerate(screen.options) if words in said)
        await self.keys("abcdefghijklmnopqrstuvwxyz"[at])

    async def stand_at(self, vessel: str) -> None:
        """Today, with the cursor on a vessel."""
        await self.keys("1")
        walk = self.app.screen.query_one(WalkList)
        names = [stop.vessel for stop in walk.stops]
        while names.index(vessel) != walk.cursor:
            await self.keys("down" if names.index(vessel) > walk.cursor else "up")

    @property
    def said(self) -> str:
        return self.app.screen.query_one(Because).text

    async def dose(self, target: str) -> str:
        """Salt for the vessel under the cursor up to the read-back; the amount that is asked."""
        await self.keys("d")
        screen = self.app.screen
        assert isinstance(screen, DoseScreen)
        if screen.face == READ:  # a dose that is due is read back at once
            await self.keys("e")
        else:
            for fold in ("support", "salt"):
                opens = [c.opens for c in screen.choice_lines()]
                await self.keys(*["down"] * opens.index(fold), "enter")
            courses = [(c.treatment, c.course) for c in screen.choice_lines()]
            await self.keys(*["down"] * courses.index(SALT), "enter")
        await self.type(target)
        assert screen.view is not None
        return screen.view.amount.text if screen.view.amount else ""

    async def record_dose(self) -> None:
        screen = self.app.screen
        assert isinstance(screen, DoseScreen)
        assert screen.face == READ
        await self.keys("enter" if screen.focused is None else "tab", "enter")
        assert screen.face == DONE, self.said
        await self.keys("escape")
        assert isinstance(self.app.screen, TodayScreen)


SALT = ("salt", "support")


async def room_and_vessels(k: Keeper) -> None:
    k.at(9, "18:00")
    assert "There is no room yet" in text_of(k.app)
    await k.keys("s")
    await k.fill({"keeper": "Ana", "time-zone": "Europe/Lisbon", "tape": "", "scale": "1 g"})
    await k.keys("r")
    await k.pick("scale or syringe")
    await k.fill({"step": "0.1 g", "name": "pocket scale"})
    await k.keys("r")
    await k.pick("test kit")
    await k.fill({"name": "drop kit", "tests": "tan", "reports": "N"})
    await k.keys("6")
    tub = {"name": "Tub 1", "zone": "quarantine", "length": "120", "width": "70", "depth": "35"}
    tank = {"name": "Long tank", "zone": "resident", "length": "118", "width": "44", "depth": "40"}
    small = {"name": "Hospital box", "zone": "hospital", "length": "58", "width": "38"}
    shapes = (("an ellipse", {**tub, "height": "42"}), ("four corners", tank))
    for shape, sizes in (*shapes, ("four corners", {**small, "depth": "20"})):
        await k.keys("n")
        await k.pick(shape)
        await k.fill(sizes)
    kept = rooms.show_room(k.jobs.desk)
    volumes = {v["name"]: v["volume_l"] for v in kept["vessels"]}
    assert volumes["Tub 1"] == pytest.approx(OVAL_L, rel=1e-9)
    assert set(volumes) == {"Tub 1", "Long tank", "Hospital box"}
    k.at(10, "08:00")
    await k.stand_at("Tub 1")
    await k.keys("w")
    await k.fill({"temp": "20", "ph": "7.8", "tan": "0", "kh": "6"})


async def answer(k: Keeper, *texts: str) -> None:
    for text in texts:
        await k.type(text)


async def the_box_lands(k: Keeper) -> None:
    k.at(10, "09:50")
    await k.keys("2", "n")
    await k.fill(
        {
            "name": "Spring order",
            "from": "Quiet Pond Goldfish",
            "delivered": "09:40",
            "packed": "2026-03-09 16:00",
        }
    )
    await k.keys("enter")
    screen = k.app.screen
    assert isinstance(screen, ReceiveScreen)
    await answer(k, "bag-1.jpg", "4")
    k.at(10, "10:01")
    await answer(k, "16", "6.6", "4", "4", "5")
    assert screen.face == "choose"
    text = text_of(k.app)
    assert "float, lift" in text
    assert "drip" in text
    await k.keys("escape", "b", "down", "enter")
    await answer(k, "bag-2.jpg", "3", "16.2", "6.5", "8 diluted 2", "?", "4")
    for bag in (2, 1):
        assert screen.view is not None
        assert screen.view.bag == bag
        await k.keys("v")
        await k.pick("Tub 1")
        best = screen.view.methods[screen.column]
        assert (best.name, best.best) == ("float-and-lift", True)
        k.at(10, "10:06")
        await k.keys("enter")
        assert screen.face == "run", k.said
        await k.keys("escape")
        if bag == 2:
            await k.keys("up", "enter")
    k.at(10, "10:26")
    await k.keys("enter", "t")
    await k.fill({"temp": "18.1"})
    assert screen.view is not None
    assert screen.view.run is not None
    assert screen.view.run.checks[0][2] == "18.1"


async def fish_in(k: Keeper) -> None:
    screen = k.app.screen
    assert isinstance(screen, ReceiveScreen)
    bags = ((1, "The four", "4", "ryukin", "10:45"), (2, "The three", "3", "oranda", "10:50"))
    for bag, name, alive, variety, time in bags:
        k.at(10, time)
        if bag == 2:
            await k.keys("enter")  # what is not settled stands first
        while screen.face == "run":
            await k.keys("n")
        assert screen.face == "settle"
        await k.keys("enter")
        await k.fill({"alive": alive, "group": name, "variety": variety})
    k.at(10, "11:00")
    await k.keys("4")
    text = text_of(k.app)
    assert "earliest release Tub 1, Thu 9 Apr" in text
    groups = rooms.show_room(k.jobs.desk)["groups"]
    assert [(g["name"], g["count"]) for g in groups] == [("The four", 4), ("The three", 3)]


async def salt_in_two_steps(k: Keeper) -> None:
    k.at(11, "07:30")
    await k.stand_at("Tub 1")
    await k.keys("y", "b")
    k.at(11, "09:00")
    await k.stand_at("Tub 1")
    assert await k.dose("1") == "231"
    await k.record_dose()
    k.at(11, "20:00")
    await k.stand_at("Tub 1")
    await k.keys("c")
    await k.fill({"volume": "30 %"})
    assert "salt goes from 1 to 0.7 g/L" in k.said
    left = residue_ahead.residue(k.jobs.desk, "Tub 1", {})["substances"][0]
    assert left["now"] == pytest.approx(0.7 * 231 / OVAL_L, rel=1e-6)
    k.at(11, "21:05")
    await k.stand_at("Tub 1")
    second = float(await k.dose("2"))
    # What is there is counted at its high end, so it is a little under 1.3 g/L, about 300 g.
    assert second == pytest.approx((2 - 0.7) * OVAL_L, rel=0.02)
    await k.record_dose()
    left = residue_ahead.residue(k.jobs.desk, "Tub 1", {})["substances"][0]
    assert left["now"] == pytest.approx((0.7 * 231 + second) / OVAL_L, rel=1e-6)


async def ten_days(k: Keeper) -> None:
    for day in range(12, 21):
        k.at(day, "07:30")
        await k.stand_at("Tub 1")
        if day == 15:
            await k.keys("s", "b", *SIGN, "1", "enter")
            await k.fill({"affected": "1"})
        if day == 16:
            await k.keys("f")
            await k.pick("The three")
            await k.fill({"count": "1", "last-seen": "22:00"})
            assert "too long dead for parasites" in k.said
            await k.stand_at("Tub 1")
        await k.keys("y", "b" if day in (12, 15) else "a")
    checks = asking.checks(k.jobs.desk, "Tub 1")
    assert checks["days_served"] == 4
    assert checks["earliest_release"] >= "2026-04-15"
    states = {c["check"]: c["state"] for c in checks["checks"]}
    assert (states["no-deaths"], states["sign-free"]) == ("open", "open")
    k.at(20, "08:00")
    due = asking.tasks(k.jobs.desk, "Tub 1")["tasks"]
    assert {t["state"] for t in due} & {"overdue", "due"}
    await k.keys("4", "n", "enter")
    assert "days-served" in text_of(k.app)
    await k.keys("escape")


async def slips(k: Keeper) -> None:
    k.at(20, "08:10")
    await k.stand_at("Tub 1")
    await k.keys("w")
    await k.fill({"temp": "20.4", "ph": "8.7", "tan": "0.25"})
    k.at(20, "08:12")
    await k.keys("u")
    await k.pick("pH 8.7")
    await k.pick("change a value")
    await k.fill({"ph": "7.7", "because-of": "the meter says 7.7, I wrote 8.7"})
    assert "recorded 08:12" in k.said
    k.at(20, "09:00")
    await k.stand_at("Tub 1")
    await k.dose("2.5")
    await k.keys("g")
    await k.fill({"amount": "1500 g", "why": "the helper tipped the bag in"})
    assert "the hard limit is 5 g/L" in " ".join(text_of(k.app).split())
    await k.keys("escape")
    assert "call your vet" in text_of(k.app)
    assert "Overdose of salt in Tub 1" in " ".join(text_of(k.app).split())
    alert = asking.today(k.jobs.desk)["alerts"][0]
    assert alert["urgency"] == "call-vet"
    await k.keys("x")
    await k.pick("wash it out")
    assert "stopping is never held back" in k.said


SIGN = ("a",)


@pytest.mark.slow
async def test_the_first_week_by_keys_alone(tmp_path: Path) -> None:
    jobs = RoomJobs(Desk(tmp_path / "room.db"))
    clock = datetime(2026, 3, 9, 18, tzinfo=UTC)
    app = IntakeApp(jobs, Look(), lambda: clock, tick=Tick())
    app.begin("today", first=True)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        keeper = Keeper(app, jobs, pilot)
        await room_and_vessels(keeper)
        await the_box_lands(keeper)
        await fish_in(keeper)
        await salt_in_two_steps(keeper)
        await ten_days(keeper)
        await slips(keeper)
    proof = rooms.verify(jobs.desk, replay=True)
    assert proof["ok"] is True
    assert proof["projections_match"] is True
