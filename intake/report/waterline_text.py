"""The waterline table as plain text of 80 columns."""

from __future__ import annotations

import textwrap
from unicodedata import east_asian_width

from intake.report.waterline import COLUMNS, Waterline, about, cells, title

WIDTH = 80
_RIGHT = (9, 10, 20, 12, 17)


def as_text(sheet: Waterline) -> str:
    """Title, table from the highest line down, notes."""
    lines = [*_folded(title(sheet)), *_folded(about(sheet)), ""]
    lines.append(_row(COLUMNS))
    texts = [cells(row) for row in reversed(sheet.rows)]
    water, per_cm = _on_point([t[1] for t in texts]), _on_point([t[3] for t in texts])
    lines += [_row((t[0], w, t[2], c, t[4])) for t, w, c in zip(texts, water, per_cm, strict=True)]
    lines.append("")
    for note in sheet.notes:
        lines += textwrap.wrap(note, WIDTH, initial_indent="- ", subsequent_indent="  ")
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _folded(text: str) -> list[str]:
    """Lines of at most `WIDTH` columns of a terminal, in which some characters take two."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and _columns(longer) <= WIDTH:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def _columns(text: str) -> int:
    return len(text) + sum(east_asian_width(char) in "WF" for char in text)


def _on_point(numbers: list[str]) -> list[str]:
    """Numbers one under the other by their decimal points."""
    parts = [len(n) - n.index(".") if "." in n else 0 for n in numbers]
    return [n + " " * (max(parts) - part) for n, part in zip(numbers, parts, strict=True)]


def _row(texts: tuple[str, ...]) -> str:
    line = texts[0].removesuffix(" *").rjust(_RIGHT[0])
    line += " *" if texts[0].endswith(" *") else "  "
    return line + "".join(
        text.rjust(width) for text, width in zip(texts[1:], _RIGHT[1:], strict=True)
    )
