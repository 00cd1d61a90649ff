"""The two rows over the footer that always explain what the cursor is on."""

from __future__ import annotations

from textual.content import Content
from textual.widget import Widget

from intake.screens.painted import look_of
from intake.screens.widgets.lines import rows_of, stack

ROWS = 2
WORD = "because"


class Because(Widget):
    """One sentence, cause first. `said` replaces it until the cursor moves.

    What is kept stays until the next key, even where the screen is drawn again meanwhile.
    """

    def __init__(self) -> None:
        super().__init__(id="because")
        self._cause = ""
        self._said: tuple[str, str] | None = None
        self._waiting = ""
        self._kept = False

    @property
    def text(self) -> str:
        """What stands there now, unwrapped."""
        if self._waiting:
            return self._waiting
        return self._said[1] if self._said else self._cause

    @property
    def whole(self) -> bool:
        """Whether all of the sentence is on screen."""
        return " ".join(self.lines(self.size.width)) == " ".join(self.text.split())

    def explain(self, text: str) -> None:
        """Shows the cause of what the cursor is on."""
        self._cause = look_of(self).glyphs(text)
        if not self._kept:
            self._said = None
        self.refresh()

    def keep(self, text: str, role: str = "bold") -> None:
        """Shows what was recorded, or why it was not, until the next key."""
        self.say(text, role)
        self._kept = True

    def release(self) -> None:
        """A key was pressed: what was kept may give way."""
        self._kept = False

    def wait(self, text: str) -> None:
        """Shows what is being waited for; "" brings back what stood there."""
        if text != self._waiting:
            self._waiting = text
            self.refresh()

    def say(self, text: str, role: str = "bold") -> None:
        """Shows what just happened ("recorded 18:42, key u corrects it")."""
        self._said = (role, look_of(self).glyphs(text))
        self.refresh()

    def lines(self, width: int) -> list[str]:
        """The rows as they are drawn, without the word in front."""
        first = width if self._said or self._waiting else width - len(WORD) - 1
        return rows_of(self.text, first, width, ROWS) if self.text else []

    def render(self) -> Content:
        """At most two rows."""
        look = look_of(self)
        lines = self.lines(self.size.width)
        if not lines:
            return Content("")
        if self._waiting or self._said:
            role = "soft" if self._waiting or not self._said else self._said[0]
            return stack([look.say((line, role)) for line in lines])
        head = look.say((WORD, "bold"), " ", (lines[0], "soft"))
        return stack([head, *(look.say((line, "soft")) for line in lines[1:])])
