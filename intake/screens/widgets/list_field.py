"""Corners, slices and marks: one item at a time, or a whole line pasted at once."""

from __future__ import annotations

import re

from textual import on
from textual.content import Content
from textual.message import Message
from textual.widgets import Input

from intake.science.problem import Problem
from intake.science.quantity import Quantity
from intake.screens.theme import Look
from intake.screens.widgets.lines import rows_of
from intake.screens.widgets.quantity_field import (
    LONGEST_WORDS,
    Asked,
    QuantityField,
    SizeInput,
)

KINDS = {
    "corners": ("corner", "along,across", " "),
    "slab": ("slice", "length x width x depth", "; "),
    "marks": ("mark", "depth:litres", " "),
    "lengths": ("depth", "one depth", " "),
}
"""Each kind of list: one item of it, how an item is typed, what stands between two."""
_BARE = re.compile(r"\d+(?:\.\d+)?")


def items_of(text: str, asked: Asked) -> list[str]:
    """The items of a typed or pasted line, a bare number with the unit it is meant in."""
    text = text.strip()
    length = asked.unit or "cm"
    if asked.kind == "corners":
        parts = text.split() if "," in text else [",".join(text.split())]
        return [part for part in parts if part]
    if asked.kind == "slab":
        boxes = [re.split(r"\s*[x×]\s*", box.strip()) for box in text.split(";") if box.strip()]
        return [" x ".join(_with(part, length) for part in box) for box in boxes]
    if asked.kind == "marks":
        parts = re.split(r"\s+(?=\d+(?:\.\d+)?\s*\w*:)", text) if ":" in text else [text]
        return [_mark(part, length) for part in parts if part]
    return [_with(part, length) for part in re.split(r"\s+(?=\d)", text) if part]


def _mark(part: str, length: str) -> str:
    ends = part.split(":") if ":" in part else part.split()
    if len(ends) != 2:
        return part
    return f"{_with(ends[0].strip(), length)}:{_with(ends[1].strip(), 'L')}"


def _with(text: str, unit: str) -> str:
    return f"{text}{unit}" if _BARE.fullmatch(text) else text


class ItemInput(SizeInput):
    """Backspace in an empty field takes the last item back."""

    class TakenBack(Message):
        """There was nothing left to delete."""

    def action_delete_left(self) -> None:
        """A character, or the item before."""
        if self.value:
            super().action_delete_left()
        else:
            self.post_message(self.TakenBack())


class ListField(QuantityField):
    """The items so far, and the field for the next one. Enter takes it, an empty one goes on."""

    def __init__(self, asked: Asked) -> None:
        super().__init__(asked)
        self.items: list[str] = []

    def make_input(self, words: bool) -> Input:
        """The field for one item."""
        del words
        return ItemInput(max_length=LONGEST_WORDS, select_on_focus=False, classes="words")

    @property
    def text(self) -> str:
        """All items, the one being typed too."""
        between = KINDS[self.asked.kind][2]
        return between.join([*self.items, *items_of(self.query_one(Input).value, self.asked)])

    @property
    def said(self) -> str:
        """As a flow reads it."""
        return self.text

    @property
    def quantity(self) -> Quantity | Problem | None:
        """The list is read as a whole, by the flow."""
        return None

    def _question(self, width: int, look: Look) -> list[Content]:
        name = KINDS[self.asked.kind][0]
        return [look.say((f"{name} {len(self.items) + 1}"[:width], "ink"))]

    def _under(self, width: int, look: Look) -> list[Content]:
        name, how, between = KINDS[self.asked.kind]
        said = f"{how}, then enter"
        if self.items:
            plural = "" if len(self.items) == 1 else "s"
            said = f"{len(self.items)} {name}{plural}: {between.join(self.items)}"
        return [look.say((line, "faint")) for line in rows_of(said, width, width, 3)]

    def _again(self) -> None:
        self.query_one(".ask").refresh(layout=True)
        self.query_one(".wrong").refresh(layout=True)
        self.post_message(self.Changed(self))

    @on(ItemInput.TakenBack)
    def _back(self, event: ItemInput.TakenBack) -> None:
        event.stop()
        if self.items:
            self.put(self.items.pop())
            self.query_one(Input).action_end()
            self._again()

    @on(Input.Submitted)
    def _taken(self, event: Input.Submitted) -> None:
        event.stop()
        event.prevent_default()  # an item is not the whole form
        typed = items_of(event.value, self.asked) if event.value.strip() else []
        if not typed:
            self.post_message(self.Entered(self))
            return
        self.items += typed
        self.put("")
        self._again()
