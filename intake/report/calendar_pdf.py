"""The calendar as a PDF."""

from __future__ import annotations

from typing import Any

from intake.report.calendar import (
    ABOUT,
    BOXES,
    CHECKS,
    LABEL,
    NOTHING,
    TITLE,
    CalendarPaper,
    PaperWater,
    foot,
)
from intake.report.calendar_svg import strip
from intake.report.typeset import typeset
from intake.science.text import inert


def as_pdf(paper: CalendarPaper) -> bytes:
    """The whole document.

    Raises
    ------
    Refused
        As `typeset`.
    """
    return typeset(
        "calendar",
        {
            "title": TITLE,
            "about": f"{ABOUT} {LABEL}",
            "nothing": "" if paper.waters else NOTHING,
            "heads": CHECKS,
            "waters": [_water(water, paper) for water in paper.waters],
            "foot": [inert(text) for text in foot(paper)],
        },
    )


def _water(water: PaperWater, paper: CalendarPaper) -> dict[str, Any]:
    return {
        "system": inert(water.system),
        "said": inert(water.said),
        "strip": strip(water.cells, paper.today),
        "release": inert(water.release),
        "why": [inert(why) for why in water.why],
        "checks": [inert(text) for check in water.checks for text in check],
        "days": [
            {
                "said": inert(day.said),
                "why": inert(day.why),
                "tasks": [
                    {
                        "box": BOXES.get(task.state, "[ ]")[1].strip(),
                        "text": inert(task.text),
                        "was": inert(task.was),
                        "because": inert(f"because {task.because}" if task.because else ""),
                    }
                    for task in day.tasks
                ],
            }
            for day in water.days
        ],
    }
