"""Every mode at every size and look, and what its keys do."""

from __future__ import annotations

from dataclasses import replace

import pytest
from textual.widgets import Input, TextArea

from intake.flows.views.receive import ReceiveList, ReceiveView
from intake.screens.calendar import CalendarScreen
from intake.screens.fish import FishScreen
from intake.screens.receive import ReceiveScreen
from intake.screens.theme import Look
from intake.screens.vessels import VesselsScreen
from intake.screens.widgets.because import Because
from intake.screens.widgets.footline import FootLine
from tests.screens.fits import (
    EVERY_SIZE_AND_LOOK,
    LOOKS,
    SIZES,
    opened,
    press,
    problems,
    settled,
    text_of,
)
from tests.screens.sample import SampleRoom
from tests.screens.sample_receive import CHOOSE, READ, RUN, SETTLE

MODES = ("receive", "dose", "calendar", "fish", "vessels", "protocols")


@pytest.mark.parametrize(("size", "look"), EVERY_SIZE_AND_LOOK)
@pytest.mark.parametrize("mode", MODES)
async def test_every_mode_fits(mode: str, size: tuple[int, int], look: Look) -> None:
    async with opened(mode, size=size, look=look) as (app, pilot, _room):
        assert problems(app) == []
        await press(pilot, "down")
        assert problems(app) == []


@pytest.mark.parametrize(("size", "look"), EVERY_SIZE_AND_LOOK)
@pytest.mark.parametrize("view", [CHOOSE, READ, RUN, SETTLE])
async def test_every_face_of_receive_fits(
    view: ReceiveView, size: tuple[int, int], look: Look
) -> None:
    room = SampleRoom()
    room.bag_view = view
    async with opened("receive", size=size, look=look, room=room) as (app, pilot, _room):
        await press(pilot, "enter")
        assert problems(app) == []
        for key in ("right", "right", "right"):
            await press(pilot, key)
        assert problems(app) == []


@pytest.mark.parametrize("mode", ["today", *MODES])
async def test_every_key_of_the_footer_is_bound(mode: str) -> None:
    async with opened(mode) as (app, _pilot, _room):
        bound = set(app.screen.active_bindings)
        for foot in app.screen.query_one(FootLine).feet:
            assert foot.key in bound, f"{mode}: {foot.shown} {foot.label}"
            assert len(foot.label) <= 12


async def test_digits_go_to_the_modes_and_nothing_heavy_is_loaded() -> None:
    async with opened() as (app, pilot, _room):
        for digit, mode in zip("1234567", ("today", *MODES), strict=True):
            await press(pilot, digit)
            assert app.current_mode == mode


# Receive


async def test_the_best_way_is_two_keys() -> None:
    async with opened("receive") as (_app, pilot, room):
        await press(pilot, "down", "enter")
        await press(pilot, "enter")
        assert room.wrote == [("choose", ("Box 14", 2, "float-and-lift", "North tub", ""))]


async def test_another_way_asks_the_reason() -> None:
    async with opened("receive") as (_app, pilot, room):
        await press(pilot, "down", "enter", "right", "right", "enter")
        assert room.wrote == []
        await press(pilot, "b")
        assert room.wrote == [("choose", ("Box 14", 2, "drip-with-binder", "North tub", "time"))]


async def test_a_question_takes_a_number_or_not_read() -> None:
    room = SampleRoom()
    room.bag_view = READ
    async with opened("receive", room=room) as (app, pilot, _room):
        await press(pilot, "enter")
        assert "TAN of the bag" in text_of(app)
        assert "keep it shut" in text_of(app)
        app.screen.query_one("#answer", Input).value = "4,2"
        await press(pilot, "enter")
        assert room.wrote == []
        assert "Nothing was recorded" in app.screen.query_one(Because).text
        app.screen.query_one("#answer", Input).value = "4.2"
        await press(pilot, "enter")
        app.screen.query_one("#answer", Input).value = "?"
        await press(pilot, "enter")
        assert room.wrote == [
            ("bag", ("Box 14", 1, {"tan": "4.2 mg/L"})),
            ("bag", ("Box 14", 1, {"tan": "?"})),
        ]


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
@pytest.mark.parametrize("look", LOOKS)
async def test_a_colour_of_the_kit_is_picked_or_typed(size: tuple[int, int], look: Look) -> None:
    room = SampleRoom()
    by_kit = [
        replace(q, kit="drop kit, kit expired", steps=("0", "0.5", "1", "2", "4", "8"))
        if q.field == "tan"
        else q
        for q in READ.questions
    ]
    room.bag_view = replace(READ, questions=tuple(by_kit))
    async with opened("receive", size=size, look=look, room=room) as (app, pilot, _room):
        await press(pilot, "enter", "right", "right", "right")
        field = app.screen.query_one("#answer", Input)
        assert field.value == "1"
        assert "by drop kit, kit expired" in text_of(app)
        assert "▌1▐" in text_of(app) or ">1|" in text_of(app)
        assert "between 0.5 and 2" in text_of(app)
        assert problems(app) == []
        await press(pilot, "left")
        assert field.value == "0.5"
        field.value = "0.7"
        await press(pilot, "left", "right")
        assert field.value == "0.7"
        field.value = ""
        await press(pilot, "left")
        assert "the top colour: over 4, no end known; dilute" in text_of(app)
        await press(pilot, "enter")
        assert room.wrote == [("bag", ("Box 14", 1, {"tan": "8 mg/L"}))]


async def test_a_run_steps_reads_and_holds() -> None:
    room = SampleRoom()
    room.bag_view = RUN
    async with opened("receive", room=room) as (app, pilot, _room):
        await press(pilot, "enter", "n", "t", *"17", "enter", "h")
        assert room.wrote == [
            ("next", ("Box 14", 1)),
            ("checkpoint", ("Box 14", 1, {"temp": "17 C"})),
            ("hold", ("Box 14", 1, True)),
        ]
        await press(pilot, "1")
        await press(pilot, "2")
        assert "lift across" in text_of(app)


async def test_doubts_name_what_they_would_change() -> None:
    async with opened("receive") as (app, pilot, _room):
        await press(pilot, "enter", "x")
        assert "could halve the peak" in text_of(app)


async def test_no_shipment_says_the_one_key() -> None:
    room = SampleRoom()
    room.bags = ReceiveList((), ())
    async with opened("receive", room=room) as (app, pilot, _room):
        assert "n  New shipment" in text_of(app) or "New shipment" in text_of(app)
        await press(pilot, "enter", "right", "o", "x", "w", "e")
        assert room.wrote == []
        await press(pilot, "n", *"Box", "tab", *"Lee", "tab", *"now", "enter")
        assert room.wrote == [("shipment", ({"name": "Box", "from": "Lee", "delivered": "now"},))]


# Calendar


async def test_the_because_line_answers_why_that_date() -> None:
    async with opened("calendar") as (app, pilot, _room):
        await press(pilot, "n", "n", "n", "n")
        screen = app.screen
        assert isinstance(screen, CalendarScreen)
        await press(pilot, "home")
        screen.system = 0
        for _ in range(40):
            task = screen.day_task
            if task is not None and task.kind == "slide":
                break
            await press(pilot, "right" if screen.cursor.day < 28 else "left")
        assert "fluke cycle" in app.screen.query_one(Because).text
        await press(pilot, "w")
        assert "warmer than planned" in text_of(app)


async def test_the_cursor_keeps_to_the_days_there_are() -> None:
    async with opened("calendar") as (app, pilot, _room):
        screen = app.screen
        assert isinstance(screen, CalendarScreen)
        assert screen.view is not None
        await press(pilot, *["left"] * 40)
        assert screen.cursor == screen.view.first
        assert problems(app) == []


async def test_checks_open() -> None:
    async with opened("calendar") as (app, pilot, _room):
        await press(pilot, "enter")
        assert "days-served" in text_of(app)


# Fish


async def test_a_million_fish_fetch_only_what_is_seen() -> None:
    room = SampleRoom()
    room.heads = 1_000_000
    async with opened("fish", room=room) as (app, pilot, _room):
        assert len(room.pages) == 1
        await press(pilot, "end")
        screen = app.screen
        assert isinstance(screen, FishScreen)
        assert screen.rows.cursor == 999_999
        assert screen.rows.row is not None
        assert screen.rows.row.name == "Fish 999999"
        assert "Fish 999999" in text_of(app)
        await press(pilot, "pageup", "pageup")
        assert len(room.pages) <= 4
        assert all(count == 256 for _, count in room.pages)


async def test_seen_on_a_fish_skips_the_question_who() -> None:
    async with opened("fish") as (_app, pilot, room):
        await press(pilot, "down", "s", "b", "1", "enter")
        assert room.wrote == [("seen", ("Brick", "rubbing", 1, None))]


async def test_a_move_shows_what_follows_before_it_is_recorded() -> None:
    async with opened("fish") as (app, pilot, room):
        await press(pilot, "m", "a")
        assert "days served begin again" in " ".join(text_of(app).split())
        await press(pilot, "enter")
        assert room.wrote == []
        await press(pilot, "r", "a")
        assert room.wrote == [("move", ("Ash", None, "Racetrack", "to treat it alone"))]


async def test_weigh_and_correct() -> None:
    async with opened("fish") as (_app, pilot, room):
        await press(pilot, "g", *"86", "enter", "u", "a", "b", "a")
        assert room.wrote == [("weigh", ("Ash", "86 g")), ("void", (801, "pressed by mistake"))]


async def test_find_puts_the_cursor_on_the_fish() -> None:
    async with opened() as (app, pilot, _room):
        await press(pilot, "slash", *"co", "enter")
        await settled(pilot)
        screen = app.screen
        assert isinstance(screen, FishScreen)
        assert screen.rows.row is not None
        assert screen.rows.row.name == "Coal"


# Vessels


async def test_the_volume_moves_while_the_line_is_typed() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "6")
        assert isinstance(app.screen, VesselsScreen)
        assert "372" not in text_of(app).splitlines()[2]  # it is drawn, not written
        await press(pilot, "l", *"30")
        assert "232 to 254 L" in text_of(app)
        assert room.wrote == []
        await press(pilot, "enter")
        assert room.wrote == [("waterline", ("North tub", "30 cm"))]


async def test_a_new_vessel_is_measured_size_by_size() -> None:
    async with opened("vessels") as (app, pilot, room):
        await press(pilot, "m", "a", *"120", "tab", *"60")
        assert "the depth is missing" in app.screen.query_one(Because).text
        await press(pilot, "tab", *"50", "enter")
        typed = {"length": "120 cm", "width": "60 cm", "depth": "50 cm"}
        assert room.wrote == [("vessel", ("North tub", "box", typed))]


@pytest.mark.parametrize("look", LOOKS)
async def test_the_drawing_fits_while_it_moves(look: Look) -> None:
    for size in SIZES:
        async with opened("vessels", size=size, look=look) as (app, pilot, _room):
            await press(pilot, "down", "l", *"5")
            assert problems(app) == []


# Protocols


async def test_a_problem_is_shown_at_its_place() -> None:
    async with opened("protocols") as (app, pilot, _room):
        await press(pilot, "n")
        lines = text_of(app).splitlines()
        row = next(i for i, line in enumerate(lines) if "temprature: 19 C" in line)
        assert lines[row].index("temprature") == lines[row + 1].index("^^^^")
        assert "did you mean temperature?" in lines[row + 1]


async def test_a_file_with_a_problem_is_not_saved() -> None:
    async with opened("protocols") as (app, pilot, room):
        await press(pilot, "down", "e")
        app.screen.query_one(TextArea).text = "temprature: 3"
        await press(pilot, "ctrl+s")
        assert room.wrote == []
        assert "Nothing was saved" in app.screen.query_one(Because).text
        assert problems(app) == []


async def test_a_moved_limit_asks_why() -> None:
    async with opened("protocols") as (app, pilot, room):
        await press(pilot, "down", "e")
        app.screen.query_one(TextArea).text = "high: 6"
        await press(pilot, "ctrl+s")
        assert room.wrote == []
        await press(pilot, *"vet", "enter")
        assert room.wrote == [("protocol", ("treatments/praziquantel", "high: 6", "vet"))]


async def test_restore_asks_and_keeps_by_default() -> None:
    async with opened("protocols") as (_app, pilot, room):
        await press(pilot, "down", "r", "enter")
        assert room.wrote == []
        await press(pilot, "r", "b")
        assert room.wrote == [("restore", ("treatments/praziquantel",))]


async def test_empty_rooms_never_fail_in_any_mode() -> None:
    class Empty(SampleRoom):
        def vessels(self):  # type: ignore[no-untyped-def]
            return replace(super().vessels(), vessels=())

        def calendar(self):  # type: ignore[no-untyped-def]
            return replace(super().calendar(), systems=())

        def protocols(self):  # type: ignore[no-untyped-def]
            return replace(super().protocols(), lines=())

    room = Empty()
    room.heads = 0
    room.bags = ReceiveList((), ())
    for mode in ("receive", "calendar", "fish", "vessels", "protocols"):
        async with opened(mode, room=room) as (app, pilot, _room):
            assert (
                isinstance(app.screen, (ReceiveScreen, CalendarScreen, FishScreen, VesselsScreen))
                or mode == "protocols"
            )
            for key in ("up", "down", "left", "right", "enter", "g", "u", "c", "w", "p", "n"):
                await press(pilot, key)
                await press(pilot, "escape")
            assert room.wrote == []
