"""What the screens write of a quarantine in a room is what the commands write and ask."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot

from intake.clock import Clock
from intake.flows import asking
from intake.flows.desk import Desk, at_work
from intake.flows.jobs import RoomJobs
from intake.screens.app import IntakeApp
from intake.screens.open_day import OpenDayScreen
from intake.screens.theme import Look
from tests.flows.job_rooms import at, put, small_desk, then
from tests.screens.fits import Tick, press, problems, settled, text_of

NOON = "2026-11-18 12:00"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A tub in quarantine since the 10th with two fish, a pond of your own, an empty tub."""
    desk = small_desk(tmp_path)
    for name, zone in (("Tub", "quarantine"), ("Pond", "resident"), ("Spare", "quarantine")):
        put(desk, "2026-11-04 09:00", "vessel", name=name, shape="box", length="100 cm",
            width="50 cm", depth="40 cm", zone=zone)  # fmt: skip
    put(desk, "2026-11-05 10:00", "fish", name="Old", into="Pond", variety="common")
    put(desk, "2026-11-10 10:00", "fish", name="Ash", into="Tub", variety="ranchu")
    put(desk, "2026-11-10 10:01", "fish", name="Brick", into="Tub", variety="ranchu")
    put(desk, "2026-11-10 10:05", "quarantine", system="Tub", plan="standard")
    put(desk, "2026-11-17 08:00", "look", subject="Ash", sign=["white-grains:1"])
    put(desk, "2026-11-17 08:05", "look", subject="Brick", sign=["white-grains:1"])
    return desk


@asynccontextmanager
async def on(
    desk: Desk, mode: str, moment: str = NOON
) -> AsyncIterator[tuple[IntakeApp, Pilot[None]]]:
    """The app on a room at a moment."""
    app = IntakeApp(RoomJobs(then(desk, moment)), Look(), Clock(at(moment)).now, tick=Tick())
    async with app.run_test(size=(80, 24)) as pilot:
        if mode != "today":
            await app.switch_mode(mode)
        await settled(pilot)
        yield app, pilot
        assert problems(app) == []


def newest(desk: Desk) -> tuple[str, dict[str, object]]:
    """Kind and content of the entry that was written last."""
    from intake.store import journal

    with at_work(desk) as book:
        entry = max(journal.effective(book.connection), key=lambda e: e.sequence)
        return entry.kind, dict(entry.content)


def served(desk: Desk, moment: str = NOON) -> int:
    return int(asking.checks(then(desk, moment), "Tub")["days_served"])


async def test_a_restart_is_kept_from_today(desk: Desk) -> None:
    async with on(desk, "today") as (app, pilot):
        assert "settle, 44 h left" in text_of(app)
        await press(pilot, "j", "k", *"seen by vet", "enter")
        assert "settle, 44 h left" not in text_of(app)
    kind, content = newest(desk)
    assert (kind, content["why"]) == ("clock", "seen by vet")
    assert served(desk) == 8
    assert served(desk, "2026-11-22 12:00") == 12  # nothing stands by itself any more


async def test_a_contact_begins_the_days_again_only_once_it_is_recorded(desk: Desk) -> None:
    async with on(desk, "calendar") as (app, pilot):
        await press(pilot, "c", "a", "a", "b")
        assert "the days begin again on Wed 18 Nov" in " ".join(text_of(app).split())
        assert served(desk) == 8
        await press(pilot, "r")
    assert newest(desk)[0] == "contact"
    assert served(desk) == 0


async def test_a_resident_goes_in_as_a_mixing_test(desk: Desk) -> None:
    async with on(desk, "fish") as (app, pilot):
        await press(pilot, "home")
        row = app.screen.rows.row  # type: ignore[attr-defined]
        assert row.name == "Old"
        await press(pilot, "m")
        places = [name for name, _ in app.screen.options]  # type: ignore[attr-defined]
        await press(pilot, "abcdef"[places.index("Tub")], "a")
        await press(pilot, "r", "a")
    kind, content = newest(desk)
    assert (kind, content["as"]) == ("move", "mixing-test")
    assert served(desk) == 8


async def test_a_slide_with_flukes_begins_the_days_again(desk: Desk) -> None:
    async with on(desk, "calendar") as (_app, pilot):
        await press(pilot, "l", "a", "a", "b", "enter", "r")
    kind, content = newest(desk)
    assert (kind, content["from"], content["found"]) == (
        "slide", "skin-scrape", [["white-spot", 1]],
    )  # fmt: skip
    assert served(desk) == 0


async def test_a_quarantine_begins_on_the_empty_tub(desk: Desk) -> None:
    async with on(desk, "calendar") as (app, pilot):
        await press(pilot, "b")
        waters = [name for name, _ in app.screen.options]  # type: ignore[attr-defined]
        await press(pilot, "abc"[waters.index("Spare")])
        plans = [name for name, _ in app.screen.options]  # type: ignore[attr-defined]
        await press(pilot, "abcdef"[plans.index("minimum")])
        await press(pilot, *"2026-11-25", "enter", "r")
        assert "Spare" in text_of(app)
    kind, content = newest(desk)
    assert (kind, content["plan"], content["expected"]) == ("quarantine", "minimum", "2026-11-25")


async def test_a_task_is_done_and_one_skipped(desk: Desk) -> None:
    async with on(desk, "calendar") as (app, pilot):
        await press(pilot, "enter")
        screen = app.screen
        assert isinstance(screen, OpenDayScreen)
        while screen.row.task is None or screen.row.task.state not in ("due", "overdue"):
            await press(pilot, "down")
        task = screen.row.task.id
        await press(pilot, "space")
    kind, content = newest(desk)
    assert (kind, content["task"]) == ("done", task)


async def test_one_fish_is_released_by_reasons_and_the_other_stays(desk: Desk) -> None:
    later = "2026-12-25 12:00"
    async with on(desk, "calendar", later) as (app, pilot):
        await press(pilot, "enter", "r", "b")
        assert "Ash is not released" in " ".join(text_of(app).split())
        await press(pilot, "escape")
        screen = app.screen
        assert isinstance(screen, OpenDayScreen)
        for at_ in range(len(screen.rows)):
            if at_:
                await press(pilot, "down")
            name, state, _ = screen.row.check
            if name and state == "open":
                await press(pilot, "p", *"vet", "enter")
        await press(pilot, "r", "b")
        assert "released: Ash" in " ".join(text_of(app).split())
        await press(pilot, "r")
        assert screen.strip is not None  # Brick is still in it
    kind, content = newest(desk)
    assert (kind, content["subject"]) == ("release", ["Ash"])
    assert {c for c, _ in content["pass"]} >= {"slides"}  # type: ignore[attr-defined]
