"""Plain text folded to the columns of a terminal, in which some characters take two."""

from __future__ import annotations

from unicodedata import combining, east_asian_width

from intake.science.text import inert

WIDTH = 80


def columns(text: str) -> int:
    """How many columns a text takes."""
    return sum((char_wide(char) for char in text), 0)


def char_wide(char: str) -> int:
    """How many columns a character takes."""
    if combining(char):
        return 0
    return 2 if east_asian_width(char) in "WF" else 1


def folded(text: str, first: str = "", after: str = "", width: int = WIDTH) -> list[str]:
    """Lines of at most `width` columns; a word too long for a line of its own is cut."""
    lines = [first]
    room = True  # nothing stands behind the lead yet
    for word in inert(text).split():
        for part in _cut(word, width - max(columns(first), columns(after))):
            longer = lines[-1] + ("" if room else " ") + part
            if columns(longer) <= width:
                lines[-1] = longer
            else:
                lines.append(after + part)
            room = False
    return [line.rstrip() for line in lines]


def _cut(word: str, width: int) -> list[str]:
    parts, part = [], ""
    for char in word:
        if part and columns(part + char) > width:
            parts.append(part)
            part = ""
        part += char
    return [*parts, part]
