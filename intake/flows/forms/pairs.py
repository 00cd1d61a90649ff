"""Reading `word:number`, as in --sign clamped-fins:2 and --found white-spot:3."""

from __future__ import annotations

from typing import Any

from intake.flows.forms.readers import Asked, Plain
from intake.flows.names import unknown
from intake.science.problem import Problem
from intake.science.quantity import read_quantity


class APair(Plain):
    """`word:number`, as in --sign clamped-fins:2; the number may be left out where it has one."""

    def __init__(self, what: str, least: int, most: int, default: int | None = None) -> None:
        self.what, self.least, self.most, self.default = what, least, most, default

    def read(self, text: str, asked: Asked) -> list[Any] | Problem:
        word, colon, number = text.partition(":")
        known = self._known(asked)
        if word not in known:
            return unknown(word, known, self.what)
        if not colon and self.default is not None:
            return [word, self.default]
        if not colon:
            bare = Problem("not-a-number", f"'{text[:40]}' has no number", f"{word}:1")
            return bare.placed("", column=len(text) + 1)
        found = read_quantity(number, "count", zero_ok=True)
        if isinstance(found, Problem):
            return found.placed("", column=len(word) + 1 + found.column)
        value = int(found.value or 0)
        if not self.least <= value <= self.most:
            hint = f"{self.least} to {self.most}"
            return Problem("out-of-range", f"'{text[:40]}': {value} is out of range", hint)
        return [word, value]

    def _known(self, asked: Asked) -> Any:
        shelf = asked.book.shelf
        return shelf.signs if self.what == "a sign" else PARASITES

    def again(self, kept: Any) -> str:
        return f"{kept[0]}:{kept[1]}"


PARASITES = (
    "white-spot", "gill-flukes", "skin-flukes", "flukes", "fish-louse", "anchor-worm", "costia",
    "chilodonella", "trichodina", "roundworm", "tapeworm", "fungus", "other",
)  # fmt: skip
"""What a slide may be said to show; the first ones have life-cycle tables."""
