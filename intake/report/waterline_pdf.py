"""The waterline table as a PDF."""

from __future__ import annotations

from intake.drawing.tape import pieces
from intake.report.typeset import typeset
from intake.report.waterline import COLUMNS, Waterline, about, cells, mark_words, title
from intake.report.waterline_page import CHECK_MM, JOIN, piece_words
from intake.science.show import show
from intake.science.text import inert


def as_pdf(sheet: Waterline) -> bytes:
    """The whole document.

    Raises
    ------
    Refused
        As `typeset`.
    """
    cut = pieces([row.depth_cm for row in sheet.rows])
    strips = [
        {
            "words": inert(piece_words(sheet, piece, n, len(cut))),
            "length": piece.length_mm,
            "joins": piece.joins_down_mm,
            "join": JOIN,
            "marks": [
                {
                    "down": mark.down_mm,
                    "line": show(sheet.rows[mark.at].depth_cm, ""),
                    "litres": mark_words(sheet.rows[mark.at])[0],
                    "ends": mark_words(sheet.rows[mark.at])[1],
                }
                for mark in piece.marks
            ],
        }
        for n, piece in enumerate(cut, 1)
    ]
    return typeset(
        "waterline",
        {
            "title": inert(title(sheet)),
            "about": inert(about(sheet)),
            "heads": COLUMNS,
            "rows": [[inert(text) for text in cells(row)] for row in reversed(sheet.rows)],
            "notes": [inert(note) for note in sheet.notes],
            "strips": strips,
            "check": CHECK_MM,
        },
    )
