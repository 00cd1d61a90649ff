"""The row under the strip: blank, or the bath that runs, by the clock on the wall."""

from __future__ import annotations

from textual.content import Content
from textual.widget import Widget

from intake.flows.views.parts import Timer
from intake.screens.painted import PaintedApp, look_of
from intake.screens.watch import ended_text
from intake.screens.widgets.lines import shorten

KEY = "f8"
OUT = f" {KEY} they are out "
ROOMY = 60
"""Cells from which on the key is told in words."""


def first_bath(timers: tuple[Timer, ...]) -> Timer | None:
    """The bath whose fish are due out first; None where none runs."""
    return min((t for t in timers if t.bath), key=lambda t: t.ends, default=None)


class BathBanner(Widget):
    """Says who is in a bath and when they come out; over its end it is a bar across the screen."""

    def on_mount(self) -> None:
        """Counted again every second."""
        self.set_interval(1, self.refresh)

    def render(self) -> Content:
        """One row, never wider than the screen."""
        look, app, width = look_of(self), self.app, self.size.width
        bath = first_bath(app.timers) if isinstance(app, PaintedApp) else None
        if bath is None or not isinstance(app, PaintedApp):
            return Content("")
        now = app.now()
        left_s = bath.ends - now.timestamp()
        others = sum(1 for t in app.timers if t.bath) - 1
        more = f" + {others} more" if others else ""
        ended = ended_text(bath, now)
        if left_s <= 0:
            start = f" LIFT THEM OUT NOW: over since {ended}, {_clock(-left_s)} ago"
            end = OUT if width >= ROOMY else ""
            text = shorten(f"{start}{more}  {bath.where}", width - len(end))
            return look.say((text.ljust(width - len(end)) + end, "stop-block"))
        start = f"  {_clock(left_s)} left, lift at {ended}{more}"
        end = OUT if width >= ROOMY else f"{KEY} "
        room = max(0, width - len(start) - len(end) - 4)
        who = shorten(bath.where, room)
        gap = " " * max(1, width - len(start) - 2 - len(who) - len(end))
        return look.say(
            (start, "care"), ("  ", "ink"), (who, "bold"), (gap, "ink"), (end, "touch")
        )


def _clock(seconds: float) -> str:
    """Minutes and seconds; hours where it is more than one."""
    whole = int(seconds)
    hours, minutes = divmod(whole // 60, 60)
    if hours:
        return f"{hours} h {minutes:02} min"
    return f"{minutes}:{whole % 60:02}"
