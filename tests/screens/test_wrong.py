"""Something is wrong: two keys from anywhere, nothing asked, nothing in the way."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from textual.widgets import Input

from intake.flows.views.parts import Recorded, Wrong
from intake.science.problem import Refused
from intake.screens.app import MODES
from intake.screens.guard import DEAD_S
from intake.screens.theme import Look
from intake.screens.wrong import FIRST, WrongScreen
from tests.screens.fits import (
    SLOW_AT_EVERY_SIZE,
    Tick,
    opened,
    press,
    problems,
    settled,
    text_of,
)
from tests.screens.sample import SampleRoom
from tests.screens.sample_receive import CHOOSE, READ, RUN


class Long(SampleRoom):
    """A rescue of many long lines."""

    def wrong(self, vessel: str, rescue: str) -> Wrong:
        do = tuple(f"{n} {rescue} " + "soft water in, acid water out, " * 6 for n in range(12))
        return Wrong("All of it", do, ("a " * 90,) * 4, ("w on Today",) * 3, "x " * 200, vessel)


@pytest.mark.parametrize("mode", MODES)
async def test_gasping_is_two_keys_from_every_mode(mode: str) -> None:
    async with opened(mode) as (app, pilot, room):
        await press(pilot, "0")
        assert all(text.split()[0] in text_of(app) for text in FIRST.do)
        await press(pilot, "g")
        assert "Air stone on full" in text_of(app)
        assert room.wrote == []
        await press(pilot, "p")
        assert "ph-crash" in text_of(app)


async def test_the_vessel_under_the_cursor_is_meant() -> None:
    async with opened() as (app, pilot, _room):
        await press(pilot, "0", "g")
        assert "gasping North tub" in text_of(app)


async def test_f9_in_a_field_that_is_typed_in() -> None:
    async with opened() as (app, pilot, _room):
        await press(pilot, "w", "1", "0")
        assert app.screen.query(Input).first().value == "10"
        await press(pilot, "f9", "g")
        assert isinstance(app.screen, WrongScreen)
        assert "Air stone on full" in text_of(app)
        assert "gasping North tub" in text_of(app), "the vessel of the screen behind the form"
        await press(pilot, "escape")
        assert app.screen.query(Input).first().value == "10", "what was typed is still there"


async def test_neither_key_waits_for_the_dead_time_of_a_screen() -> None:
    async with opened() as (app, pilot, _room):
        tick = app.guard.tick
        assert isinstance(tick, Tick)
        tick.step = 0.0
        app.guard.screen_appeared()
        tick.now += DEAD_S / 10
        await press(pilot, "0", "g")
        assert "Air stone on full" in text_of(app)
        await pilot.press("escape")
        await settled(pilot)
        assert isinstance(app.screen, WrongScreen), "other keys do wait"


async def test_a_room_that_cannot_be_read_leaves_the_three_things() -> None:
    class Gone(SampleRoom):
        def wrong(self, vessel: str, rescue: str) -> Wrong:
            raise Refused("no-room", f"{vessel} {rescue}")

    async with opened(room=Gone()) as (app, pilot, _room):
        await press(pilot, "0", "g")
        assert "Air on, lights low" in text_of(app)
        assert "holds all the same" in " ".join(text_of(app).split())


@pytest.mark.parametrize(("size", "look"), SLOW_AT_EVERY_SIZE)
async def test_all_of_it_can_be_reached_at_every_size(size: tuple[int, int], look: Look) -> None:
    async with opened(size=size, look=look, room=Long()) as (app, pilot, _room):
        await press(pilot, "0")
        assert problems(app) == []
        await press(pilot, "g")
        assert problems(app) == []
        await press(pilot, *["down"] * 40)
        assert "w on Today" in text_of(app)
        await press(pilot, "p")
        assert "All of it" in text_of(app), "another rescue begins at its top"


async def test_gasping_on_receive_shows_the_lift_and_then_writes_it_down() -> None:
    async with opened("receive") as (app, pilot, room):
        await press(pilot, "down", "0", "g")
        text = " ".join(text_of(app).split())
        assert "Box 14, bag 2: open it and lift the fish across" in text
        assert "Air stone on full" in text
        assert room.wrote == [("bag", ("Box 14", 2, {"gasping": "yes"}))]
        assert problems(app) == []
        await press(pilot, "g", "g", "g")
        assert " ".join(text_of(app).split()).count("bag 2: open it") == 1
        assert len(room.wrote) == 1, "a drip or a held key is no second entry"


async def test_gasping_needs_no_question_on_any_face_of_a_bag() -> None:
    for view in (CHOOSE, READ, RUN):
        room = SampleRoom()
        room.bag_view = view
        async with opened("receive", room=room) as (app, pilot, _room):
            await press(pilot, "down", "enter")
            await press(pilot, *(("f9",) if view is READ else ("0",)), "g")
            assert isinstance(app.screen, WrongScreen)
            (wrote,) = room.wrote
            assert wrote[0] == "bag"
            assert wrote[1][-1] == {"gasping": "yes"}


async def test_gasping_that_cannot_be_written_shows_what_to_do_and_is_tried_again() -> None:
    class Locked(SampleRoom):
        tries = 0

        def bag_save(self, box: str, bag: int, typed: Mapping[str, str]) -> Recorded:
            self.tries += 1
            if self.tries == 1:
                raise Refused("room-locked", "another program writes in it")
            return super().bag_save(box, bag, typed)

    room = Locked()
    async with opened("receive", room=room) as (app, pilot, _room):
        await press(pilot, "down", "0", "g")
        text = " ".join(text_of(app).split())
        assert "bag 2: open it and lift the fish across" in text
        assert "holds all the same" in text
        assert room.wrote == []
        await press(pilot, "g", "g")
        assert len(room.wrote) == 1
