"""The one big number of a screen, never clipped, its unit in the same letters."""

from __future__ import annotations

from textual.content import Content

from intake.drawing.digits import SIZES, Size, figure, figure_width, unit_letters
from intake.screens.theme import Look


def biggest(text: str, unit: str, width: int, rows: int) -> Size | None:
    """The biggest size that fits in `width` cells and `rows` rows, or None where none does."""
    for size in SIZES:
        if size.rows <= rows and figure_width(text, unit, size) <= width:
            return size
    return None


def drawable(text: str) -> bool:
    """Whether the text is digits with at most one point, so that it has a figure."""
    return bool(text) and text.count(".") <= 1 and set(text) <= set("0123456789.")


def figure_lines(text: str, unit: str, width: int, rows: int, look: Look) -> list[Content]:
    """The lines of the figure; the plain amount in bold where no figure fits.

    A figure that were cut would be another number, so it is the text or the whole figure.
    """
    size = biggest(text, unit, width, rows) if drawable(text) else None
    if size is None:
        return [look.say((f"{text} {unit}".rstrip(), "bold"))]
    digits = figure(text, size)
    if not unit:
        return [look.say((line, "bold")) for line in digits]
    letters = _unit(unit, size, look)
    return [
        look.say((line, "bold"), "  ", (letter, "bold" if letter == unit else "soft"))
        for line, letter in zip(digits, letters, strict=True)
    ]


def _unit(unit: str, size: Size, look: Look) -> list[str]:
    """The unit beside its digits.

    Where hue is gone, or the letters are as high as the digits, a block g reads as a 9: there
    the unit is written, on the line the digits stand on.
    """
    if unit == "L" or (size.rows >= 6 and not look.plain):
        return unit_letters(unit, size)
    return [""] * (size.rows - 1) + [unit]


def beside(left: list[Content], at_right: list[Content], gap: int) -> list[Content]:
    """Two columns of lines; the right one is set in the middle of the taller."""
    width = max((line.cell_length for line in left), default=0)
    rows = max(len(left), len(at_right))
    top = (rows - len(at_right) + 1) // 2 if len(at_right) < rows else 0
    lines = []
    for y in range(rows):
        one = left[y] if y < len(left) else Content("")
        at = y - top
        other = at_right[at] if 0 <= at < len(at_right) else Content("")
        pad = " " * (width - one.cell_length + gap) if other.cell_length else ""
        lines.append(Content.assemble(one, pad, other))
    return lines
