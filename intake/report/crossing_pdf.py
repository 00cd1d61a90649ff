"""A way across as a PDF."""

from __future__ import annotations

from intake.report.crossing import CHECKS, COLUMNS, Sheet, about, rows, title
from intake.report.run_svg import KEY, chart
from intake.report.typeset import typeset
from intake.science.text import inert


def as_pdf(sheet: Sheet) -> bytes:
    """The whole document.

    Raises
    ------
    Refused
        As `typeset`.
    """
    return typeset(
        "crossing",
        {
            "title": inert(title(sheet)),
            "about": inert(about(sheet)),
            "notes": [inert(note) for note in sheet.notes],
            "charts": [chart(panel) for panel in sheet.panels],
            "key": KEY,
            "check_heads": CHECKS,
            "checks": [[inert(text) for text in check] for check in sheet.checks],
            "steps": [inert(f"{s.at}  {s.text}".strip()) for s in sheet.steps],
            "heads": COLUMNS,
            "rows": [[inert(text) for text in row] for row in rows(sheet)],
        },
    )
