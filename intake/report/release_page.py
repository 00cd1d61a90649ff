"""The release as a page for a browser and its printer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from intake.report.day_svg import KEY, drawn
from intake.report.page import page, said
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

_STYLE = """<style>
h2 { font-size: 11pt; margin: 4mm 0 1mm; border-bottom: 0.3mm solid #111; break-after: avoid; }
section p { margin: 0 0 0.6mm; }
.verdict { font-size: 13pt; font-weight: bold; margin: 0 0 1mm; }
section th, section td { text-align: left; vertical-align: top; white-space: normal;
  overflow-wrap: anywhere; }
section th, section td:first-child, section td:nth-child(2) { white-space: nowrap; }
.chart { break-inside: avoid; margin: 2mm 0; }
.sign td { height: 11mm; }
.sign td:first-child { width: 46mm; }
.foot p { font-size: 8.5pt; margin: 0; }
</style>"""


def as_page(sheet: Release) -> str:
    """The whole document."""
    charts = "\n".join(f'<div class="chart">{drawn(chart)}</div>' for chart in sheet.charts)
    body = (
        f"{_STYLE}<h1>{said(title(sheet))}</h1>\n"
        f'<p class="verdict">{said(sheet.verdict)}</p>\n'
        f"<p>{said(sheet.decides)}</p>\n<p>{said(sheet.plan)}</p>\n"
        f"{_sections(before_charts(sheet))}\n"
        f"<section><h2>Readings</h2></section>\n{charts}\n<p>{said(KEY)}</p>\n"
        f"{_sections(after_charts(sheet))}\n"
        f'<section class="sign"><h2>Signed</h2>'
        f"{_table(SIGN_HEADS, [(s, '', '', '') for s in SIGNERS])}</section>\n"
        f'<div class="foot">{_lines(foot(sheet))}</div>'
    )
    return page(title(sheet), body)


def _sections(sections: Iterable[Section]) -> str:
    return "\n".join(
        f"<section><h2>{said(s.name)}</h2>{_lines(s.lines)}"
        f"{_table(s.heads, s.rows) if s.rows else ''}</section>"
        for s in sections
    )


def _lines(texts: Iterable[str]) -> str:
    return "".join(f"<p>{said(text)}</p>" for text in texts)


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    head = "".join(f"<th>{said(text)}</th>" for text in heads)
    body = "\n".join(
        "<tr>" + "".join(f"<td>{said(text)}</td>" for text in row) + "</tr>" for row in rows
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>\n{body}\n</tbody></table>"
