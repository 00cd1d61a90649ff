"""Vessels: the drawing, the true water at today's line, and how well it is known."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from intake.flows.views.vessels import SizeQuestion, VesselsView, VesselView
from intake.screens.gauging import (
    NEW_VESSEL,
    ask_buckets,
    ask_filling,
    ask_new_filling,
    ask_salt_step,
    ask_settle,
)
from intake.screens.lines import ask_line, record_mark
from intake.screens.measure import MeasureScreen
from intake.screens.question import HELP_KEY, LinesScreen, PickScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.shape_pick import ShapeScreen
from intake.screens.sketch import SketchScreen
from intake.screens.theme import Look
from intake.screens.vessel_lines import compare_texts, empty_lines, vessel_lines
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.quantity_field import Asked

GAUGES = (
    ("metered", "fill it by a bucket and count"),
    ("flow", "fill it at a measured flow, by the clock"),
    ("salt-step", "salt step: how much, then read the meter again a day later"),
    ("buckets", "by the bucket: count, read depths, a table of litres"),
    ("by-salt", "salt that is in already, both readings at hand"),
)
UNITS = {
    "length": "cm",
    "volume": "L",
    "mass": "g",
    "flow": "L/min",
    "duration": "min",
    "conductivity": "uS/cm",
    "percent": "%",
    "density": "g/mL",
}
NONE_YET = "No vessel in this room yet.  n  New: a tape and five minutes."

MARKS = (
    ("buckets", "count buckets as they go in"),
    ("levels", "type the depths and litres I have"),
)
ABOUT = tuple(asked.field for asked in NEW_VESSEL)


def _about(sizes: tuple[Asked, ...]) -> tuple[Asked, ...]:
    """The sizes of a new vessel after its name and zone; the water it shares after its sump."""
    last = next((at for at, a in enumerate(sizes, 1) if a.field == "connected"), len(sizes))
    *first, system = NEW_VESSEL
    return (*first, *sizes[:last], system, *sizes[last:])


def _sizes_only(typed: Mapping[str, str]) -> Mapping[str, str]:
    return {field: text for field, text in typed.items() if field not in ABOUT}


class VesselsScreen(RoomScreen[None]):
    """One vessel at a time; up and down go through them in round order."""

    MODE: ClassVar[str] = "vessels"
    HELP: ClassVar[str] = (
        "The volume is the true water at today's line: gravel, rock and filters taken off. The "
        "doubt after it comes from the tape. Limits use the smaller end. Press a when the line is "
        "at its mark, l when it has moved; n for a new vessel; m to measure again; g for gravel; "
        "f to check the tape by filling or by salt, b by the bucket; c to compare the ways, s to "
        "settle which one holds; p makes the waterline table to tape to the tub; u corrects an "
        "entry; i takes a vessel out of the water it shares or lets it in again; k says which "
        "other water it touches; o says how long it lasts without air, and what is due next."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("down", "↑ ↓", "Vessel"),
        Foot("n", "n", "New"),
        Foot("m", "m", "Measure"),
        Foot("a", "a", "At mark"),
        Foot("l", "l", "Line"),
        Foot("f", "f", "Gauge"),
        HELP_KEY,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
        Binding("n", "new", show=False),
        Binding("m", "measure", show=False),
        Binding("a", "at_mark", show=False),
        Binding("l", "waterline", show=False),
        Binding("u", "correct", show=False),
        Binding("p", "print", show=False),
        Binding("g", "gravel", show=False),
        Binding("b", "buckets", show=False),
        Binding("f", "gauge", show=False),
        Binding("s", "settle", show=False),
        Binding("c", "compare", show=False),
        Binding("i", "apart", show=False),
        Binding("k", "link", show=False),
        Binding("o", "ahead", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.list: VesselsView | None = None
        self.view: VesselView | None = None
        self.at = 0

    def compose_body(self) -> ComposeResult:
        """All of it is one composition."""
        yield Lines(self._lines, id="vessel", classes="tall")

    def appeared(self) -> None:
        """The vessel the keeper stands at, else the one shown before."""
        self.ask(lambda jobs: jobs.vessels(), self._listed)

    def wrong_vessel(self) -> str:
        """The vessel shown."""
        return self.view.vessel if self.view else ""

    def _listed(self, vessels: VesselsView) -> None:
        wanted = self.desk.take("vessel") or self.desk.here or self.wrong_vessel()
        self.list = vessels
        names = [line.vessel for line in vessels.vessels]
        self.at = names.index(wanted) if wanted in names else min(self.at, max(0, len(names) - 1))
        if names:
            self._load()
        else:
            self.because.explain(vessels.because)
            self.query_one("#vessel", Lines).refresh()

    def _load(self) -> None:
        if self.list and self.list.vessels:
            name = self.list.vessels[self.at].vessel
            self.ask(lambda jobs: jobs.vessel(name), self._show)

    def _show(self, view: VesselView) -> None:
        self.view = view
        self.because.explain(view.because)
        self.query_one("#vessel", Lines).refresh()

    def _lines(self, width: int, look: Look) -> list[Content]:
        if self.list is not None and not self.list.vessels:
            return empty_lines(NONE_YET, width, look)
        if self.view is None:
            return [look.say(("· · ·", "faint"))]
        return vessel_lines(self.view, width, self.query_one("#body").size.height, look)

    def action_step(self, by: int) -> None:
        """The vessel before or after."""
        if self.list and self.list.vessels:
            self.at = (self.at + by) % len(self.list.vessels)
            self.desk.here = self.list.vessels[self.at].vessel
            self._load()

    def action_compare(self) -> None:
        """All ways the volume was found, in words."""
        if self.view is not None:
            title = f"How the water of {self.view.vessel} is known"
            self.app.push_screen(
                LinesScreen(title, compare_texts(self.view), self.view.agreement_said)
            )

    def action_at_mark(self) -> None:
        """The line is at its mark: recorded at once."""
        if self.view is not None:
            record_mark(self, self.view.vessel, lambda _recorded: self._load())

    def action_waterline(self) -> None:
        """One number; drawing and volume move at once, before it is saved."""
        if self.view is not None:
            ask_line(self, self.view, lambda _recorded: self._load())

    def action_print(self) -> None:
        """The waterline table, to tape to the tub."""
        from intake.screens.papers import ask_waterline

        if self.view is not None:
            ask_waterline(self, self.view.vessel)

    def action_ahead(self) -> None:
        """How long it lasts without air, its KH, the next change."""
        from intake.screens.forecast import ForecastScreen

        if self.view is not None:
            self.app.push_screen(ForecastScreen(self.view.vessel))

    def action_apart(self) -> None:
        """Out of the water it shares, or in again."""
        from intake.screens.joined import ask_apart

        if self.view is not None:
            ask_apart(self, self.view.vessel, lambda _recorded: self._load())

    def action_link(self) -> None:
        """Another water it touches."""
        from intake.screens.joined import ask_link

        if self.view is not None:
            ask_link(self, self.view.vessel, lambda _recorded: self._load())

    def action_correct(self) -> None:
        """An entry of this vessel said better, or taken back."""
        from intake.screens.correct import begin_correct

        if self.view is not None:
            begin_correct(self, self.view.vessel, lambda _recorded: self._load())

    def action_gravel(self) -> None:
        """How much gravel is in it, by its bulk."""
        view = self.view
        if view is None:
            return

        def typed(answer: Mapping[str, str] | None) -> None:
            if answer:
                self.record(
                    lambda jobs: jobs.vessel_record(view.vessel, "", answer),
                    lambda _recorded: self._load(),
                )

        asked = (Asked("gravel", "gravel, in bulk", "volume", "L", needed=True),)
        why = "part of the bulk is water between the grains; only the stone itself is taken off."
        sketch = SketchScreen(
            f"Gravel  {view.vessel}",
            asked,
            why,
            lambda jobs, t: jobs.gravel(view.vessel, t["gravel"]),
            view,
        )
        self.app.push_screen(sketch, typed)

    def action_new(self) -> None:
        """A vessel more: its shape, its name, its zone, then each size."""
        self.app.push_screen(
            ShapeScreen("A new vessel: what shape is it?"),
            self._new_of,
        )

    def _new_of(self, shape: str | None) -> None:
        """A level table is counted now, or typed; every other shape has sizes."""
        if shape != "levels":
            self._sizes("", shape)
            return
        why = "a table by the bucket holds for every odd shape."
        self.app.push_screen(PickScreen("A level table", MARKS, why), self._new_table)

    def _new_table(self, way: str | None) -> None:
        if way == "buckets":
            ask_new_filling(self, lambda _recorded: self.appeared())
        else:
            self._sizes("", way)

    def action_buckets(self) -> None:
        """A filling that is paused, or one begun."""
        paused = self.list.paused if self.list else ()
        name = self.view.vessel if self.view else ""
        ask_buckets(self, paused, name, lambda _recorded: self.appeared())

    def action_measure(self) -> None:
        """The shape, then each size."""
        name = self.view.vessel if self.view else ""
        self.app.push_screen(
            ShapeScreen(f"What shape is it?  {name}"),
            lambda shape: self._sizes(name, shape),
        )

    def action_gauge(self) -> None:
        """Another way to find the volume, to check the tape."""
        if self.view is None:
            return
        name = self.view.vessel
        why = "two ways that agree are worth more than one careful one."
        self.app.push_screen(
            PickScreen(f"How is it gauged?  {name}", GAUGES, why),
            lambda way: self._gauged(name, way),
        )

    def _gauged(self, name: str, way: str | None) -> None:
        asks = {"salt-step": ask_salt_step, "buckets": ask_filling}
        if way in asks:
            asks[way](self, name, lambda _recorded: self.appeared())
        else:
            self._sizes(name, way)

    def action_settle(self) -> None:
        """Which of several ways is the vessel's water, and why."""
        if self.view is not None:
            ask_settle(self, self.view.vessel, lambda _recorded: self._load())

    def _sizes(self, name: str, shape: str | None) -> None:
        if shape:
            self.ask(
                lambda jobs: jobs.sizes(shape),
                lambda questions: self._measure(name, shape, questions),
            )

    def _measure(self, name: str, shape: str, questions: tuple[SizeQuestion, ...]) -> None:
        asked = tuple(
            Asked(
                q.field,
                q.ask,
                q.kind,
                q.unit or UNITS.get(q.kind, ""),
                needed=q.needed,
                arrow=q.arrow,
                how=q.how,
                longer=q.longer,
                fold=q.fold,
            )
            for q in questions
        )
        if not name:
            asked = _about(asked)

        def typed(answer: Mapping[str, str] | None) -> None:
            if answer:
                self.desk.here = answer.get("name", name)
                self.record(
                    lambda jobs: jobs.vessel_record(name, shape, answer),
                    lambda _recorded: self.appeared(),
                )

        why = "a length without its own doubt gets half the step of the tape."
        drawn: type[SketchScreen] = SketchScreen if shape in dict(GAUGES) else MeasureScreen
        sketch = drawn(
            f"{shape}  {name or 'new vessel'}",
            asked,
            why,
            lambda jobs, t: jobs.vessel_sketch(name, shape, _sizes_only(t)),
            self.view if name else None,
        )
        self.app.push_screen(sketch, typed)
