"""The record of a dose as a PDF."""

from __future__ import annotations

from intake.report.dose_record import DoseRecord, about, title
from intake.report.typeset import typeset
from intake.science.text import inert


def as_pdf(record: DoseRecord) -> bytes:
    """The whole document.

    Raises
    ------
    Refused
        As `typeset`.
    """
    return typeset(
        "dose_record",
        {
            "title": inert(title(record)),
            "about": inert(about(record)),
            "parts": [
                [str(p.number), inert(p.name), [inert(line) for line in p.lines]]
                for p in record.parts
            ],
        },
    )
