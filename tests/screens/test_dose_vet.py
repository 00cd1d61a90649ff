"""A vet's direction and the shelf, from Dose by keys."""

from __future__ import annotations

from dataclasses import replace

import pytest
from textual.widgets import Input

from intake.flows.views.dose import DoseAsk
from intake.flows.views.parts import Stop
from intake.screens.dose import DoseScreen
from intake.screens.dose_faces import FEET, READ, REFUSED, VET_FEET, feet_of
from intake.screens.question import FormScreen, PickScreen
from tests.screens.fits import opened, press, problems, settled, text_of
from tests.screens.sample import dose_view

SIZES = [(80, 24), (120, 40)]


@pytest.mark.parametrize("size", SIZES)
async def test_a_direction_is_read_back_and_typed_twice(size: tuple[int, int]) -> None:
    async with opened(size=size) as (app, pilot, room):
        await press(pilot, "d", "d")
        form = app.screen
        assert isinstance(form, FormScreen)
        assert problems(app) == []
        fields = {f.asked.field: f for f in form.fields}
        assert fields["treatment"].text == "praziquantel"
        assert fields["subject"].text == "North tub"
        for name, text in (("vet", "Dr Vaz"), ("words", "40"), ("target", "4 g/L")):
            fields[name].query_one(Input).value = text
        form.take_form()
        await settled(pilot)
        again = app.screen
        assert isinstance(again, FormScreen)
        assert "Say it: 4 g/L: four" in text_of(app)
        assert "do not say 4" in text_of(app)
        assert problems(app) == []
        assert room.wrote == []
        await press(pilot, "4", "enter")
        ((what, (typed, number)),) = room.wrote
        assert (what, number) == ("direction", "4")
        assert isinstance(typed, dict)
        assert typed["vet"] == "Dr Vaz"
        assert isinstance(app.screen, DoseScreen)
        assert app.screen.said_by_vet == {}


async def test_what_was_typed_stays_until_it_is_stored() -> None:
    async with opened() as (app, pilot, room):
        await press(pilot, "d", "d")
        form = app.screen
        assert isinstance(form, FormScreen)
        for field in form.fields:
            field.query_one(Input).value = {"target": "4 g/L"}.get(field.asked.field, "x")
        form.take_form()
        await press(pilot, "escape", "d")
        form = app.screen
        assert isinstance(form, FormScreen)
        assert {f.asked.field: f.text for f in form.fields}["target"] == "4 g/L"
        assert room.wrote == []


@pytest.mark.parametrize("size", SIZES)
async def test_a_bottle_is_picked_or_recorded(size: tuple[int, int]) -> None:
    async with opened(size=size) as (app, pilot, room):
        await press(pilot, "d", "p")
        assert isinstance(app.screen, PickScreen)
        assert "past its date" in text_of(app)
        assert problems(app) == []
        await press(pilot, "b")
        screen = app.screen
        assert isinstance(screen, DoseScreen)
        assert screen.asked.product == "Old#4"
        await press(pilot, "p", "c")
        form = app.screen
        assert isinstance(form, FormScreen)
        assert problems(app) == []
        {f.asked.field: f for f in form.fields}["strength"].query_one(Input).value = "99 %"
        form.take_form()
        await settled(pilot)
        ((what, args),) = room.wrote
        assert what == "add"
        assert "99 %" in str(args)


def test_a_stop_that_a_vet_lifts_names_the_key() -> None:
    view = dose_view(DoseAsk(target="6"))
    assert feet_of(REFUSED, view) == FEET[REFUSED]
    barred = replace(view, stops=(Stop("vet-only", "t", "s", "w", None),))
    assert feet_of(REFUSED, barred) == VET_FEET
    assert feet_of(READ, barred) == FEET[READ]
