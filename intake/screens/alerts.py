"""All the room says by itself, the most urgent first."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from intake.flows.views.today import Alert
from intake.screens.question import BACK_KEY, HELP_KEY, QuestionScreen
from intake.screens.theme import Look
from intake.screens.today_lines import URGENCY
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import shorten
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.rows import PagedRows


class AlertsScreen(QuestionScreen[None]):
    """Read only; the because line tells why each one is here."""

    HELP: ClassVar[str] = "What the room says by itself. Move with the arrows; each says why."
    FEET: ClassVar[tuple[Foot, ...]] = (Foot("up", "↑ ↓", "Move"), BACK_KEY, HELP_KEY)
    BINDINGS: ClassVar[list[BindingType]] = [Binding("e", "back", show=False)]

    def __init__(self, alerts: tuple[Alert, ...]) -> None:
        super().__init__()
        self._alerts = alerts

    def compose_body(self) -> ComposeResult:
        """Two lines for each."""
        yield Lines(lambda _w, look: [look.say(("The room says", "bold")), Content("")])
        yield PagedRows[Alert](_drawn, id="alerts")

    def on_mount(self) -> None:
        """All of them at once: they are few."""
        rows = self.query_one(PagedRows)
        rows.begin(len(self._alerts))
        rows.give(0, self._alerts)
        rows.focus()

    def on_paged_rows_moved(self, event: PagedRows.Moved) -> None:
        """Why this one."""
        self.because.explain(self._alerts[event.at].because)


def _drawn(alert: Alert, here: bool, width: int, look: Look) -> list[Content]:
    word, role = URGENCY[alert.urgency]
    bar = ("▌ ", "touch") if here else ("  ", "ink")
    subject = f"  {alert.subject}" if alert.subject else ""
    return [
        look.say(bar, (word, role), (subject, "bold")),
        look.say(bar, (shorten(alert.text, width - 4), "bold" if here else "ink")),
    ]
