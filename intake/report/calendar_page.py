"""The calendar as a page: strips, release checks, and boxes to tick by hand."""

from __future__ import annotations

from intake.report.calendar import (
    ABOUT,
    CHECKS,
    LABEL,
    NOTHING,
    TITLE,
    CalendarPaper,
    PaperDay,
    PaperTask,
    PaperWater,
    foot,
)
from intake.report.calendar_svg import strip
from intake.report.page import page, said

_STYLE = """<style>
h2 { font-size: 14pt; margin: 6mm 0 0.5mm; border-top: 0.6mm solid #111; padding-top: 2mm;
  overflow-wrap: anywhere; break-after: avoid; }
h3 { font-size: 10.5pt; margin: 3mm 0 0.5mm; overflow-wrap: anywhere; break-after: avoid; }
h3 span { font-size: 8.5pt; font-weight: normal; }
.strip svg { display: block; margin: 2mm 0; max-width: 100%; height: auto; }
.checks td, .checks th { text-align: left; white-space: normal; vertical-align: top;
  overflow-wrap: anywhere; }
.checks th, .checks td:not(:last-child) { white-space: nowrap; }
.checks th:last-child { width: 99%; }
.days { columns: 2; column-gap: 8mm; }
.days section { break-inside: avoid; }
.task { margin: 0 0 1mm; padding-left: 6mm; text-indent: -6mm; overflow-wrap: anywhere; }
.box { display: inline-block; width: 3.4mm; height: 3.4mm; margin-right: 2.6mm; line-height: 3mm;
  border: 0.3mm solid #111; text-align: center; text-indent: 0; vertical-align: -0.4mm;
  font-size: 8pt; font-weight: bold; }
.ended { color: #555; }
.was { border-bottom: 0.2mm dashed #111; white-space: nowrap; }
.why { font-size: 8.5pt; color: #333; margin: 0 0 1.5mm; padding-left: 6mm; }
.foot p { font-size: 8.5pt; margin: 0; }
</style>"""
_BOXES = {"done": "✓", "skipped": "–", "overdue": "!"}


def as_page(paper: CalendarPaper) -> str:
    """The whole document."""
    waters = "\n".join(_water(water, paper) for water in paper.waters)
    under = "".join(f"<p>{said(text)}</p>" for text in foot(paper))
    body = (
        f"{_STYLE}<h1>{said(TITLE)}</h1>\n<p>{said(ABOUT)} {said(LABEL)}</p>\n"
        f"{waters or f'<p>{said(NOTHING)}</p>'}\n"
        f'<div class="foot">{under}</div>'
    )
    return page(TITLE, body)


def _water(water: PaperWater, paper: CalendarPaper) -> str:
    days = "\n".join(_day(day) for day in water.days)
    return (
        f"<h2>{said(water.system)}</h2>\n<p>{said(water.said)}</p>\n"
        f'<div class="strip">{strip(water.cells, paper.today)}</div>\n'
        f'{_release(water)}\n<div class="days">\n{days}\n</div>'
    )


def _release(water: PaperWater) -> str:
    if not water.release:
        return ""
    head = "".join(f"<th>{said(text)}</th>" for text in CHECKS)
    rows = "\n".join(
        f"<tr>{''.join(f'<td>{said(text)}</td>' for text in check)}</tr>" for check in water.checks
    )
    whys = "".join(f"<li>{said(why)}</li>" for why in water.why)
    return (
        f"<h3>{said(water.release)}</h3>\n<ul>{whys}</ul>\n"
        f'<table class="checks"><thead><tr>{head}</tr></thead><tbody>\n{rows}\n</tbody></table>'
    )


def _day(day: PaperDay) -> str:
    tasks = "\n".join(_task(task) for task in day.tasks)
    why = f" <span>{said(day.why)}</span>" if day.why else ""
    return f"<section><h3>{said(day.said)}{why}</h3>\n{tasks}</section>"


def _task(task: PaperTask) -> str:
    ended = " ended" if task.state in ("done", "skipped") else ""
    was = f' <span class="was">{said(task.was)}</span>' if task.was else ""
    why = f'<p class="why">because {said(task.because)}</p>' if task.because else ""
    return (
        f'<p class="task{ended}"><span class="box">{_BOXES.get(task.state, "")}</span>'
        f"{said(task.text)}{was}</p>{why}"
    )
