"""What the keys of Vessels ask before they record: a shape, its sizes, another way to find it."""

from __future__ import annotations

from collections.abc import Mapping

from intake.flows.views.vessels import SizeQuestion, VesselsView, VesselView
from intake.screens.gauging import (
    NEW_VESSEL,
    ask_buckets,
    ask_filling,
    ask_new_filling,
    ask_salt_step,
    ask_settle,
)
from intake.screens.measure import MeasureScreen
from intake.screens.question import PickScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.shape_pick import ShapeScreen
from intake.screens.sketch import SketchScreen
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


class VesselSizing(RoomScreen[None]):
    """The jobs that size a vessel; how it is drawn is in the screen itself."""

    list: VesselsView | None
    view: VesselView | None

    def load(self) -> None:
        """The vessel as it is now."""
        raise NotImplementedError

    def action_gravel(self) -> None:
        """How much gravel is in it, by its bulk."""
        view = self.view
        if view is None:
            return

        def typed(answer: Mapping[str, str] | None) -> None:
            if answer:
                self.record(
                    lambda jobs: jobs.vessel_record(view.vessel, "", answer),
                    lambda _recorded: self.load(),
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
            ask_settle(self, self.view.vessel, lambda _recorded: self.load())

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
