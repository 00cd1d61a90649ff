"""The calendar as plain text of 80 columns."""

from __future__ import annotations

from collections.abc import Iterator

from intake.report.calendar import (
    ABOUT,
    BOXES,
    LABEL,
    NOTHING,
    TITLE,
    CalendarPaper,
    PaperTask,
    PaperWater,
    foot,
    legend_line,
    week_lines,
)
from intake.report.columns import WIDTH, folded


def as_text(paper: CalendarPaper) -> str:
    """Title, then each water: its weeks, its release, its tasks to tick off."""
    lines = [TITLE, *folded(f"{ABOUT} {LABEL}")]
    if not paper.waters:
        lines += ["", NOTHING]
    for water in paper.waters:
        lines += ["", "=" * WIDTH, *_water(water, paper)]
    lines += ["", "-" * WIDTH]
    for text in foot(paper):
        lines += folded(text)
    return "\n".join(lines) + "\n"


def _water(water: PaperWater, paper: CalendarPaper) -> Iterator[str]:
    yield from folded(water.system)
    yield from folded(water.said, "  ", "  ")
    yield ""
    yield from week_lines(water.cells, paper.today)
    yield from folded(legend_line(), "  ", "  ")
    if water.release:
        yield ""
        yield from folded(water.release)
        for why in water.why:
            yield from folded(why, "  ", "    ")
        for check, state, first, evidence in water.checks:
            when = f", not before {first}" if first else ""
            yield from folded(f"{state}{when}. {evidence}", f"  {check:<16} ", " " * 19)
    for day in water.days:
        yield ""
        yield from folded(f"{day.said}: {day.why}" if day.why else day.said)
        for task in day.tasks:
            yield from _task(task)


def _task(task: PaperTask) -> Iterator[str]:
    was = f"   ({task.was})" if task.was else ""
    yield from folded(f"{task.text}{was}", f"  {BOXES.get(task.state, '[ ]')} ", "      ")
    if task.because:
        yield from folded(f"because {task.because}", "      ", "      ")
