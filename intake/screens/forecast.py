"""What lies ahead of one vessel: hours without air as bars, KH, and the next change."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content

from intake.flows.views.forecast import ForecastView, HoursBar
from intake.screens.question import BACK_KEY, HELP_KEY, QuestionScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import padded, right, rows_of, shorten
from intake.screens.widgets.painted_lines import Lines

SCALE_H = 24.0
"""Hours the whole width of a bar stands for."""

LABEL, NUMBER, FACT = 19, 19, 11
LEAST_BAR = 8


def forecast_lines(view: ForecastView, width: int, look: Look) -> list[Content]:
    """Bars on top, then what is known, a label and its words each."""
    lines = [look.say(("Ahead", "bold"), (f"  {view.vessel}", "soft")), Content("")]
    if view.bars:
        lines.append(_head(view.head, width, look))
        lines += [_bar_line(one, width, look) for one in view.bars]
        lines.append(Content(""))
    for label, text in view.facts:
        rows = rows_of(text, width - FACT, width - FACT, 4)
        lines.append(look.say((label.ljust(FACT), "bold"), rows[0]))
        lines += [look.say(" " * FACT, row) for row in rows[1:]]
    return lines


def _head(head: str, width: int, look: Look) -> Content:
    """What the bars say, with the end of their scale over it where there are bars."""
    end = f"{SCALE_H:.0f} h"
    room = width - len(end) - 1
    if width < LABEL + NUMBER + 2 + LEAST_BAR or len(head) > room:
        return look.say((shorten(head, width), "soft"))
    return look.say((head.ljust(room + 1), "soft"), (end, "faint"))


def _bar_line(one: HoursBar, width: int, look: Look) -> Content:
    """A label, the hours whole, and a bar where there is room for one."""
    said = ("▲ " if one.short else "") + one.said
    role = "care" if one.short else "bold"
    label = max(0, min(LABEL, width - NUMBER))
    bar = width - label - NUMBER - 2
    parts: list[str | tuple[str, str]] = [
        (padded(one.label, label), "soft"),
        (right(said, NUMBER), role),
    ]
    if bar >= LEAST_BAR:
        full, doubt = _cells(one.low_h, bar), _cells(one.high_h, bar)
        parts += ["  ", ("━" * full, "bold"), ("╍" * (doubt - full), "bold")]
        parts.append(("─" * (bar - doubt), "rule"))
    return look.say(*parts)


def _cells(hours: float | None, bar: int) -> int:
    """Whole cells of the bar that are sure; no end fills it."""
    return bar if hours is None else min(bar, int(bar * hours / SCALE_H))


class ForecastScreen(QuestionScreen[None]):
    """Read only: nothing is asked, nothing written."""

    HELP: ClassVar[str] = (
        "How long this water lasts when the air stops: to the solid end with all fish active and "
        "filter and mulm at work, to the dotted end with all at rest. The whole bar is a day. A "
        "triangle says that the careful end is shorter than a night. Weigh the fish and read "
        "oxygen and temperature, and the two ends come nearer."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (BACK_KEY, HELP_KEY)

    def __init__(self, vessel: str) -> None:
        super().__init__()
        self._vessel = vessel
        self._view: ForecastView | None = None

    def compose_body(self) -> ComposeResult:
        """All of it is one composition."""
        with VerticalScroll(can_focus=True):
            yield Lines(self._lines, id="ahead")

    def appeared(self) -> None:
        """What was read may have changed."""
        vessel = self._vessel
        self.ask(lambda jobs: jobs.forecast(vessel), self._show)

    def wrong_vessel(self) -> str:
        """The vessel shown."""
        return self._vessel

    def _show(self, view: ForecastView) -> None:
        self._view = view
        self.because.explain(view.because)
        self.query_one("#ahead", Lines).show(self._lines)

    def _lines(self, width: int, look: Look) -> list[Content]:
        if self._view is None:
            return [look.say(("· · ·", "faint"))]
        return forecast_lines(self._view, width, look)
