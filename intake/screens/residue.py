"""What is left in a water over days, past and to come, and the changes that keep it right."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content

from intake.flows.views.residue import PlanRow, ResidueView
from intake.screens.question import BACK_KEY, HELP_KEY, QuestionScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.level_chart import level_key, level_lines
from intake.screens.widgets.lines import rows_of, shorten
from intake.screens.widgets.painted_lines import Lines

WIDE = 100
"""From so many columns on the table stands beside the charts."""
TABLE = 46
CHART_ROWS = 12
"""What a chart needs to be read beside others."""
MOST_A_DAY = 4


def residue_lines(
    view: ResidueView, width: int, rows: int, look: Look, *, at: int = 0, table: bool = False
) -> list[Content]:
    """The charts with the table beside them, or where it is narrow one of both."""
    head = [_head(view, width, look), Content("")]
    room = max(1, rows - len(head))
    if width >= WIDE:
        left = width - TABLE - 2
        charts = _charts(view, left, room, look, at)
        return head + _beside(charts, _table(view, TABLE, look), left + 2)
    if table or not view.charts:
        return head + _table(view, width, look)
    told = [look.say((row, _role(view))) for row in rows_of(view.told, width, width, 2)]
    return head[:1] + told + _charts(view, width, room + 1 - len(told), look, at, most=1)


def _role(view: ResidueView) -> str:
    return "stop" if view.possible is False else "bold"


def _head(view: ResidueView, width: int, look: Look) -> Content:
    mark = "▲ " if view.possible is False else ""
    times = "1 change" if view.changes_a_day == 1 else f"{view.changes_a_day} changes"
    tail = f"  {mark}at most {times} a day"
    room = width - len("Levels") - len(tail)
    text = shorten(f"  {view.system}, {view.water}", max(0, room))
    return look.say(("Levels", "bold"), (text, "soft"), (tail if room >= 0 else "", "faint"))


def _charts(
    view: ResidueView, width: int, rows: int, look: Look, at: int, most: int = 3
) -> list[Content]:
    """As many charts from the chosen one on as have room, and what their marks mean."""
    count = len(view.charts)
    if not count:
        return [look.say((shorten("nothing that was dosed is left", width), "soft"))]
    shown = min(count, most, max(1, (rows - 1) // CHART_ROWS))
    each = (rows - 1) // shown
    lines = []
    for n in range(shown):
        lines += level_lines(view.charts[(at + n) % count], width, each, look)
    if len(lines) < rows:
        lines.append(level_key(view.charts[at % count], width, look))
    return lines


def _table(view: ResidueView, width: int, look: Look) -> list[Content]:
    lines = [look.say((row, _role(view))) for row in rows_of(view.told, width, width, 6)]
    if view.failure:
        lines.append(look.say((shorten(view.failure, width), "care")))
    if view.way_out:
        lines += [look.say((row, "ink")) for row in rows_of(view.way_out, width, width, 5)]
    for one in view.rows:
        lines += _change(one, width, look)
    return lines


def _change(one: PlanRow, width: int, look: Look) -> list[Content]:
    first = f"{one.when}  {one.out}"
    lines = [Content(""), look.say((shorten(first, width), "bold"))]
    texts = [f"NH3 {one.nh3} mg/L as N", *one.dosed]
    for text in texts:
        lines += [look.say("  ", (row, "ink")) for row in rows_of(text, width - 2, width - 2, 2)]
    return lines


def _beside(left: list[Content], right: list[Content], at: int) -> list[Content]:
    """Two columns of lines as one, the right one from cell `at` on."""
    empty = Content("")
    lines = []
    for n in range(max(len(left), len(right))):
        first = left[n] if n < len(left) else empty
        gap = " " * max(1, at - first.cell_length)
        second = right[n] if n < len(right) else empty
        lines.append(Content.assemble(first, gap, second) if second.plain else first)
    return lines


class ResidueScreen(QuestionScreen[None]):
    """Read only: nothing is asked, nothing written."""

    HELP: ClassVar[str] = (
        "Each chart is one medicine, or NH3, over the days before now and to come, if the changes "
        "of the plan are made. Bold is what is likely, the shade what volume and half-life leave "
        "open; the thick line is the hard limit, the broken one the low end of the course. Under "
        "it D is a dose, C a change, d and c what is to come. The plan counts no filter. Dose the "
        "new water before it goes in. Arrows show the next chart, t the table, m plans more "
        "changes a day."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("down", "↑ ↓", "Chart"),
        Foot("t", "t", "Table"),
        Foot("m", "m", "More often"),
        BACK_KEY,
        HELP_KEY,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
        Binding("t", "table", show=False),
        Binding("m", "more", show=False),
    ]

    def __init__(self, vessel: str) -> None:
        super().__init__()
        self._vessel = vessel
        self._view: ResidueView | None = None
        self._at = 0
        self._table = False
        self._a_day = 1

    def compose_body(self) -> ComposeResult:
        """All of it is one composition."""
        with VerticalScroll(can_focus=False):
            yield Lines(self._lines, id="levels")

    def appeared(self) -> None:
        """What was dosed, read or changed may be another."""
        vessel, a_day = self._vessel, self._a_day
        self.ask(lambda jobs: jobs.residue(vessel, a_day), self._show)

    def wrong_vessel(self) -> str:
        """The vessel shown."""
        return self._vessel

    def _show(self, view: ResidueView) -> None:
        self._view = view
        self.because.explain(view.because)
        self.query_one("#levels", Lines).show(self._lines)

    def _lines(self, width: int, look: Look) -> list[Content]:
        if self._view is None:
            return [look.say(("· · ·", "faint"))]
        rows = self.query_one("#body").size.height
        return residue_lines(self._view, width, rows, look, at=self._at, table=self._table)

    def action_step(self, by: int) -> None:
        """The chart before or after; in the table, up and down."""
        if self._table and self.size.width < WIDE:
            self.query_one(VerticalScroll).scroll_relative(y=by, animate=False)
        elif self._view is not None and self._view.charts:
            self._at = (self._at + by) % len(self._view.charts)
            self.query_one("#levels", Lines).show(self._lines)

    def action_table(self) -> None:
        """The table instead of the chart, where there is no room for both."""
        self._table = not self._table
        self.query_one("#levels", Lines).show(self._lines)

    def action_more(self) -> None:
        """One change a day more, up to four, then one again."""
        self._a_day = self._a_day % MOST_A_DAY + 1
        self.appeared()
