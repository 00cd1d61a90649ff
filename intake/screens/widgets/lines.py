"""Text made to fit: measured in cells, shortened at words, never wrapped by chance."""

from __future__ import annotations

from rich.cells import cell_len, set_cell_size
from textual.content import Content


def shorten(text: str, width: int) -> str:
    """The text in at most `width` cells, cut at a word where it can be, ending in `…`."""
    if cell_len(text) <= width:
        return text
    if width < 2:
        return "…" if width == 1 else ""
    head = set_cell_size(text, width - 1).rstrip()
    space = head.rfind(" ")
    if space > width // 2 and text[len(head) : len(head) + 1] not in ("", " "):
        head = head[:space]
    return head.rstrip(" ,;:·.") + "…"


def padded(text: str, width: int) -> str:
    """The text in exactly `width` cells."""
    return set_cell_size(shorten(text, width), width)


def right(text: str, width: int) -> str:
    """The text ending at the right edge of `width` cells."""
    text = shorten(text, width)
    return " " * (width - cell_len(text)) + text


def rows_of(text: str, first: int, width: int, rows: int) -> list[str]:
    """The words in at most `rows` lines: the first has `first` cells, the others `width`.

    What does not fit is left out after the last whole word, shown by `…`.
    """
    lines: list[str] = []
    line = ""
    words = text.split()
    for at, word in enumerate(words):
        room = first if not lines else width
        joined = f"{line} {word}" if line else word
        if cell_len(joined) <= room:
            line = joined
            continue
        if len(lines) == rows - 1:
            rest = " ".join([joined, *words[at + 1 :]])
            return [*lines, shorten(rest, room)]
        lines.append(shorten(line, room))
        line = word
    if line or not lines:
        lines.append(shorten(line, first if not lines else width))
    return lines


def path_rows(path: str, width: int, rows: int) -> list[str]:
    """A path over at most `rows` lines, cut anywhere; its end, the file's name, always stays."""
    lines: list[str] = []
    rest = path
    while cell_len(rest) > width:
        kept = rest
        while cell_len(kept) > width:
            kept = kept[1:]
        lines.insert(0, kept)
        rest = rest[: -len(kept)]
    if rest:
        lines.insert(0, rest)
    if len(lines) > rows:
        lines = lines[-rows:]
        lines[0] = "…" + lines[0][1:]
    return lines


def ends(left: Content, at_right: Content, width: int) -> Content:
    """One line with something at both ends; the right one is left out where there is no room."""
    gap = width - left.cell_length - at_right.cell_length
    if gap < 1:
        return left.truncate(width, ellipsis=True)
    return Content.assemble(left, " " * gap, at_right)


def stack(lines: list[Content]) -> Content:
    """Lines one under the other, without an empty one at the end."""
    return Content("\n").join(lines)
