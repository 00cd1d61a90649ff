"""Reading which fish are in a bath: names with commas between, of a group perhaps only some."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from intake.flows.facts.things import Animal
from intake.flows.forms.readers import Asked
from intake.science.problem import Problem

KINDS = ("fish", "group")
NUMBERED = "#"
"""In front of an entry's number: the fish it made, whatever that is called by now."""


@dataclass(frozen=True, slots=True)
class AFishList:
    """Fish and groups; ``Ryukins:1`` is one of them."""

    def read(self, text: str, asked: Asked) -> list[tuple[Animal, int]] | Problem:
        whole = _one(text, asked)
        if not isinstance(whole, Problem):
            return [whole]
        found: list[tuple[Animal, int]] = []
        for part in text.split(","):
            one = _one(part, asked)
            if isinstance(one, Problem):
                return one
            if any(one[0].id == other.id for other, _ in found):
                text = f"'{one[0].name}' is named twice"
                return Problem("out-of-range", text, "each fish or group once")
            found.append(one)
        return found

    def keep(self, value: list[tuple[Animal, int]]) -> list[dict[str, Any]]:
        return [{"name": a.name, "entry": a.id, "count": n} for a, n in value]

    def again(self, kept: list[dict[str, Any]]) -> str:
        return ",".join(f"{NUMBERED}{one['entry']}:{one['count']}" for one in kept)


def _one(text: str, asked: Asked) -> tuple[Animal, int] | Problem:
    found = _animal(text.strip(), asked)
    if isinstance(found, Animal):
        return found, found.count
    name, colon, count = text.strip().rpartition(":")
    if not colon or not (count.isascii() and count.isdigit()):
        return found
    found = _animal(name.strip(), asked)
    if isinstance(found, Problem):
        return found
    if asked.entry is None and not 1 <= int(count) <= found.count:
        return Problem(
            "out-of-range", f"{found.name} is {found.count}, not {count}", f"1 to {found.count}"
        )
    return found, int(count)


def _animal(text: str, asked: Asked) -> Animal | Problem:
    if text.startswith(NUMBERED) and text[1:].isascii() and text[1:].isdigit():
        thing = asked.book.facts.things.get(int(text[1:]))
        if isinstance(thing, Animal):
            return thing
    found = asked.book.facts.find(text, KINDS, asked.when)
    return found if isinstance(found, Problem) else asked.book.facts.animal(found.id)


def who(fish: list[tuple[Animal, int]]) -> str:
    """``Moon, 2 of Ryukins``."""
    return ", ".join(a.name if n >= a.count else f"{n} of {a.name}" for a, n in fish)
