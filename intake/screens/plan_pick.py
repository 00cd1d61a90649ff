"""The plans a quarantine can begin by, each with its days and what it is for."""

from __future__ import annotations

from textual.content import Content

from intake.flows.views.calendar import PlanChoice
from intake.screens.question import PickScreen
from intake.screens.theme import Look
from intake.screens.widgets.lines import rows_of, shorten
from intake.screens.widgets.options import LETTERS

WHY = "a longer plan costs days; a shorter one leaves more that was not seen yet."


class PlanScreen(PickScreen):
    """Two or more rows for each plan. Answers its id."""

    def __init__(self, title: str, plans: tuple[PlanChoice, ...]) -> None:
        super().__init__(title, tuple((p.id, p.title) for p in plans), WHY)
        self._plans = plans

    def _lines(self, width: int, look: Look) -> list[Content]:
        rows = max(2, self.query_one("#body").size.height - 2)
        each = max(1, min(3, rows // max(1, len(self._plans))))
        room = width - 10
        lines: list[Content] = []
        for at, plan in enumerate(self._plans):
            here = at == self.cursor
            days = f"{plan.days} days"
            head = shorten(plan.title if days in plan.title else f"{plan.title}, {days}", room)
            lines.append(
                look.say(
                    ("▌ " if here else "  ", "touch"),
                    (LETTERS[at], "key"),
                    "  ",
                    (head, "bold" if here else "ink"),
                )
            )
            words = rows_of(plan.used_for, room, room, max(1, each - 1)) if each > 1 else []
            lines += [look.say("     ", (row, "soft")) for row in words if row]
        return lines[:rows]
