"""A way across as plain text of 80 columns."""

from __future__ import annotations

import textwrap

from intake.report.crossing import COLUMNS, Sheet, about, rows, title
from intake.science.text import inert

WIDTH = 80
_RIGHT = (8, 18, 18, 24)


def as_text(sheet: Sheet) -> str:
    """Title, what was read, the steps, the table."""
    lines = [*_wrapped(title(sheet)), *_wrapped(about(sheet)), ""]
    for note in sheet.notes:
        lines += _wrapped(note, "- ")
    for at, foretold, measured, told in sheet.checks:
        lines += _wrapped(f"{at}  foretold {foretold}  measured {measured}  {told}")
    lines.append("")
    for step in sheet.steps:
        lines += _wrapped(f"{step.number}  {step.at:<5}  {step.text}", after=10)
    lines += ["", _row(COLUMNS), *(_row(row) for row in rows(sheet))]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _wrapped(text: str, first: str = "", after: int = 2) -> list[str]:
    return textwrap.wrap(inert(text), WIDTH, initial_indent=first, subsequent_indent=" " * after)


def _row(texts: tuple[str, ...]) -> str:
    return "".join(text.rjust(wide) for text, wide in zip(texts, _RIGHT, strict=True))
