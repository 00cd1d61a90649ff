"""Levels over days: whole at every size and without colour, and what a chart has to show."""

from __future__ import annotations

from dataclasses import replace

import pytest

from intake.drawing.level_chart import LevelChart, Mark, cells, marks_row, passes, scale_of
from intake.screens.residue import ResidueScreen, residue_lines
from intake.screens.theme import Look
from intake.screens.vessels import VesselsScreen
from intake.screens.widgets.level_chart import level_lines
from tests.screens.fits import LOOKS, SIZES, opened, press, problems, text_of
from tests.screens.sample_residue import ammonia, residue_view, saw_tooth


@pytest.mark.parametrize(("size", "look"), list(zip(SIZES, LOOKS * len(SIZES), strict=False)))
async def test_it_opens_from_vessels_and_fits(size: tuple[int, int], look: Look) -> None:
    async with opened("vessels", size=size, look=look) as (app, pilot, room):
        await press(pilot, "r")
        assert isinstance(app.screen, ResidueScreen)
        assert problems(app) == []
        assert "salt, g/L" in text_of(app)
        await press(pilot, "t")
        assert problems(app) == []
        assert "268 g of salt" in " ".join(text_of(app).split())
        await press(pilot, "t", "down")
        assert "NH3" in text_of(app)
        await press(pilot, "m", "m")
        assert "not possible" in " ".join(text_of(app).split())
        assert problems(app) == []
        assert room.wrote == []
        await press(pilot, "escape")
        assert isinstance(app.screen, VesselsScreen)


async def test_more_often_is_asked_of_the_room_and_shown() -> None:
    async with opened("vessels", size=(120, 40)) as (app, pilot, _room):
        await press(pilot, "r")
        assert "at most 1 change a day" in text_of(app)
        await press(pilot, "m", "m")
        text = " ".join(text_of(app).split())
        assert "at most 3 changes a day" in text
        assert "over-limit" in text
        await press(pilot, "m", "m")
        assert "at most 1 change a day" in text_of(app)


def kinds(chart: LevelChart, columns: int = 60, rows: int = 14) -> list[list[str]]:
    return [[kind for kind, _ in row] for row in cells(chart, columns, rows)]


def test_a_chart_shows_both_limits_the_range_now_and_what_is_to_come() -> None:
    grid = kinds(saw_tooth())
    flat = {kind for row in grid for kind in row}
    assert {"limit", "floor", "band", "now", "line", "to-come"} <= flat
    now = next(x for x, kind in enumerate(grid[0]) if kind == "now")
    for row in grid:
        for x, kind in enumerate(row):
            assert not (kind == "to-come" and x <= now)
            assert not (kind == "line" and x > now)


def test_the_axes_begin_at_nothing_and_hold_the_limit() -> None:
    scale = scale_of(saw_tooth())
    assert scale.x == (-4.0, 7.0)
    assert scale.y[0] == 0.0
    assert scale.y[1] > 5.0
    assert scale_of(LevelChart("none", "g/L", ())).y[1] > 0.0


def test_what_passes_its_limit_is_said_in_words_too() -> None:
    over = replace(saw_tooth(), limit=1.2)
    assert passes(over)
    assert not passes(saw_tooth())
    assert "over its limit" in level_lines(over, 100, 14, Look())[0].plain
    assert {"band-over"} <= {kind for row in kinds(over) for kind in row}


def test_doses_and_changes_stand_under_their_days() -> None:
    row = marks_row(saw_tooth(), 56)
    assert [(n / 5 - 4, letter) for n, letter in enumerate(row) if letter != " "] == [
        (-3.0, "D"), (-2.0, "D"), (-1.0, "C"), (1.0, "c"), (4.0, "c"),
    ]  # fmt: skip


def test_what_happened_on_one_day_stands_side_by_side() -> None:
    both = replace(saw_tooth(), marks=(Mark(-1.0, "C"), Mark(-0.99, "D"), Mark(-1.0, "C")))
    assert marks_row(both, 56).split() == ["CD"]


def test_what_is_next_to_nothing_has_no_long_figure() -> None:
    gone = LevelChart("x", "mg/L", ((0.0, 1.0), (7.0, 1e-9)), ((0.0, 0.9), (7.0, 1e-12)),
                      ((0.0, 1.1), (7.0, 1e-8)))  # fmt: skip
    assert level_lines(gone, 100, 14, Look())[0].plain.endswith("at the end next to nothing")
    some = replace(gone, high=((0.0, 1.1), (7.0, 0.5)))
    assert level_lines(some, 100, 14, Look())[0].plain.endswith("at the end under 0.5")


def test_dates_stand_under_their_midnights_and_never_run_together() -> None:
    for width in (40, 60, 76, 120):
        dates = level_lines(saw_tooth(), width, 14, Look())[-1].plain
        words = dates.split()
        assert words[1::2] == ["Nov"] * (len(words) // 2), dates
        assert "Nov" in dates


def test_too_few_rows_leave_the_words() -> None:
    lines = level_lines(ammonia(), 60, 5, Look())
    assert len(lines) == 1
    assert "mg/L as N" in lines[0].plain


@pytest.mark.parametrize("width", [40, 76, 100, 118])
@pytest.mark.parametrize("table", [True, False])
def test_no_line_is_wider_than_the_screen(width: int, table: bool) -> None:
    for a_day in (1, 3):
        view = residue_view("North tub", a_day)
        lines = residue_lines(view, width, 34, Look(ascii=True), table=table)
        assert max(line.cell_length for line in lines) <= width
        assert all(line.plain.isascii() for line in lines)


def test_a_water_without_anything_has_words() -> None:
    empty = replace(
        residue_view("Tub", 1), charts=(), possible=None, told="not worked out: no pH", rows=()
    )
    for width in (60, 118):
        text = " ".join(line.plain for line in residue_lines(empty, width, 20, Look()))
        assert "not worked out: no pH" in text
