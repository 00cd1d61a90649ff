"""The shape of a form and of one being filled in."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from intake.flows.desk import Book
from intake.flows.facts.things import Thing
from intake.flows.forms.readers import Reader
from intake.flows.notes import Notes
from intake.science.problem import Problem, Unreadable


@dataclass(frozen=True, slots=True)
class Field:
    """One thing a form asks for; `name` is the option without its dashes.

    A `flag` takes no value; a field with `many` may be given again and again. `unsaid` is what
    is meant, and kept, where nothing is given.
    """

    name: str
    read: Reader
    help: str = ""
    positional: bool = False
    required: bool = False
    many: bool = False
    flag: bool = False
    unsaid: str = ""

    @property
    def key(self) -> str:
        """The name the journal keeps it under."""
        return self.name.replace("-", "_")

    @property
    def option(self) -> str:
        """Where a problem with it is shown on the command line."""
        return self.name.upper() if self.positional else f"--{self.name}"


@dataclass(slots=True)
class Filling:
    """A form being filled in: what was read, and what the job adds before it is written."""

    book: Book
    when: datetime
    why: str | None
    values: dict[str, Any]
    typed: Mapping[str, Any]
    entry: int | None = None  # the entry being corrected, None for a new one
    notes: Notes = field(default_factory=Notes)
    extra: dict[str, Any] = field(default_factory=dict)
    answer: dict[str, Any] = field(default_factory=dict)
    refs: dict[str, Any] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    def get(self, name: str) -> Any:
        """The value of a field, None where it was not given."""
        return self.values.get(name)

    def thing(self, name: str) -> Thing:
        """The value of a required field that names a thing."""
        found = self.values[name]
        assert isinstance(found, Thing)
        return found

    def fault(self, code: str, option: str, text: str, hint: str = "") -> None:
        """Adds a problem at an option; all are told together by `stop_if_faulty`."""
        self.problems.append(Problem(code, text, hint, path=option))

    def stop_if_faulty(self) -> None:
        """Raises Unreadable where problems were added."""
        if self.problems:
            raise Unreadable(*self.problems)


@dataclass(frozen=True, slots=True)
class Form:
    """What one kind of entry asks for and the job that completes it.

    `needs_why` makes --why required; `protocols` are read before the room is locked, so that
    another program waits no longer than it has to. `happened` is the field that says when it
    was, in place of --when. What is `imported` comes from a file, never typed.
    `build` may refuse, add problems, extra content and answers; it never writes anything itself
    except entries that this one depends on.
    """

    kind: str
    help: str
    fields: tuple[Field, ...]
    build: Callable[[Filling], None]
    version: int = 1
    needs_why: bool = False
    protocols: bool = False
    happened: str = ""
    imported: bool = False

    def field(self, name: str) -> Field | None:
        """The field of that option name."""
        return next((f for f in self.fields if f.name == name), None)

    @property
    def positionals(self) -> tuple[Field, ...]:
        """The fields given by place, in order."""
        return tuple(f for f in self.fields if f.positional)

    def correcting_name(self, field_: Field) -> str:
        """What a field is called when an entry is corrected: the first positional is --subject."""
        first = self.positionals[:1]
        return "subject" if first and field_ is first[0] else field_.name
