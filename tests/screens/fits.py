"""Whether everything on a screen is whole: the framework calls a clipped line visible."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from typing import cast

import pytest
from _pytest.mark.structures import ParameterSet
from textual.containers import VerticalScroll
from textual.pilot import Pilot
from textual.widget import Widget
from textual.widgets import Input, Static
from textual.worker import WorkerCancelled

from intake.screens.app import IntakeApp
from intake.screens.jobs import Jobs
from intake.screens.theme import Look
from intake.screens.widgets.because import ROWS, Because
from intake.screens.widgets.footline import MOST, FootLine
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.strip import ModeStrip
from tests.screens.sample import SampleRoom, now

SIZES = ((80, 24), (100, 30), (120, 40), (40, 24))

LOOKS = (Look(), Look(plain=True), Look(plain=True, ascii=True))


def _always(*kept: tuple[int, int]) -> list[ParameterSet]:
    """All sizes with all looks, of which only the `kept` ones are always tried."""
    return [
        pytest.param(size, look, marks=() if (n, m) in kept else pytest.mark.full)
        for n, size in enumerate(SIZES)
        for m, look in enumerate(LOOKS)
    ]


EVERY_SIZE_AND_LOOK = _always((0, 0), (1, 1), (2, 0), (3, 2), (0, 2))
"""Every size with some look and every look with some size; all of them together in `full`."""
SLOW_AT_EVERY_SIZE = _always((0, 0), (3, 2))
"""The same for what takes seconds each time: the smallest and the largest, plain and not."""


class Tick:
    """A monotonic clock that moves on at every look: no key is a drip unless a test says so."""

    def __init__(self) -> None:
        self.now = 0.0
        self.step = 1.0

    def __call__(self) -> float:
        self.now += self.step
        return self.now


@asynccontextmanager
async def opened(
    mode: str = "today",
    size: tuple[int, int] = (80, 24),
    look: Look | None = None,
    room: SampleRoom | None = None,
) -> AsyncIterator[tuple[IntakeApp, Pilot[None], SampleRoom]]:
    """The app on one mode, with what it asked for on screen."""
    room = room or SampleRoom()
    app = IntakeApp(cast(Jobs, room), look or Look(), now, tick=Tick())
    async with app.run_test(size=size) as pilot:
        if mode != "today":
            await app.switch_mode(mode)
        await settled(pilot)
        yield app, pilot, room


async def settled(pilot: Pilot[None]) -> None:
    """Every job answered and everything painted."""
    for _ in range(3):
        with suppress(WorkerCancelled):  # a newer question replaced an older one
            await pilot.app.workers.wait_for_complete()
        await pilot.pause()


async def press(pilot: Pilot[None], *keys: str) -> None:
    """Keys, each answered before the next."""
    for key in keys:
        await pilot.press(key)
        await settled(pilot)


def shown(app: IntakeApp) -> list[Widget]:
    """The widgets that draw text and are displayed."""
    drawing = (Static, Lines, Because, FootLine, ModeStrip, Input)
    return [
        w for w in app.screen.walk_children(Widget) if isinstance(w, drawing) and w.is_on_screen
    ]


def problems(app: IntakeApp) -> list[str]:
    """What is clipped, too wide or off the screen; empty when all is whole."""
    found: list[str] = []
    screen = app.screen.region
    for widget in shown(app):
        name = f"{type(widget).__name__}#{widget.id}"
        scrolls = any(isinstance(parent, VerticalScroll) for parent in widget.ancestors)
        if not scrolls and widget.region.area and not screen.contains_region(widget.region):
            found.append(f"{name} at {widget.region} is outside {screen}")
        size = widget.content_size
        if isinstance(widget, Lines):
            lines = widget.make(size.width, app.look)
            if len(lines) > size.height:
                found.append(f"{name}: {len(lines)} lines in {size.height} rows")
            for line in lines:
                if line.cell_length > size.width:
                    found.append(f"{name}: {line.plain!r} is wider than {size.width}")
        elif isinstance(widget, Static):
            height = widget.get_content_height(size, size, size.width)
            if height > size.height:
                found.append(f"{name}: {height} rows in {size.height}")
    found += _frame(app)
    return found


def _frame(app: IntakeApp) -> list[str]:
    found = []
    because = app.screen.query_one(Because)
    if because.display and len(because.lines(because.content_size.width)) > ROWS:
        found.append("the because line has more than two rows")
    foot = app.screen.query_one(FootLine)
    if len(foot.feet) > MOST:
        found.append(f"{len(foot.feet)} keys in the footer")
    line = foot.render()
    if line.cell_length > app.screen.size.width:
        found.append(f"the footer is {line.cell_length} wide: {line.plain!r}")
    strip = app.screen.query_one(ModeStrip).render()
    if strip.cell_length > app.screen.size.width:
        found.append(f"the strip is {strip.cell_length} wide")
    return found


def text_of(app: IntakeApp) -> str:
    """All the words on the screen, as drawn."""
    width, height = app.screen.size
    strips = app.screen._compositor.render_strips()
    assert len(strips) == height
    return "\n".join(strip.crop(0, width).text.rstrip() for strip in strips)
