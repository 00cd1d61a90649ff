"""The record of a dose as a page."""

from __future__ import annotations

from intake.report.dose_record import DoseRecord, about, title
from intake.report.page import page, said

_STYLE = (
    "<style>.record td { text-align: left; white-space: normal; vertical-align: top; "
    "overflow-wrap: anywhere; } .record td:first-child { white-space: nowrap; } "
    ".record td:nth-child(2) { width: 42mm; }</style>"
)


def as_page(record: DoseRecord) -> str:
    """The whole document."""
    rows = "\n".join(
        f"<tr><td>{part.number}</td><td>{said(part.name)}</td>"
        f"<td>{'<br>'.join(said(line) for line in part.lines)}</td></tr>"
        for part in record.parts
    )
    body = (
        f"{_STYLE}<h1>{said(title(record))}</h1>\n<p>{said(about(record))}</p>\n"
        f'<table class="record"><tbody>\n{rows}\n</tbody></table>'
    )
    return page(title(record), body)
