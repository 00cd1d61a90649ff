"""A field in which the arrows pick a colour of the kit, as long as nothing else is typed."""

from __future__ import annotations

from textual.widgets import Input


class StepInput(Input):
    """Left and right go from colour to colour; once anything else is typed they move in it."""

    steps: tuple[str, ...] = ()

    def action_cursor_left(self, select: bool = False) -> None:
        """The colour before."""
        if not self._picked(-1):
            super().action_cursor_left(select)

    def action_cursor_right(self, select: bool = False) -> None:
        """The colour after."""
        if not self._picked(1):
            super().action_cursor_right(select)

    def _picked(self, by: int) -> bool:
        text = self.value.strip()
        if not self.steps or (text and text not in self.steps):
            return False
        at = self.steps.index(text) + by if text else 0 if by > 0 else len(self.steps) - 1
        self.value = self.steps[max(0, min(at, len(self.steps) - 1))]
        self.cursor_position = len(self.value)
        return True
