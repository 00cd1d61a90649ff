"""Readers: typed text to a value, the value to what the journal keeps, and back to text.

A correction reads a whole entry again from what was kept, so every reader can write its value
as text that it reads the same way.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, Protocol

from intake import clock
from intake.flows.desk import Book
from intake.flows.facts.things import Shipment, Thing
from intake.science.problem import Problem
from intake.science.quantity import Quantity, read_quantity
from intake.science.text import read_name, read_note


@dataclass(frozen=True, slots=True)
class Asked:
    """What a reader may look at: the unit of work, when it happened, and the entry corrected."""

    book: Book
    when: datetime
    typed: Mapping[str, Any] = field(default_factory=dict)
    entry: int | None = None


class Reader(Protocol):
    """Reads one field's text; `keep` and `again` are each other's inverse."""

    def read(self, text: str, asked: Asked) -> Any: ...
    def keep(self, value: Any) -> Any: ...
    def again(self, kept: Any) -> str: ...


def kept_quantity(q: Quantity) -> dict[str, Any]:
    """A quantity as the journal keeps it: as typed, and in the canonical unit of its kind."""

    def number(value: Any) -> float | None:
        return None if value is None else float(value)

    return {
        "text": q.text,
        "unit": q.unit,
        "value": number(q.value),
        "low": number(q.low),
        "high": number(q.high),
        "half": number(q.half),
        "basis": q.basis,
        "band": q.band,
    }


class Plain:
    """A value that is kept as the text it was typed as."""

    def keep(self, value: Any) -> Any:
        return value

    def again(self, kept: Any) -> str:
        return str(kept)


@dataclass(frozen=True, slots=True)
class AQuantity:
    """A number with its unit, of one kind of science/quantity."""

    kind: str
    zero: bool | None = None

    def read(self, text: str, asked: Asked) -> Quantity | Problem:
        return read_quantity(text, self.kind, comma=asked.book.facts.comma, zero_ok=self.zero)

    def keep(self, value: Quantity) -> dict[str, Any]:
        return kept_quantity(value)

    def again(self, kept: dict[str, Any]) -> str:
        return str(kept["text"])


TAP = "tap"
"""The water from the wall, which is no thing of the room."""
RESERVED = (TAP,)
"""Words that mean something wherever a vessel's name may stand."""


class NewName(Plain):
    """A name given to something new; it may not be too like one that is present."""

    def read(self, text: str, asked: Asked) -> str | Problem:
        name = read_name(text)
        if isinstance(name, Problem):
            return name
        if name in RESERVED:
            return Problem("name-taken", f"'{name}' always means the {name} water", "another name")
        return asked.book.facts.name_taken(name, but=asked.entry) or name


class AName(Plain):
    """A name that need not be new."""

    def read(self, text: str, asked: Asked) -> str | Problem:  # noqa: ARG002
        return read_name(text)


class AText(Plain):
    """Free text, short enough to keep."""

    def read(self, text: str, asked: Asked) -> str | Problem:  # noqa: ARG002
        return read_note(text)


@dataclass(frozen=True, slots=True)
class Choice:
    """One of a few words."""

    words: tuple[str, ...]

    def read(self, text: str, asked: Asked) -> str | Problem:  # noqa: ARG002
        if text in self.words:
            return text
        return Problem(
            "no-such-name", f"'{text[:40]}' is not one of the words", ", ".join(self.words)
        )

    def keep(self, value: Any) -> Any:
        return value

    def again(self, kept: Any) -> str:
        return str(kept)


@dataclass(frozen=True, slots=True)
class AWords:
    """Some of a few words, with commas between them."""

    words: tuple[str, ...]

    def read(self, text: str, asked: Asked) -> list[str] | Problem:
        found = [Choice(self.words).read(w.strip(), asked) for w in text.split(",")]
        wrong = next((w for w in found if isinstance(w, Problem)), None)
        return wrong or [str(w) for w in dict.fromkeys(found)]

    def keep(self, value: list[str]) -> list[str]:
        return [word.replace("-", "_") for word in value]

    def again(self, kept: list[str]) -> str:
        return ",".join(word.replace("_", "-") for word in kept)


@dataclass(frozen=True, slots=True)
class ACount:
    """A whole number."""

    least: int = 0

    def read(self, text: str, asked: Asked) -> int | Problem:  # noqa: ARG002
        found = read_quantity(text, "count", zero_ok=True)
        if isinstance(found, Problem):
            return found
        number = int(found.value or 0)
        if number < self.least:
            return Problem("out-of-range", f"{number} is too few", f"{self.least} or more")
        return number

    def keep(self, value: Any) -> Any:
        return value

    def again(self, kept: Any) -> str:
        return str(kept)


class ATime:
    """A moment that has happened, in the room's time zone unless an offset is given."""

    def read(self, text: str, asked: Asked) -> datetime | Problem:
        now = asked.book.now
        moment = clock.read_time(text, asked.book.facts.zone, now=now)
        if isinstance(moment, datetime) and moment > now:
            shown = asked.book.facts.local(moment)
            return Problem("in-future", f"{shown} has not come yet", "write when it happened")
        return moment

    def keep(self, value: datetime) -> str:
        return clock.utc_text(value)

    def again(self, kept: str) -> str:
        return kept


@dataclass(frozen=True, slots=True)
class ADate:
    """A date; `past` ones may not lie ahead."""

    past: bool = False

    def read(self, text: str, asked: Asked) -> date | Problem:
        day = clock.read_date(text, now=asked.book.now)
        today = clock.local_date(asked.book.now, asked.book.facts.zone)
        if self.past and isinstance(day, date) and day > today:
            return Problem("in-future", f"{day} has not come yet", "write the day it happened")
        return day

    def keep(self, value: date) -> str:
        return value.isoformat()

    def again(self, kept: str) -> str:
        return kept


@dataclass(frozen=True, slots=True)
class AThing:
    """Something recorded before, by name or NAME#ENTRY, of one of these kinds."""

    kinds: tuple[str, ...]

    def read(self, text: str, asked: Asked) -> Thing | Problem:
        return asked.book.facts.find(text, self.kinds, asked.when)

    def keep(self, value: Thing) -> str:
        return value.name

    def again(self, kept: str) -> str:
        return kept


class AWater(AThing):
    """A vessel, a water system, or the tap, which is no thing of the room and has the id 0."""

    def read(self, text: str, asked: Asked) -> Thing | Problem:
        if text == TAP:
            return Thing(0, TAP, TAP, asked.when)
        return AThing.read(self, text, asked)


class ABox(AThing):
    """A box; a shipment with one box, or with none yet, may stand for it."""

    def read(self, text: str, asked: Asked) -> Thing | Problem:
        found = AThing.read(self, text, asked)
        if not isinstance(found, Shipment) or not found.boxes:
            return found
        if len(found.boxes) == 1:
            return asked.book.facts.things[found.boxes[0]]
        names = ", ".join(asked.book.facts.things[b].name for b in found.boxes)
        return Problem("no-such-name", f"'{found.name}' has several boxes", f"name one: {names}")


class ATreatment(Plain):
    """A treatment that has a protocol file."""

    def read(self, text: str, asked: Asked) -> str | Problem:
        from intake.flows.names import unknown

        known = asked.book.shelf.treatments
        return text if text in known else unknown(text, known, "a treatment with a protocol")


class AStrength:
    """A strength as it stands on the label; its reading waits for the treatment's forms."""

    def read(self, text: str, asked: Asked) -> str | Problem:  # noqa: ARG002
        return (
            text if text.strip() else Problem("not-a-number", "a strength is needed", "37 % w/w")
        )

    def keep(self, value: Any) -> Any:
        return value

    def again(self, kept: Any) -> str:
        return str(kept)
