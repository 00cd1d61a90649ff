"""The three views of Calendar, which follow each other, and the keys under them."""

from __future__ import annotations

from intake.screens.question import HELP_KEY
from intake.screens.widgets.footline import Foot

STRIP, WEEK, MONTH = "strip", "week", "month"
VIEWS = (STRIP, WEEK, MONTH)
LABELS = {STRIP: "Strip", WEEK: "Week", MONTH: "Month"}


def feet_of(shown: str) -> tuple[Foot, ...]:
    """The keys, v with the view that comes after the one shown."""
    after = VIEWS[(VIEWS.index(shown) + 1) % len(VIEWS)]
    return (
        Foot("right", "← → ↑ ↓", "Move"),
        Foot("enter", "enter", "Open"),
        Foot("v", "v", LABELS[after]),
        Foot("n", "n", "Next due"),
        Foot("w", "w", "Why date"),
        Foot("p", "p", "Print"),
        HELP_KEY,
    )
