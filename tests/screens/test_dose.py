"""Dose: nothing is recorded before Record, and Record is hard to hit by chance."""

from __future__ import annotations

from dataclasses import replace
from typing import cast

import pytest
from textual.widgets import Input

from intake.flows.views.dose import DoseAsk, DoseChoices, DoseView
from intake.flows.views.parts import Care, Shown
from intake.screens.app import IntakeApp
from intake.screens.dose import DoseScreen
from intake.screens.dose_faces import CHOOSE, DONE, READ, REFUSED
from intake.screens.dose_lines import read_lines
from intake.screens.jobs import Jobs
from intake.screens.theme import Look
from intake.screens.widgets.because import Because
from intake.screens.widgets.buttons import BigButton
from intake.screens.widgets.figure import figure_lines
from tests.screens.fits import (
    EVERY_SIZE_AND_LOOK,
    LOOKS,
    Tick,
    opened,
    press,
    problems,
    settled,
    text_of,
)
from tests.screens.sample import SampleRoom, dose_view, now


def at(app: object) -> DoseScreen:
    screen = app.screen  # type: ignore[attr-defined]
    assert isinstance(screen, DoseScreen)
    return screen


@pytest.mark.parametrize(("size", "look"), EVERY_SIZE_AND_LOOK)
async def test_every_face_fits(size: tuple[int, int], look: Look) -> None:
    async with opened(size=size, look=look) as (app, pilot, _room):
        await press(pilot, "d")
        assert at(app).face == READ
        assert problems(app) == []
        await press(pilot, "e")
        assert problems(app) == []
        await press(pilot, "6", "enter")
        assert at(app).face == REFUSED
        assert problems(app) == []


async def test_the_due_dose_is_seven_keys() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "d", "shift+tab", *"99", "tab", "tab", "enter")
        assert [what for what, _ in room.wrote] == ["dose"]
        asked, amount = room.wrote[0][1]
        assert amount == "0.75 g"
        assert isinstance(asked, DoseAsk)
        assert (asked.task, asked.vessel, asked.strength) == ("n/3", "North tub", "99 %")
        assert at(app).face == DONE
        text = text_of(app)
        assert "recorded 18:42" in text
        assert "carbon back in on Fri 27 Nov" in text
        await press(pilot, "enter")
        assert app.current_mode == "today"


async def test_focus_is_on_cancel_and_enter_records_nothing() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "d")
        assert app.focused is at(app).query_one("#cancel")
        await press(pilot, "enter")
        assert room.wrote == []
        assert app.current_mode == "today"


async def test_record_sleeps_until_the_strength_matches() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "d")
        record = at(app).query_one("#record_dose", BigButton)
        assert record.disabled
        await press(pilot, "shift+tab", *"98")
        assert record.disabled
        await pilot.click("#record_dose")
        assert room.wrote == []
        await press(pilot, "backspace", "backspace", *"99")
        assert not record.disabled
        await press(pilot, "backspace")
        assert record.disabled


async def test_record_sleeps_until_a_reason_is_picked() -> None:
    class Careful(SampleRoom):
        def dose(self, ask: DoseAsk) -> DoseView:
            view = dose_view(ask)
            care = Care(
                "early",
                "5 days since the last",
                (("eggs", "eggs seen"),),
                dict(ask.soft).get("early", ""),
            )
            return replace(view, asks_strength=False, cares=(care,))

    async with opened(room=Careful()) as (app, pilot, room):
        await press(pilot, "d")
        record = at(app).query_one("#record_dose", BigButton)
        assert record.disabled
        await press(pilot, "r", "a")
        assert not record.disabled
        await press(pilot, "tab", "enter")
        asked = room.wrote[0][1][0]
        assert isinstance(asked, DoseAsk)
        assert asked.soft == (("early", "eggs"),)


async def test_a_refusal_names_the_way_out_and_has_no_way_past() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "d", "e", "6", "enter")
        text = " ".join(text_of(app).split())
        for words in (
            "STOP",
            "over the hard limit",
            "source",
            "way out",
            "NEED",
            "Never held back: stopping a treatment",
        ):
            assert words in text
        assert not at(app).query_one("#record_dose").is_on_screen
        for key in ("enter", "r", "space", "tab", "enter"):
            await press(pilot, key)
        assert room.wrote == []


async def test_a_refusal_longer_than_the_screen_scrolls() -> None:
    async with opened(size=(40, 16)) as (app, pilot, _room):
        await press(pilot, "d", "e", "6", "enter")
        assert "NEED" not in text_of(app)
        await press(pilot, *["down"] * 12)
        assert "fish out." in text_of(app)


async def test_what_is_needed_is_measured_on_the_spot() -> None:
    async with opened() as (_app, pilot, room):
        await press(pilot, "d", "e", "6", "enter", "m", *"19", "enter")
        assert room.wrote == [("reading", ("Blue pool", {"temp": "19 C"}))]


async def test_escape_forgets_the_dose() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "d", "shift+tab", *"99", "escape")
        assert app.current_mode == "today"
        await press(pilot, "3")
        assert at(app).view is None
        assert at(app).query_one("#strength", Input).value == ""
        assert room.wrote == []


async def test_choosing_fills_from_the_left() -> None:
    async with opened("dose") as (app, pilot, _room):
        assert "due today" in text_of(app)
        await press(pilot, "e")
        assert at(app).line == 1
        await press(pilot, "b")
        assert at(app).asked == DoseAsk("praziquantel", "long-bath", "Blue pool")
        assert at(app).line == 2
        assert "0.75 g" in text_of(app)
        assert problems(app) == []
        await press(pilot, "enter")
        assert at(app).face == READ


async def test_a_due_dose_without_a_task_is_not_taken_for_the_one_meant() -> None:
    class Loose(SampleRoom):
        def dose_choices(self) -> DoseChoices:
            choices = super().dose_choices()
            return replace(choices, due=(replace(choices.due[0], task=""),))

    async with opened("dose", room=Loose()) as (app, pilot, _room):
        assert at(app).face == CHOOSE
        await press(pilot, "a")
        assert at(app).face == READ


async def test_an_open_dose_is_worked_out_again_when_its_mode_comes_back() -> None:
    class Counting(SampleRoom):
        worked = 0

        def dose(self, ask: DoseAsk) -> DoseView:
            self.worked += 1
            return dose_view(ask)

    room = Counting()
    async with opened(room=room) as (app, pilot, _room):
        await press(pilot, "d")
        before = room.worked
        await press(pilot, "1")
        await press(pilot, "3")
        assert room.worked == before + 1
        assert at(app).face == READ


async def test_a_small_window_still_says_the_amount() -> None:
    async with opened() as (app, pilot, _room):
        await press(pilot, "d")
        await pilot.resize_terminal(36, 11)
        await pilot.pause()
        assert "0.75 g into North tub" in text_of(app)


@pytest.mark.parametrize("width", range(36, 141, 4))
@pytest.mark.parametrize("rows", [12, 15, 20, 31])
@pytest.mark.parametrize("amount", ["0.75", "1250.5", "3", "12.25"])
def test_the_amount_is_never_cut(width: int, rows: int, amount: str) -> None:
    view = replace(dose_view(DoseAsk()), amount=Shown(amount, "mL"), vessel="The long north tub")
    for look in LOOKS:
        lines = read_lines(view, width, rows, look)
        assert all(line.cell_length <= width for line in lines)
        text = "\n".join(line.plain for line in lines)
        assert "The long north tub" in text
        assert view.spoken.split()[0] in text
        smaller = [
            [line.plain for line in figure_lines(amount, "mL", width, tall, look)]
            for tall in (8, 6, 4, 1)
        ]
        assert any(_inside(figure, text) for figure in smaller), text


def _inside(figure: list[str], text: str) -> bool:
    rows = text.split("\n")
    for start in range(len(rows) - len(figure) + 1):
        if all(rows[start + i].startswith(line.rstrip()) for i, line in enumerate(figure)):
            return True
    return False


async def test_because_never_wraps_beyond_two_rows() -> None:
    async with opened(size=(40, 24)) as (app, pilot, _room):
        await press(pilot, "d")
        because = app.screen.query_one(Because)
        assert len(because.lines(because.content_size.width)) <= 2


STATES = {
    "what": ("3",),
    "where": ("3", "down", "enter"),
    "how strong": ("3", "down", "enter", "enter"),
    "read back": ("d",),
    "read back, its strength typed": ("d", "shift+tab", *"99", "tab"),
    "refused": ("d", "e", "6", "enter"),
    "another target": ("d", "e"),
    "given": ("d", "g"),
}


@pytest.mark.parametrize("state", STATES)
async def test_fifty_enters_in_a_second_record_nothing(state: str) -> None:
    tick = Tick()
    room = SampleRoom()
    app = IntakeApp(cast(Jobs, room), Look(), now, tick=tick)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await press(pilot, *STATES[state])
        tick.step = 0.01  # the guard looks at the clock about twice for each key
        for _ in range(50):
            await pilot.press("enter")
        await settled(pilot)
        assert room.wrote == []
