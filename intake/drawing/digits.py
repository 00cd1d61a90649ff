"""Block digits: square half-cell pixels, one width for all digits, corners cut."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

Pixels = tuple[str, ...]
"""Rows of `#` (set) and blank, all equally long; two rows make one row of cells."""


@dataclass(frozen=True, slots=True)
class Size:
    """One size of figure: rows of cells, cells per digit, stroke in cells and in pixels."""

    rows: int
    width: int
    stroke_x: int
    stroke_y: int


SIZES = (Size(8, 10, 3, 3), Size(6, 8, 2, 2), Size(4, 6, 2, 1))
"""Biggest first."""

_SEGMENTS = {
    "0": "abcdef",
    "2": "abged",
    "3": "abgcd",
    "4": "fgbc",
    "5": "afgcd",
    "6": "afgedc",
    "7": "abc",
    "8": "abcdefg",
    "9": "abfgcd",
}

_CUT = {
    "0": "1234",
    "2": "12",
    "3": "1234",
    "4": "",
    "5": "34",
    "6": "134",
    "7": "2",
    "8": "1234",
    "9": "1234",
}
"""Which corners each digit loses: 1 upper left, 2 upper right, 3 lower left, 4 lower right."""

_LETTERS: dict[str, Pixels] = {
    "g": (
        " #####",
        "######",
        "##  ##",
        "######",
        " #####",
        "    ##",
        "##  ##",
        " #### ",
    ),
    "m": (
        "#########",
        "##########",
        "##  ##  ##",
        "##  ##  ##",
        "##  ##  ##",
        "##  ##  ##",
    ),
}


def figure(text: str, size: Size) -> list[str]:
    """The digits and points of `text` as `size.rows` lines of blocks, all equally long.

    `text` holds only digits and at most one point; anything else raises KeyError, so that no
    figure is ever drawn with a hole in it.
    """
    glyphs: list[Pixels] = []
    for char in text:
        if glyphs:
            glyphs.append((" " * _gap(size),) * (size.rows * 2))
        glyphs.append(_point(size) if char == "." else _digit(char, size))
    return blocks(_beside(glyphs))


def unit_letters(unit: str, size: Size) -> list[str]:
    """A unit ("g", "mg", "mL" or "L") in the same letters, standing on the digits' line."""
    glyphs: list[Pixels] = []
    height = size.rows * 2
    for char in unit:
        if glyphs:
            glyphs.append((" ",) * height)
        glyphs.append(_letter(char, size))
    return blocks(_beside(glyphs))


def figure_width(text: str, unit: str, size: Size) -> int:
    """Cells of the figure, two blank cells and its unit; without a unit of the figure alone."""
    if not unit:
        return len(figure(text, size)[0])
    return len(figure(text, size)[0]) + 2 + len(unit_letters(unit, size)[0])


def blocks(pixels: Pixels) -> list[str]:
    """Pixel rows as lines of half blocks; an odd last row is the upper half."""
    rows = list(pixels)
    if len(rows) % 2:
        rows.append(" " * len(rows[0]))
    lines = []
    for upper, lower in zip(rows[::2], rows[1::2], strict=True):
        lines.append(
            "".join(
                {(True, True): "█", (True, False): "▀", (False, True): "▄"}.get(
                    (up == "#", low == "#"), " "
                )
                for up, low in zip(upper, lower, strict=True)
            )
        )
    return lines


def _gap(size: Size) -> int:
    return 2 if size.width >= 8 else 1


def _beside(glyphs: list[Pixels]) -> Pixels:
    return tuple("".join(row) for row in zip(*glyphs, strict=True))


def _drawn(width: int, height: int, is_set: Callable[[int, int], bool]) -> Pixels:
    return tuple(
        "".join("#" if is_set(x, y) else " " for x in range(width)) for y in range(height)
    )


def _point(size: Size) -> Pixels:
    height = size.rows * 2
    return _drawn(2, height, lambda _x, y: y >= height - 2)


def _digit(char: str, size: Size) -> Pixels:
    if char == "1":
        return _one(size)
    on = _SEGMENTS[char]
    width, height = size.width, size.rows * 2
    sx, sy = size.stroke_x, size.stroke_y
    middle = (height - sy) // 2

    cut = _cut(char, width, height)

    def is_set(x: int, y: int) -> bool:
        if (x, y) in cut:
            return False
        left, right = x < sx, x >= width - sx
        upper, lower = y < middle + sy, y >= middle
        return bool(
            ("a" in on and y < sy)
            or ("d" in on and y >= height - sy)
            or ("g" in on and middle <= y < middle + sy)
            or ("f" in on and left and upper)
            or ("b" in on and right and upper)
            or ("e" in on and left and lower)
            or ("c" in on and right and lower)
        )

    return _drawn(width, height, is_set)


def _cut(char: str, width: int, height: int) -> set[tuple[int, int]]:
    places = {
        "1": (0, 0),
        "2": (width - 1, 0),
        "3": (0, height - 1),
        "4": (width - 1, height - 1),
    }
    return {places[corner] for corner in _CUT[char]}


def _one(size: Size) -> Pixels:
    height = size.rows * 2
    stem = (size.width - size.stroke_x) // 2 + 1
    flag = range(size.stroke_y, size.stroke_y * 2)
    return _drawn(
        size.width,
        height,
        lambda x, y: (
            stem <= x < stem + size.stroke_x
            or (y in flag and stem - 2 <= x < stem)
            or (y >= height - size.stroke_y and stem - 2 <= x < stem + size.stroke_x + 2)
        ),
    )


def _letter(char: str, size: Size) -> Pixels:
    height = size.rows * 2
    if char == "L":
        wide = size.width - 2
        return _drawn(wide, height, lambda x, y: x < size.stroke_x or y >= height - size.stroke_y)
    drawn = _LETTERS[char]
    wide = max(len(row) for row in drawn)
    padded = [row.ljust(wide) for row in drawn]
    empty = " " * wide
    return tuple([empty] * (height - len(padded)) + padded)
