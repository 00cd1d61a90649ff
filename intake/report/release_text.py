"""The release as plain text of 80 columns: everything but the charts, whose readings it lists."""

from __future__ import annotations

from intake.report.columns import WIDTH, columns, folded
from intake.report.day_svg import DayChart
from intake.report.day_svg import title as chart_title
from intake.report.release import (
    SIGNERS,
    Release,
    Section,
    after_charts,
    before_charts,
    foot,
    title,
)
from intake.science.show import show, show_range

LINE = "name ____________________ date ____________ signature ____________________"


def as_text(sheet: Release) -> str:
    """The whole paper."""
    lines = [*folded(title(sheet)), *folded(sheet.verdict), *folded(sheet.decides)]
    lines += folded(sheet.plan)
    for section in before_charts(sheet):
        lines += ["", *_section(section)]
    for chart in sheet.charts:
        lines += ["", *folded(chart_title(chart)), *_readings(chart)]
    for section in after_charts(sheet):
        lines += ["", *_section(section)]
    lines += ["", "SIGNED"]
    for signer in SIGNERS:
        lines += ["", signer, LINE]
    lines += ["", *(line for text in foot(sheet) for line in folded(text))]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _section(section: Section) -> list[str]:
    lines = [section.name.upper()]
    for text in section.lines:
        lines += folded(text, after="  ")
    if not section.rows:
        return lines
    *short, last = zip(section.heads, *section.rows, strict=True)
    wide = [max(columns(cell) for cell in column) for column in short]
    if sum(wide) > WIDTH // 2:  # no room for columns: one paragraph for each row
        for row in section.rows:
            lines += folded("; ".join(row), after="  ")
        return lines
    for *cells, rest in ([*column] for column in zip(*short, last, strict=True)):
        first = "  ".join(
            cell + " " * (w - columns(cell)) for cell, w in zip(cells, wide, strict=True)
        )
        lines += folded(rest, first=f"{first}  ", after=" " * (sum(wide) + 2 * len(wide)))
    return lines


def _readings(chart: DayChart) -> list[str]:
    if not chart.points:
        return ["nothing was read"]
    found = []
    for p in chart.points:
        if p.high is None:
            told = f"{show(p.low, '')} or more"
        elif p.low == p.high:
            told = show(p.value, "")
        else:
            told = show_range(p.low, p.high, "")
        found.append(f"day {int(p.day // 1)}: {told}")
    return folded(";  ".join(found))
