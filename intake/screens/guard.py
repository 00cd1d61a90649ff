"""Wet hands: a drip repeats a key, and the tap that opened a screen must not answer it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

REPEAT_S = 0.4
"""The same key or tap again within this is a drip or a held key, seconds (common practice)."""

DEAD_S = 0.3
"""After a screen appears acting keys are dead for this long, seconds (common practice)."""

MOVES = frozenset(
    {"up", "down", "left", "right", "tab", "shift+tab", "pageup", "pagedown", "home", "end"}
)
"""Keys that only move: they may be held."""


@dataclass(slots=True)
class Guard:
    """Tells which keys and taps to drop. `tick` is a monotonic clock in seconds."""

    tick: Callable[[], float]
    _appeared: float = float("-inf")
    _last: str = ""
    _last_at: float = float("-inf")

    def screen_appeared(self) -> None:
        """Begins the dead time of a screen."""
        self._appeared = self.tick()

    def drops(self, key: str, *, typing: bool = False, urgent: bool = False) -> bool:
        """Whether this key or tap is not to be answered.

        A key that shows what to do when something is wrong is urgent: it asks for no amount, what
        it writes down it writes once, and a drip of it does no harm.

        A held key keeps being dropped, since every repeat counts from the one before. Text going
        into a field is never dropped, apart from the key that opened the field: half a number is
        worse than none.
        """
        now = self.tick()
        same = key == self._last and now - self._last_at < REPEAT_S
        first_since_screen = self._last_at <= self._appeared
        self._last, self._last_at = key, now
        if key in MOVES or urgent:
            return False
        if typing:
            return same and first_since_screen
        return same or now - self._appeared < DEAD_S
