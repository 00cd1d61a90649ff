"""Lines composed for the width they get, so that nothing wraps and nothing is clipped."""

from __future__ import annotations

from collections.abc import Callable

from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

from intake.screens.painted import look_of
from intake.screens.theme import Look
from intake.screens.widgets.lines import stack

Make = Callable[[int, Look], list[Content]]
"""Composes the lines for a width in cells."""


def no_lines(_width: int, _look: Look) -> list[Content]:
    """Nothing."""
    return []


class Lines(Widget):
    """As high as its lines are many."""

    def __init__(self, make: Make = no_lines, *, id: str | None = None, classes: str = "") -> None:
        super().__init__(id=id, classes=classes or "lines")
        self.make = make

    def show(self, make: Make) -> None:
        """Other lines."""
        self.make = make
        self.refresh(layout=True)

    def get_content_height(
        self,
        container: Size,  # noqa: ARG002 - the framework's signature
        viewport: Size,  # noqa: ARG002
        width: int,
    ) -> int:
        """Exactly as many rows as there are lines."""
        return len(self.make(width, look_of(self)))

    def render(self) -> Content:
        """The lines, one under the other."""
        return stack(self.make(self.content_size.width, look_of(self)))
