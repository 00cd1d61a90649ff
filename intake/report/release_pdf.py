"""The release as a PDF."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from intake.report.day_svg import KEY, drawn
from intake.report.release import (
    SIGN_HEADS,
    SIGNERS,
    Release,
    Section,
    after_charts,
    before_charts,
    foot,
    title,
)
from intake.report.typeset import typeset
from intake.science.text import inert


def as_pdf(sheet: Release) -> bytes:
    """The whole document.

    Raises
    ------
    Refused
        As `typeset`.
    """
    return typeset(
        "release",
        {
            "title": inert(title(sheet)),
            "verdict": inert(sheet.verdict),
            "lines": [inert(sheet.decides), inert(sheet.plan)],
            "before": _sections(before_charts(sheet)),
            "key": KEY,
            "charts": [drawn(chart) for chart in sheet.charts],
            "after": _sections(after_charts(sheet)),
            "sign_heads": SIGN_HEADS,
            "signers": SIGNERS,
            "foot": [inert(text) for text in foot(sheet)],
        },
    )


def _sections(sections: Iterable[Section]) -> list[dict[str, Any]]:
    return [
        {
            "name": inert(s.name),
            "lines": [inert(text) for text in s.lines],
            "heads": [inert(text) for text in s.heads],
            "rows": [[inert(text) for text in row] for row in s.rows],
        }
        for s in sections
    ]
