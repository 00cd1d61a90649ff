"""Options of the commands that need no room, read one by one with every problem kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from intake.flows.notes import Notes
from intake.science.figures import figure
from intake.science.problem import Problem, Unreadable
from intake.science.quantity import Quantity, dilute, read_quantity
from intake.science.span import Span

Typed = Mapping[str, Any]


@dataclass(slots=True)
class Reading:
    """Reads typed options one by one and keeps every problem."""

    typed: Typed
    problems: list[Problem] = field(default_factory=list)
    notes: Notes = field(default_factory=Notes)

    def quantity(self, name: str, kind: str, **how: Any) -> Quantity | None:
        """The quantity typed for an option, None where it is missing or cannot be read."""
        if name not in self.typed:
            return None
        found = read_quantity(str(self.typed[name]), kind, **how)
        if isinstance(found, Problem):
            self.problems.append(found.placed("--" + name.replace("_", "-")))
            return None
        if found.value is None:
            self.notes.warn("kit-cannot-show", f"{name.replace('_', ' ')} could not be read")
            return None
        return found

    def one(self, name: str, kind: str, *, high: bool = False, **how: Any) -> float | None:
        """One number of an option: of a band the middle, or the high end where that is safer."""
        found = self.quantity(name, kind, **how)
        if found is None or found.value is None:
            return None
        if not found.band and not (high and found.half):
            return float(found.value)
        end = found.high if high else found.value
        if end is None:
            hint = "read it so that it has an upper end"
            told = Problem("out-of-range", f"'{found.text}' has no upper end", hint)
            self.problems.append(told.placed("--" + name.replace("_", "-")))
            return None
        taken = f"{figure(end)} {found.canonical}".strip()
        self.notes.assumptions.append(f"{name.replace('_', ' ')} {found.text} taken as {taken}")
        return float(end)

    def ends(self, name: str, kind: str, **how: Any) -> Span | None:
        """A reading between its ends, None where it was left out; an open end is a problem."""
        found = self.quantity(name, kind, **how)
        if found is None or found.value is None:
            return None
        if found.high is None or found.low is None:
            hint = "read it so that it has both ends"
            told = Problem("out-of-range", f"'{found.text}' is open on one side", hint)
            self.problems.append(told.placed("--" + name.replace("_", "-")))
            return None
        return Span(float(found.low), float(found.value), float(found.high))

    def need(self, *names: str) -> None:
        """Adds a problem for every option that was given and could not be read off the kit."""
        for name in names:
            if str(self.typed.get(name, "")).strip() == "unreadable":
                text = "'unreadable': without it nothing can be worked out"
                found = Problem("not-a-number", text, "read it again")
                self.problems.append(found.placed("--" + name.replace("_", "-")))

    def tan(self, name: str = "tan") -> Quantity | None:
        """Total ammonia, its dilution undone."""
        found = self.quantity(name, "tan")
        parts = self.quantity("diluted", "count", zero_ok=False)
        if found is None or parts is None:
            return found
        return dilute(found, int(parts.value or 1))

    def stop_if_faulty(self) -> None:
        """Raises Unreadable with every problem so far."""
        if self.problems:
            raise Unreadable(*self.problems)
