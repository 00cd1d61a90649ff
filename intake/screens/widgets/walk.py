"""The day's walk: vessels in the order of the feet, done ones folded, zones crossed by a rule."""

from __future__ import annotations

from typing import ClassVar

from rich.cells import cell_len
from textual import events
from textual.binding import Binding
from textual.content import Content
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.style import Style
from textual.visual import Visual

from intake.flows.views.today import RoundStop, RoundTask
from intake.screens.painted import look_of
from intake.screens.theme import Look
from intake.screens.widgets.lines import padded, shorten

NAME_AT = 8
"""The column where names begin: cursor, mark, number before it."""


class WalkList(ScrollView, can_focus=True):
    """Every vessel of the round; the cursor is where the keeper stands."""

    BINDINGS: ClassVar = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
        Binding("home", "go(0)", show=False),
        Binding("end", "go(-1)", show=False),
        Binding("enter", "open", show=False),
    ]

    class Moved(Message):
        """The cursor is on another vessel."""

        def __init__(self, at: int) -> None:
            self.at = at
            super().__init__()

    class Opened(Message):
        """Enter, or a second tap, on the vessel under the cursor."""

        def __init__(self, at: int) -> None:
            self.at = at
            super().__init__()

    def __init__(self) -> None:
        super().__init__(id="walk")
        self.stops: tuple[RoundStop, ...] = ()
        self.cursor = 0
        self._lines: list[tuple[int, int]] = []  # (stop, line of it; -1 is the zone rule)

    def show(self, stops: tuple[RoundStop, ...], cursor: int) -> None:
        """The round as it is now, the cursor on one vessel."""
        self.stops = stops
        self.cursor = max(0, min(cursor, len(stops) - 1))
        self._lines = []
        for at, stop in enumerate(stops):
            if stop.crossing:
                self._lines.append((at, -1))
            self._lines += [(at, line) for line in range(1 if stop.done_text else 2)]
        self.virtual_size = Size(self.size.width, len(self._lines))
        self.refresh()
        self.call_after_refresh(self._into_view)

    @property
    def stop(self) -> RoundStop | None:
        """The vessel under the cursor."""
        return self.stops[self.cursor] if self.stops else None

    def _into_view(self) -> None:
        rows = [y for y, (at, line) in enumerate(self._lines) if at == self.cursor and line >= 0]
        if rows:
            self.scroll_to_region(Region(0, rows[0], 1, len(rows)), animate=False, immediate=True)

    def on_resize(self, event: events.Resize) -> None:
        """The width of every line follows."""
        self.virtual_size = Size(event.size.width, len(self._lines))
        self._into_view()

    def render_line(self, y: int) -> Strip:
        """One line of one vessel."""
        width = self.size.width
        y += self.scroll_offset.y
        if y >= len(self._lines):
            return Strip.blank(width, self.rich_style)
        at, line = self._lines[y]
        look = look_of(self)
        stop = self.stops[at]
        here = at == self.cursor and line >= 0
        content = (
            crossing_line(stop.crossing, width, look)
            if line < 0
            else stop_line(stop, at + 1, line, here, self._columns(width), look)
        )
        style = self.visual_style
        if here and not look.plain:
            style += Style.parse("on $raised", self.app.theme_variables)
        drawn = Visual.to_strips(self, content, width, 1, style, pad=True)
        return drawn[0] if drawn else Strip.blank(width, self.rich_style)

    def _columns(self, width: int) -> tuple[int, int, int, int]:
        """(width, name, zone, occupants): the name is never shortened, the zone gives way."""
        room = width - NAME_AT - 2
        name = min(room, max((cell_len(s.vessel) for s in self.stops), default=0) + 2)
        name = min(room, max(name, 15))
        occupants = max((cell_len(s.occupants) for s in self.stops), default=0) + 2
        occupants = min(occupants, max(0, room - name))
        zone = max((cell_len(s.zone) for s in self.stops), default=0) + 2
        zone = max(0, min(zone, room - name - occupants))
        return width, name, zone if zone >= 12 else 0, occupants

    def action_step(self, by: int) -> None:
        """The vessel before or after."""
        self.move_to(self.cursor + by)

    def action_go(self, to: int) -> None:
        """The first or the last vessel."""
        self.move_to(to if to >= 0 else len(self.stops) - 1)

    def move_to(self, at: int) -> None:
        """Puts the cursor on a vessel."""
        at = max(0, min(at, len(self.stops) - 1))
        if at == self.cursor or not self.stops:
            return
        self.cursor = at
        self._into_view()
        self.refresh()
        self.post_message(self.Moved(at))

    def action_open(self) -> None:
        """Opens the vessel under the cursor."""
        if self.stops:
            self.post_message(self.Opened(self.cursor))

    def on_click(self, event: events.Click) -> None:
        """A tap puts the cursor there; a tap where it already is opens."""
        y = event.y + self.scroll_offset.y
        if y >= len(self._lines):
            return
        at = self._lines[y][0]
        if at == self.cursor:
            self.action_open()
        else:
            self.move_to(at)


def crossing_line(text: str, width: int, look: Look) -> Content:
    """The rule drawn where the keeper crosses a zone."""
    room = width - 4
    text = shorten(text, room - 4)
    left = (room - cell_len(text) - 2) // 2
    right = room - cell_len(text) - 2 - left
    return look.say("  ", ("╌" * left, "rule"), (f" {text} ", "soft"), ("╌" * right, "rule"))


def stop_line(
    stop: RoundStop,
    number: int,
    line: int,
    here: bool,
    columns: tuple[int, int, int, int],
    look: Look,
) -> Content:
    """First line: who; second line: what is to do. A vessel that is done has only the first."""
    width, name, zone, occupants = columns
    bar = ("▌", "touch") if here else (" ", "ink")
    if line == 1:
        return look.say(
            bar, " " * (NAME_AT - 1), tasks_line(stop.tasks, width - NAME_AT - 2, look)
        )
    done = bool(stop.done_text)
    calm = "faint" if done and not here else "soft"
    mark = ("✓", calm) if done else (" ", "ink")
    head = look.say(
        bar,
        " ",
        mark,
        (f"{number:>3}  ", calm if done else "ink"),
        (padded(stop.vessel, name), calm if done else ("bold" if here else "ink")),
        (padded(stop.zone, zone) if zone else "", calm),
        (padded(stop.occupants, occupants) if occupants else "", calm),
    )
    if not done:
        return head
    room = width - head.cell_length - 2
    text = ("▲ " if stop.done_care else "") + stop.done_text
    return look.say(head, (shorten(text, max(0, room)), "care" if stop.done_care else calm))


def tasks_line(tasks: tuple[RoundTask, ...], width: int, look: Look) -> Content:
    """Tasks beside each other; what does not fit is counted, never dropped in silence."""
    parts: list[Content] = []
    used = 0
    open_tasks = [t for t in tasks if t.state in ("due", "overdue")]
    for at, task in enumerate(open_tasks):
        piece = _task(task, look)
        gap = 5 if parts else 0
        left = len(open_tasks) - at - 1
        more = len(f"  + {left} more") if left else 0
        if parts and used + gap + piece.cell_length + more > width:
            parts.append(look.say((f"  + {left + 1} more", "soft")))
            break
        if gap:
            parts.append(look.say(("  ·  ", "faint")))
        parts.append(piece)
        used += gap + piece.cell_length
    return Content.assemble(*parts) if parts else look.say(("nothing more today", "faint"))


def _task(task: RoundTask, look: Look) -> Content:
    role = "care" if task.state == "overdue" else "soft"
    mark = "▲ " if task.state == "overdue" else ""
    time = f" {task.at}" if task.at else ""
    figure = f" {task.figure}" if task.figure else ""
    return look.say((mark + task.text, role), (figure, "bold"), (time, role))
