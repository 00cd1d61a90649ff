"""One dose being asked for: what was typed, and the tool it is measured with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from typing import Any

from intake.flows.desk import Book
from intake.flows.facts.things import KeptTool, Product
from intake.flows.names import unknown
from intake.flows.notes import Notes
from intake.science.dose import WaterVolume
from intake.science.problem import Problem, Unreadable
from intake.science.quantity import Quantity, read_quantity
from intake.science.tools import Tool


@dataclass(slots=True)
class Asking:
    """One dose being asked for: what was typed and what came of it."""

    typed: Mapping[str, Any]
    now: datetime
    shelf: Any
    book: Book | None = None
    notes: Notes = field(default_factory=Notes)
    problems: list[Problem] = field(default_factory=list)
    recorded_water: WaterVolume | None = None  # where another volume was typed beside its vessel
    tool: Tool | None = None  # what the amount is measured with in the end
    bottle: Product | None = None  # what it is taken from

    def text(self, name: str) -> str | None:
        """What was typed for an option."""
        found = self.typed.get(name)
        return None if found is None else str(found)

    def quantity(self, name: str, kind: str, **how: Any) -> Quantity | None:
        """The quantity typed for an option; a problem is kept and None answered."""
        text = self.text(name)
        if text is None:
            return None
        comma = self.book.facts.comma if self.book else False
        found = read_quantity(text, kind, comma=comma, **how)
        if isinstance(found, Problem):
            self.problems.append(found.placed("--" + name.replace("_", "-")))
            return None
        return found

    def stop_if_faulty(self) -> None:
        """Raises Unreadable where problems were found."""
        if self.problems:
            raise Unreadable(*self.problems)


def tool_named(ask: Asking) -> Tool | None:
    """The tool typed as a step ("0.1 g") or by its name in the room."""
    text = ask.text("tool")
    if text is None:
        return None
    if ask.book is not None:
        for kept in ask.book.facts.of_kind(KeptTool):
            if kept.name == text:
                return tool_of(kept)
    found = ask.quantity("tool", "amount")
    if found is None and ask.book is not None and text[:1].isalpha():
        ask.problems.pop()
        names = [t.name for t in ask.book.facts.of_kind(KeptTool)]
        ask.problems.append(unknown(text, names, "a tool").placed("--tool"))
    return None if found is None else Tool(text, Decimal(found.value or 0), found.canonical)


def tool_of(kept: KeptTool) -> Tool:
    """A recorded tool in the science's own shape."""
    found = read_quantity(kept.step, "amount")
    assert isinstance(found, Quantity)
    return Tool(kept.name, Decimal(found.value or 0), found.canonical)
