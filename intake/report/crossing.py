"""One bag's way across: what every paper of it says."""

from __future__ import annotations

from dataclasses import dataclass

from intake.drawing.run_chart import Panel, at
from intake.science.show import show, show_range

EVERY_MIN = 5
"""How far apart the minutes of the table are [min]."""


@dataclass(frozen=True, slots=True)
class Done:
    """One step: its number, when it began, the words."""

    number: int
    at: str
    text: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """The run of one bag; `checks` are when, foretold, measured and what that says."""

    box: str
    bag: int
    fish: str
    way: str
    vessel: str
    day: str
    began: str
    keeper: str
    panels: tuple[Panel, ...]
    steps: tuple[Done, ...]
    checks: tuple[tuple[str, str, str, str], ...]
    notes: tuple[str, ...]


COLUMNS = ("minute", "temperature, C", "pH", "NH3, mg/L as N")
CHECKS = ("at", "foretold", "measured", "")


def title(sheet: Sheet) -> str:
    """The line every paper begins with."""
    return f"Bag {sheet.bag} of {sheet.box}: {sheet.way} into {sheet.vessel}"


def about(sheet: Sheet) -> str:
    """Which fish, when and by whom."""
    parts = (sheet.fish, sheet.day, f"minutes count from {sheet.began}", sheet.keeper)
    return "  ·  ".join(part for part in parts if part)


def rows(sheet: Sheet) -> list[tuple[str, ...]]:
    """The charts as a table, in the order of `COLUMNS`: what is left open as two ends."""
    last = max((p.likely[-1][0] for p in sheet.panels if p.likely), default=0.0)
    minutes = [*range(0, int(last), EVERY_MIN), last]
    found = {panel.name: panel for panel in sheet.panels}
    named = [found.get(name) for name in ("temperature", "pH", "NH3")]
    return [
        (f"{minute:.0f}", *(_cell(panel, float(minute)) for panel in named)) for minute in minutes
    ]


def _cell(panel: Panel | None, minute: float) -> str:
    value = None if panel is None else at(panel.likely, minute)
    if panel is None or value is None:
        return ""
    low, high = at(panel.low, minute), at(panel.high, minute)
    digits = 2 if panel.from_zero else 3
    if low is None or high is None or low == high:
        return show(value, "", digits=digits)
    return show_range(low, high, "", digits=digits)


def panel_words(panel: Panel) -> str:
    """What stands over a chart."""
    unit = f", {panel.unit}" if panel.unit else ""
    limit = "" if panel.limit is None else f", limit {panel.limit:g}"
    return f"{panel.name}{unit}{limit}"
