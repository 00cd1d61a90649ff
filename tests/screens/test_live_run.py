"""One live run by keys, from the choice of a drip to fish in the tub, with the program killed in
the middle: what comes after follows from the room file alone.
"""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import cast
from zoneinfo import ZoneInfo

from textual.widgets import Input

from intake.clock import Clock
from intake.flows.desk import Desk
from intake.flows.jobs import RoomJobs, receive
from intake.flows.kept import forget
from intake.flows.views.receive import Run
from intake.screens.app import IntakeApp
from intake.screens.receive import ReceiveScreen
from intake.screens.theme import Look
from intake.screens.widgets.because import Because
from tests.flows import test_jobs_receive as lisle
from tests.screens.fits import Tick, press, problems, settled, text_of

room = lisle.room
BOX = lisle.BOX


class Sitting:
    """The program open on the room, and a keeper at its keys."""

    def __init__(self, path: Path) -> None:
        self.path, self.minutes, self.bells = path, 0.0, 0
        self.jobs = RoomJobs(lisle.desk_at(path))

    def now(self) -> datetime:
        return self.jobs.desk.clock.now().astimezone(ZoneInfo("Europe/Lisbon"))

    def at(self, minutes: float) -> None:
        """The wall clock goes on, also while nobody presses a key."""
        moment = lisle.LANDED + timedelta(minutes=minutes)
        self.jobs.desk = Desk(self.path, clock=Clock(moment), keeper="Ada Perrin")

    @asynccontextmanager
    async def opened(self, mode: str = "receive") -> AsyncIterator[Sitting]:
        self.app = IntakeApp(self.jobs, Look(), self.now, tick=Tick())
        self.app.bell = self._rung  # type: ignore[method-assign]
        async with self.app.run_test(size=(80, 24)) as self.pilot:
            if mode != "today":
                await self.app.switch_mode(mode)
            await settled(self.pilot)
            yield self

    def _rung(self) -> None:
        self.bells += 1

    async def keys(self, *keys: str) -> None:
        await press(self.pilot, *keys)
        assert problems(self.app) == []

    async def clock(self, minutes: float) -> None:
        """So much later: what a second, and a quarter of a minute, bring by themselves."""
        self.at(minutes)
        self.app.ask_timers()
        await settled(self.pilot)
        self.app.watch_clock()
        if isinstance(self.app.screen, ReceiveScreen):
            self.app.screen._tick()
            await settled(self.pilot)

    async def reads(self, temp: str, ph: str) -> None:
        await self.keys("t")
        await self._type(temp)
        await self.keys("tab")
        await self._type(ph)
        await self.keys("enter")

    async def _type(self, text: str) -> None:
        assert isinstance(self.app.focused, Input)
        await self.pilot.press(*text)

    @property
    def run(self) -> Run:
        screen = cast(ReceiveScreen, self.app.screen)
        assert screen.view is not None
        assert screen.view.run is not None
        return screen.view.run

    @property
    def said(self) -> str:
        return self.app.screen.query_one(Because).text

    @property
    def strip(self) -> str:
        return text_of(self.app).splitlines()[0]


async def test_a_drip_from_choice_to_tub_killed_and_resumed_in_the_middle(room: Path) -> None:
    lisle.landed(room, "1")
    lisle.read(room, 1, tan="1", kh="6", ph="6.6")

    keeper = Sitting(room)
    keeper.at(10)
    async with keeper.opened():
        await keeper.keys("enter", "right", "enter")  # a drip, not the float advised: say why
        await keeper.keys("a")
        assert keeper.run.steps[0].state == "now"
        for minute in (11, 12, 13):
            await keeper.clock(minute)
            await keeper.keys("n")
        assert keeper.run.steps[3].state == "now"
        assert keeper.run.ends == "11:13"
        await keeper.keys("g", "g", "g")
        text = text_of(keeper.app)
        assert "NH3, mg/L as N" in text
        assert "limit 0.05" in text
        await keeper.keys("g")

        await keeper.clock(28)  # the first reading is due: one bell, whatever mode is open
        assert keeper.strip.endswith("10:28 READ")
        assert keeper.bells == 1
        await keeper.keys("6")
        assert keeper.strip.endswith("10:28 READ")
        await keeper.keys("2")
        await keeper.reads("16.1", "6.8")
        assert keeper.run.checks[0][2] == "16.1, pH 6.8"
        first = keeper.run
        assert first.moved
        assert keeper.bells == 1
        assert "READ" not in keeper.strip
        before = receive.bag(keeper.jobs.desk, BOX, 1)

    forget(room)  # killed: nothing of that program is left but the file
    again = Sitting(room)
    again.at(28)
    assert receive.bag(again.jobs.desk, BOX, 1) == before
    again.at(31)
    async with again.opened("today"):
        assert "LIFT" not in again.strip
        await again.keys("2", "enter")
        assert again.run.ends == first.ends
        assert again.run.checks == first.checks
        assert [s.at for s in again.run.steps] == [s.at for s in first.steps]

        await again.clock(43.5)
        assert again.bells == 1
        await again.reads("17.3", "7.3")  # CO2 is gone sooner than thought: the rest is replanned
        moved = again.run
        assert len(moved.checks) == 2
        assert moved.ends < first.ends
        assert any("CO2 leaves faster" in text for text in moved.moved)
        assert any(text.startswith("lift across") for text in moved.moved)
        await again.keys("w")
        assert "lift across" in text_of(again.app)
        await again.keys("escape")

        over = datetime.strptime(moved.ends, "%H:%M").replace(
            year=2026, month=6, day=10, tzinfo=UTC
        ) - timedelta(hours=1)
        later = (over - lisle.LANDED).total_seconds() / 60 + 20
        await again.keys("5")
        await again.clock(later)  # the laptop slept past it
        assert f"{moved.ends} LIFT" in again.strip
        rung = again.bells
        again.app.watch_clock()
        assert again.bells == rung
        assert "late: this machine slept" in again.said
        await again.keys("2")
        assert (again.run.minutes, again.run.steps[3].state) == (0, "now")

        await again.keys("n", "n")
        assert "LIFT" not in again.strip
        await again.keys("n", "n")
        screen = cast(ReceiveScreen, again.app.screen)
        assert screen.face == "settle"
        await again.keys("enter")
        await again._type("3")
        await again.keys("enter")
        assert screen.list is not None
        assert screen.list.bags == () or screen.list.bags[0].step == "settled"
    with_fish = receive.bag(lisle.desk_at(room, later + 5), BOX, 1)
    assert with_fish.step == "settled"
    assert "Lisle bag 1" in with_fish.because
