"""Readers of the kit a test was made with, and of what the kit tells of a reading."""

from __future__ import annotations

from typing import Any

from intake.flows.facts.things import Kit, Thing
from intake.flows.forms.readers import Asked, AThing, kept_quantity
from intake.flows.kits import kit_testing, tests_of
from intake.science.kit import TESTS
from intake.science.problem import Problem
from intake.science.quantity import Quantity, read_quantity

Kits = tuple[Kit, ...]


def named_kits(text: str, asked: Asked) -> Kits | Problem:
    """The kits named, commas between them."""
    found: list[Kit] = []
    for name in text.split(","):
        kit = asked.book.facts.find(name.strip(), ("kit",), asked.when)
        if isinstance(kit, Problem):
            return kit
        assert isinstance(kit, Kit)
        found.append(kit)
    for test in TESTS:
        twice = [kit.name for kit in found if test in tests_of(kit)]
        if len(twice) > 1:
            text = f"{' and '.join(twice)} both test {test}"
            return Problem("wrong-kind", text, "name the one it was read with")
    return tuple(found)


class AKits(AThing):
    """The kit a test was made with, or several with commas between: each reads what it tests."""

    def __init__(self) -> None:
        super().__init__(("kit",))

    def read(self, text: str, asked: Asked) -> Any:
        kits = named_kits(text, asked)
        return kits if isinstance(kits, Problem) or len(kits) > 1 else kits[0]

    def keep(self, value: Thing | Kits) -> str:
        if isinstance(value, Thing):
            return value.name
        return ", ".join(f"{kit.name}#{kit.id}" for kit in value)


class ATan:
    """Total ammonia; what it is counted as may come from the kit that is named."""

    def read(self, text: str, asked: Asked) -> Quantity | Problem:
        basis = None
        if "kit" in asked.typed:
            kits = named_kits(str(asked.typed["kit"]), asked)
            kit = None if isinstance(kits, Problem) else kit_testing(kits, "tan")
            basis = kit.reports or None if kit is not None else None
        found = read_quantity(text, "tan", comma=asked.book.facts.comma, basis=basis)
        if isinstance(found, Quantity) and basis and found.basis not in (basis, None):
            wrong = f"'{found.text}', but the kit reports {basis}"
            return Problem("wrong-kind", wrong, "leave one of them out")
        return found

    def keep(self, value: Quantity) -> dict[str, Any]:
        return kept_quantity(value)

    def again(self, kept: dict[str, Any]) -> str:
        return str(kept["text"])
