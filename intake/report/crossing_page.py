"""A way across as a page: the charts, what was read, the steps, the table."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from intake.report.crossing import CHECKS, COLUMNS, Sheet, about, rows, title
from intake.report.page import page, said
from intake.report.run_svg import KEY, chart


def as_page(sheet: Sheet) -> str:
    """The whole document."""
    charts = "\n".join(f"<div>{chart(panel)}</div>" for panel in sheet.panels)
    notes = "".join(f"<li>{said(note)}</li>" for note in sheet.notes)
    steps = "".join(f"<li>{said(f'{s.at}  {s.text}'.strip())}</li>" for s in sheet.steps)
    checks = _table(CHECKS, sheet.checks) if sheet.checks else ""
    body = (
        f"<h1>{said(title(sheet))}</h1>\n<p>{said(about(sheet))}</p>\n<ul>{notes}</ul>\n"
        f"{charts}\n<p>{said(KEY)}</p>\n{checks}\n<ol>{steps}</ol>\n{_table(COLUMNS, rows(sheet))}"
    )
    return page(title(sheet), body)


def _table(heads: Sequence[str], lines: Iterable[Sequence[str]]) -> str:
    head = "".join(f"<th>{said(text)}</th>" for text in heads)
    body = "\n".join(
        "<tr>" + "".join(f"<td>{said(text)}</td>" for text in line) + "</tr>" for line in lines
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>\n{body}\n</tbody></table>"
