"""A form over a drawing that moves as the numbers are typed; nothing is saved before enter."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content

from intake.flows.views.vessels import VesselView
from intake.science.problem import Refused, Unreadable
from intake.screens.jobs import Jobs
from intake.screens.question import BACK_KEY, FormScreen
from intake.screens.saying import no_text
from intake.screens.theme import Look
from intake.screens.vessel_lines import head_lines
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import shorten
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.quantity_field import Asked, QuantityField
from intake.screens.widgets.vessel_drawing import drawing_lines

Sketch = Callable[[Jobs, Mapping[str, str]], VesselView]


class SketchScreen(FormScreen):
    """The drawing and the volume follow what is typed."""

    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("tab", "tab", "Next"),
        Foot("enter", "enter", "Record"),
        BACK_KEY,
    )

    def __init__(
        self,
        title: str,
        asked: tuple[Asked, ...],
        because: str,
        sketch: Sketch,
        view: VesselView | None,
    ) -> None:
        super().__init__(title, asked, because)
        self._sketch = sketch
        self._view = view

    def compose_body(self) -> ComposeResult:
        """Title, drawing, fields."""
        yield Lines(self._head)
        with VerticalScroll(id="fields", can_focus=False):
            for asked in self._asked:
                yield QuantityField(asked)
        yield Lines(self._drawing, id="drawing", classes="tall")

    def _head(self, width: int, look: Look) -> list[Content]:
        return [look.say((shorten(self._title, width), "bold")), Content("")]

    def _drawing(self, width: int, look: Look) -> list[Content]:
        view = self._view
        rows = self.query_one("#drawing").size.height
        if view is None or rows < 6:
            return []
        lines = [Content(""), *head_lines(view, width, look)]
        if view.profile is not None and rows - len(lines) >= 5:
            lines.append(Content(""))
            lines += drawing_lines(view.profile, width, rows - len(lines), look)
        return lines[:rows]

    @on(QuantityField.Changed)
    def _moved(self) -> None:
        self.redraw()

    def redraw(self) -> None:
        """Asks for the drawing of what is typed, where all of it can be read."""
        typed = {f.asked.field: f.said for f in self.fields if f.text.strip()}
        if typed and all(f.problem is None for f in self.fields):
            self.ask(
                lambda jobs: self._sketch(jobs, typed),
                self._show,
                failed=self._not_yet,
                group="sketch",
            )

    def _show(self, view: VesselView) -> None:
        self._view = view
        self.because.explain(view.because)
        self.query_one("#drawing", Lines).refresh()

    def _not_yet(self, no: Refused | Unreadable) -> None:
        self.because.say(no_text(no), "care")
