"""Every figure of a protocol file with where it says it comes from, read off the text itself.

Nothing here knows what a field means, so that a field no shape reads yet is walked as well.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from intake.rules.folder import find_files
from intake.rules.protocol_file import read_file
from intake.rules.yaml_tree import Mapping, Node, Scalar, read_tree
from intake.science.problem import Problem

_FIGURE = re.compile(r"[-+<>~]?\s*\.?\d[\d.,:]*(?:\s+\S+){0,6}")
"""A text that is a number with its unit: it begins with a digit and is short."""
NAMES = ("name", "id", "form", "reading", "code", "pair", "check", "stage")
"""Keys whose value names a block of a list better than its place does."""
NO_FIGURE = ("version", "source", "mark", "title")
"""Keys whose digits count nothing."""


@dataclass(frozen=True, slots=True)
class CitedFigure:
    """One figure as written: its place, the names that lead to it, its source and mark.

    `source` and `mark` are "" where neither its block nor one around it gives both.
    """

    path: str
    line: int
    column: int
    name: str
    text: str
    source: str
    mark: str

    @property
    def from_memory(self) -> bool:
        """Whether it, or a part of what its source says of it, is from memory."""
        return any("from memory" in said for said in (self.mark, self.source, self.text))


def figures_of(tree: Mapping, path: str) -> Iterator[CitedFigure]:
    """Every figure of a file in the order of its lines."""
    yield from _walk(tree, path, (), ("", ""))


def _walk(
    node: Node, path: str, names: tuple[str, ...], cited: tuple[str, str]
) -> Iterator[CitedFigure]:
    if isinstance(node, Scalar):
        if _FIGURE.fullmatch(node.text) or "from memory" in node.text:
            yield CitedFigure(path, node.line, node.column, " ".join(names), node.text, *cited)
        return
    if isinstance(node, Mapping):
        here = _cited(node) or cited
        for key, inner in node.values.items():
            if key not in NO_FIGURE:
                yield from _walk(inner, path, (*names, key), here)
        return
    for n, inner in enumerate(node.items, 1):
        yield from _walk(inner, path, (*names, _named(inner, n)), cited)


def _cited(block: Mapping) -> tuple[str, str] | None:
    source, mark = block.values.get("source"), block.values.get("mark")
    if not isinstance(source, Scalar) or not isinstance(mark, Scalar):
        return None
    return (source.text, mark.text) if source.text.strip() and mark.text.strip() else None


def _named(block: Node, n: int) -> str:
    if not isinstance(block, Mapping):
        return str(n)
    said = (block.values.get(key) for key in NAMES)
    return next((_words(v) for v in said if v is not None and _words(v)), str(n))


def _words(value: Node) -> str:
    parts = value.items if not isinstance(value, Scalar | Mapping) else [value]
    return " and ".join(part.text for part in parts if isinstance(part, Scalar))


def figures_in(paths: Sequence[Path]) -> list[CitedFigure]:
    """Every figure of these files and folders that can be read through."""
    files: list[Path] = []
    for path in paths:
        files += [f.path for f in find_files(path)[0]] if path.is_dir() else [path]
    found: list[CitedFigure] = []
    for file in files:
        read = read_file(file)
        tree = None if isinstance(read, Problem) else read_tree(read.content, str(file))[0]
        found += [] if tree is None else figures_of(tree, str(file))
    return found
