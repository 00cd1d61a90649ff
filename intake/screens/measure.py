"""Measuring a vessel: sizes asked one by one beside a drawing that follows every key."""

from __future__ import annotations

import re
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, VerticalScroll
from textual.content import Content
from textual.widget import Widget

from intake.flows.views.vessels import VesselView
from intake.science.volume.trade import TANKS
from intake.screens.question import BACK_KEY, LinesScreen, PickScreen
from intake.screens.sketch import SketchScreen
from intake.screens.theme import Look
from intake.screens.widgets.fold_row import FoldRow
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.list_field import KINDS, ListField
from intake.screens.widgets.measure_drawing import measure_lines
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.quantity_field import Asked, QuantityField

TAPED = ("length", "lengths")
"""Sizes a tape is held to, so that the drawing has an arrow for it."""
FOLDS = ("the walls lean", "the walls bulge")
"""What comes first of all that most vessels do not need."""
AS_SOLD = "a size as sold, from a list"
SOLD = tuple(
    (t.name, f"{t.name}: {t.length_in} x {t.width_in} x {t.height_in} in outside")
    for t in TANKS.values()
)


class MeasureScreen(SketchScreen):
    """Tab goes on, enter records once all is known; `?` says how a size is measured."""

    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("tab", "tab", "Next"),
        Foot("enter", "enter", "Record"),
        Foot("question_mark", "?", "How"),
        BACK_KEY,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("question_mark", "how", show=False, priority=True),
        Binding("f1", "how", show=False, priority=True),
    ]
    _here: Asked | None = None
    _sold = ""

    def compose_body(self) -> ComposeResult:
        """The title over the fields and the drawing beside each other."""
        yield Lines(self._head)
        with Container(id="split"):
            with VerticalScroll(id="fields", can_focus=False):
                yield from self._rows()
            yield Lines(self._drawing, id="drawing", classes="tall")

    def _rows(self) -> ComposeResult:
        for asked in self._asked:
            if not asked.fold:
                yield _field(asked)
        folds = dict.fromkeys(a.fold for a in self._asked if a.fold)
        for fold in sorted(folds, key=lambda f: f not in FOLDS):
            yield FoldRow(fold)
            for asked in self._asked:
                if asked.fold == fold:
                    field = _field(asked)
                    field.display = False
                    yield field
        if any(a.field == "wall" for a in self._asked) and self._title.startswith("box"):
            yield FoldRow(AS_SOLD)

    def on_mount(self) -> None:
        """Begins in the first field, with a usual vessel drawn."""
        super().on_mount()
        if self._view is None:
            self.redraw()

    def _drawing(self, width: int, look: Look) -> list[Content]:
        rows = self.query_one("#drawing").size.height
        if self._view is None or rows < 3:
            return []
        here = self._here
        arrow = here.arrow if here is not None and here.kind in TAPED else ""
        return measure_lines(self._view, arrow, width, rows, look)

    # what is typed

    def _typed_now(self) -> dict[str, str]:
        typed = {f.asked.field: f.said for f in self.fields if f.text.strip()}
        return {**typed, **({"trade": self._sold} if self._sold else {})}

    def redraw(self) -> None:
        """Asks for the drawing of what is typed, a usual vessel where that is nothing yet."""
        if any(f.problem is not None for f in self.fields):
            return
        typed = self._typed_now()
        self.ask(
            lambda jobs: self._sketch(jobs, typed),
            self._show,
            failed=self._not_yet,
            group="sketch",
        )

    def _show(self, view: VesselView) -> None:
        self._view = view
        doubts = dict(view.doubts)
        for field in self.fields:
            field.note(doubts.get(field.asked.field, ""))
        self.query_one("#drawing", Lines).refresh()

    def take_form(self) -> None:
        """Records once the water is known; else says what is missing, and keeps what was typed."""
        wrong = next((f for f in self.fields if f.problem is not None), None)
        missing = next((f for f in self.fields if f.asked.needed and not f.text.strip()), None)
        if wrong is not None or missing is not None:
            (wrong or missing or self.fields[0]).take_focus()
            text = "One field cannot be read yet."
            if wrong is None and missing is not None:
                text = f"Type the {missing.asked.ask} first."
            self.because.say(f"{text} Nothing was recorded.", "stop")
            return
        typed = self._typed_now()

        def known(view: VesselView) -> None:
            self._show(view)
            if view.digits == "?":
                self.because.say(f"{view.because} Nothing was recorded.", "stop")
            else:
                self.dismiss(typed)

        self.ask(
            lambda jobs: self._sketch(jobs, typed), known, failed=self._not_yet, group="sketch"
        )

    # where the cursor is

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """The because line says how the size under the cursor is measured."""
        field = _field_of(event.widget)
        self._here = field.asked if field is not None else None
        for one in self.fields:  # what is typed has the whole width while it is typed
            one.query_one(".reading").display = one is not field
        if self._here is not None:
            self.because.explain(self._here.how or self._why)
        elif isinstance(event.widget, FoldRow):
            self.because.explain(f"enter opens it: {event.widget.words}.")
        self.query_one("#drawing", Lines).refresh()

    def action_how(self) -> None:
        """How the size under the cursor is measured."""
        here = self._here
        if here is not None and here.longer:
            title = f"How do I measure this?  {here.ask}"
            sentences = tuple(re.split(r"(?<=\.) ", here.longer))
            self.app.push_screen(LinesScreen(title, sentences, here.how))

    @on(FoldRow.Opened)
    def _opened(self, event: FoldRow.Opened) -> None:
        event.stop()
        if event.row.words == AS_SOLD:
            why = "only the outside sizes are taken; the litres on the sticker are never used."
            self.app.push_screen(PickScreen("Sold as which size?", SOLD, why), self._as_sold)
            return
        self._open(event.row.words)

    def _open(self, fold: str) -> None:
        opened = [f for f in self.fields if f.asked.fold == fold]
        for field in opened:
            field.display = True
        for row in self.query(FoldRow):
            if row.words == fold:
                row.display = False
        if opened:
            self.call_after_refresh(opened[0].take_focus)

    def _as_sold(self, name: str | None) -> None:
        """Its outside sizes as text that can be typed over; the glass is asked next."""
        if not name:
            return
        tank = TANKS[name]
        self._sold = name
        sizes = {"length": tank.length_in, "width": tank.width_in, "height": tank.height_in}
        for field in self.fields:
            if field.asked.field in sizes:
                field.put(f"{sizes[field.asked.field]} in")
        self._open(next(a.fold for a in self._asked if a.field == "wall"))


def _field(asked: Asked) -> QuantityField:
    return ListField(asked) if asked.kind in KINDS else QuantityField(asked)


def _field_of(widget: Widget) -> QuantityField | None:
    return next((a for a in widget.ancestors_with_self if isinstance(a, QuantityField)), None)
