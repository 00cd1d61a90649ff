"""A list of any length: only what is on screen is ever fetched or drawn."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar, Generic, TypeVar

from textual import events
from textual.binding import Binding
from textual.content import Content
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.style import Style
from textual.visual import Visual

from intake.screens.painted import look_of
from intake.screens.theme import Look

PAGE = 256
"""Rows fetched at once."""

KEPT = 8
"""Pages kept; older ones are fetched again when they come back."""

Row = TypeVar("Row")
Draw = Callable[[Row, bool, int, Look], list[Content]]
"""(row, under the cursor, width, look) -> the lines of one row."""


class PagedRows(ScrollView, Generic[Row], can_focus=True):
    """Rows of equal height with a cursor; asks for pages by position, draws `· · ·` until then."""

    BINDINGS: ClassVar = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
        Binding("pageup", "leap(-1)", show=False),
        Binding("pagedown", "leap(1)", show=False),
        Binding("home", "go(0)", show=False),
        Binding("end", "go(-1)", show=False),
        Binding("enter", "open", show=False),
    ]

    class PageWanted(Message):
        """Rows from `start` are on screen and not here."""

        def __init__(self, start: int, count: int) -> None:
            self.start = start
            self.count = count
            super().__init__()

    class Moved(Message):
        """The cursor is on another row."""

        def __init__(self, at: int) -> None:
            self.at = at
            super().__init__()

    class Opened(Message):
        """Enter, or a second tap, on the row under the cursor."""

        def __init__(self, at: int) -> None:
            self.at = at
            super().__init__()

    def __init__(self, draw: Draw[Row], *, height: int = 2, id: str | None = None) -> None:
        super().__init__(id=id)
        self._draw = draw
        self._height = height
        self._pages: dict[int, Sequence[Row]] = {}
        self._wanted: set[int] = set()
        self.total = 0
        self.cursor = 0

    @property
    def row(self) -> Row | None:
        """The row under the cursor, None while it is not here."""
        return self._row(self.cursor)

    def begin(self, total: int) -> None:
        """A new list of `total` rows; the cursor stays where it is if it can."""
        self.total = total
        self.cursor = max(0, min(self.cursor, total - 1))
        self._pages.clear()
        self._wanted.clear()
        self.virtual_size = Size(self.size.width, total * self._height)
        self.refresh()

    def give(self, start: int, rows: Sequence[Row]) -> None:
        """The rows that were wanted."""
        page = start // PAGE
        self._wanted.discard(page)
        self._pages.pop(page, None)
        self._pages[page] = rows
        while len(self._pages) > KEPT:
            self._pages.pop(next(iter(self._pages)))
        self.refresh()
        if page == self.cursor // PAGE:
            self.post_message(self.Moved(self.cursor))

    def _row(self, at: int) -> Row | None:
        page, place = divmod(at, PAGE)
        rows = self._pages.get(page)
        if rows is None:
            if page not in self._wanted and 0 <= at < self.total:
                self._wanted.add(page)
                self.post_message(self.PageWanted(page * PAGE, PAGE))
            return None
        return rows[place] if place < len(rows) else None

    def render_line(self, y: int) -> Strip:
        """One line of one row."""
        width = self.size.width
        at, line = divmod(y + self.scroll_offset.y, self._height)
        if at >= self.total:
            return Strip.blank(width, self.rich_style)
        row = self._row(at)
        look = look_of(self)
        here = at == self.cursor
        if row is None:
            content = look.say(("    · · ·" if line == 0 else "", "faint"))
        else:
            content = self._draw(row, here, width, look)[line]
        style = self.visual_style
        if here and not look.plain:
            style += self._raised()
        drawn = Visual.to_strips(self, content, width, 1, style, pad=True)
        return drawn[0] if drawn else Strip.blank(width, self.rich_style)

    def _raised(self) -> Style:
        return Style.parse("on $raised", self.app.theme_variables)

    def on_resize(self, event: events.Resize) -> None:
        """The width of every line follows."""
        self.virtual_size = Size(event.size.width, self.total * self._height)

    def action_step(self, by: int) -> None:
        """One row up or down."""
        self.move_to(self.cursor + by)

    def action_leap(self, by: int) -> None:
        """One screen up or down."""
        self.move_to(self.cursor + by * max(1, self.size.height // self._height - 1))

    def action_go(self, to: int) -> None:
        """The first or the last row."""
        self.move_to(to if to >= 0 else self.total - 1)

    def move_to(self, at: int) -> None:
        """Puts the cursor on a row and the row on screen."""
        at = max(0, min(at, self.total - 1))
        if at == self.cursor or self.total == 0:
            return
        self.cursor = at
        self.scroll_to_region(
            Region(0, at * self._height, 1, self._height), animate=False, immediate=True
        )
        self.refresh()
        self.post_message(self.Moved(at))

    def action_open(self) -> None:
        """Opens the row under the cursor."""
        if self.total:
            self.post_message(self.Opened(self.cursor))

    def on_click(self, event: events.Click) -> None:
        """A tap puts the cursor there; a tap where it already is opens."""
        at = (event.y + self.scroll_offset.y) // self._height
        if at >= self.total:
            return
        if at == self.cursor:
            self.action_open()
        else:
            self.move_to(at)
