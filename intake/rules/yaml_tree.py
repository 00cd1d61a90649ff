"""Text -> a tree that knows where everything stands; nothing is ever built from a tag or alias.

The scanner's events are read one by one and every limit is checked as they come, so that a file
meant to blow up is refused before it can. All scalars stay text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from intake.rules.plain_text import decode, find_forbidden
from intake.rules.scanner_words import plain_words
from intake.science.problem import Problem

DEPTH_MAX = 20
NODES_MAX = 20_000
"""Deepest nesting and most values in one file; a treatment needs 7 levels (common practice)."""

_HIDDEN = re.compile(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]")
"""Control codes but the line feed, marks that turn the writing around, halves of characters."""
NO_VALUE = ("", "~", "null", "Null", "NULL")
"""Unquoted text that YAML takes for nothing."""


@dataclass(frozen=True, slots=True)
class Scalar:
    """A value as written; `quoted` when it stood between quotes or in a block of lines."""

    text: str
    quoted: bool
    line: int
    column: int


@dataclass(slots=True)
class Sequence:
    """A list and where it starts."""

    line: int
    column: int
    items: list[Node] = field(default_factory=list)


@dataclass(slots=True)
class Mapping:
    """Keys with their values, each key with its own place."""

    line: int
    column: int
    keys: dict[str, Scalar] = field(default_factory=dict)
    values: dict[str, Node] = field(default_factory=dict)


Node = Scalar | Sequence | Mapping


class _Stop(Exception):
    """A problem after which the rest of the file makes no sense."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.text)
        self.problem = problem


def read_tree(content: bytes, path: str) -> tuple[Mapping | None, list[Problem]]:
    """The tree of one file and what is wrong with it; no tree where it cannot be read through."""
    text = decode(content, path)
    if isinstance(text, Problem):
        return None, [text]
    forbidden = find_forbidden(text, path)
    if forbidden:
        return None, forbidden
    return _Reader(text, path).tree()


class _Reader:
    def __init__(self, text: str, path: str) -> None:
        self.text = text
        self.path = path
        self.problems: list[Problem] = []
        self.nodes = 0
        self.events: Iterator[Event] = iter(())

    def tree(self) -> tuple[Mapping | None, list[Problem]]:
        self.events = YAML(typ="safe", pure=True).parse(self.text)
        try:
            top = self._document()
        except _Stop as stop:
            return None, [*self.problems, stop.problem]
        except MarkedYAMLError as error:
            return None, [*self.problems, plain_words(error, self.path)]
        except (YAMLError, ValueError, OverflowError):
            text, hint = "this is not YAML", "a backslash code between quotes is out of range"
            return None, [*self.problems, Problem("not-yaml", text, hint, self.path)]
        return top, self.problems

    def _document(self) -> Mapping | None:
        top: Node | None = None
        for event in self.events:
            if isinstance(event, DocumentStartEvent):
                self._check_document(event, top)
            elif isinstance(event, ScalarEvent | SequenceStartEvent | MappingStartEvent):
                top = self._node(event, 1)
            elif isinstance(event, AliasEvent):
                raise _Stop(self._refused(event, "an alias (*)"))
        if top is None or (isinstance(top, Scalar) and _is_nothing(top)):
            raise _Stop(Problem("no-value", "the file is empty", "", self.path))
        if not isinstance(top, Mapping):
            what = "a list" if isinstance(top, Sequence) else "a single value"
            hint = "write 'name: value' lines"
            raise _Stop(Problem("wrong-kind", f"the file is {what}", hint, self.path, top.line))
        return top

    def _check_document(self, event: DocumentStartEvent, top: Node | None) -> None:
        line, column = _place(event)
        if event.version is not None or event.tags:
            at = next(n for n, t in enumerate(self.text.splitlines(), 1) if t.startswith("%"))
            text = "a '%' line at the start is not read"
            raise _Stop(Problem("not-allowed", text, "delete this line", self.path, at, 1))
        if top is not None:
            text, hint = "a second document starts here", "one file holds one document"
            raise _Stop(Problem("not-allowed", text, hint, self.path, line, column))

    def _node(self, event: Event, depth: int) -> Node:
        line, column = _place(event)
        self.nodes += 1
        if self.nodes > NODES_MAX:
            text = f"more than {NODES_MAX} values in one file"
            raise _Stop(Problem("too-big", text, "", self.path, line, column))
        if depth > DEPTH_MAX:
            text = f"nested more than {DEPTH_MAX} deep"
            raise _Stop(Problem("too-big", text, "", self.path, line, column))
        if isinstance(event, AliasEvent):
            raise _Stop(self._refused(event, "an alias (*)"))
        if not isinstance(event, ScalarEvent | SequenceStartEvent | MappingStartEvent):
            raise _Stop(Problem("not-yaml", "a value is missing", "", self.path, line, column))
        if event.anchor is not None:
            raise _Stop(self._refused(event, "an anchor (&)"))
        if event.tag is not None:
            raise _Stop(self._refused(event, f"a tag ({event.tag})"))
        if isinstance(event, ScalarEvent):
            return self._scalar(event)
        if isinstance(event, SequenceStartEvent):
            return self._sequence(event, depth)
        return self._mapping(event, depth)

    def _scalar(self, event: ScalarEvent) -> Scalar:
        line, column = _place(event)
        plain = event.style is None
        if hidden := _HIDDEN.search(event.value):
            text = f"a hidden character, code {ord(hidden.group())}, in a value"
            hint = "write the words without backslash codes"
            raise _Stop(Problem("not-text", text, hint, self.path, line, column))
        return Scalar(event.value.rstrip("\n"), not plain, line, column)

    def _sequence(self, event: Event, depth: int) -> Sequence:
        found = Sequence(*_place(event))
        for inner in self.events:
            if isinstance(inner, SequenceEndEvent):
                break
            item = self._node(inner, depth + 1)
            if isinstance(item, Scalar) and _is_nothing(item):
                self._no_value("this item of the list", found.line, item)
            else:
                found.items.append(item)
        return found

    def _mapping(self, event: Event, depth: int) -> Mapping:
        found = Mapping(*_place(event))
        for inner in self.events:
            if isinstance(inner, MappingEndEvent):
                break
            key = self._node(inner, depth + 1)
            value = self._node(next(self.events), depth + 1)
            self._keep(found, key, value)
        return found

    def _keep(self, found: Mapping, key: Node, value: Node) -> None:
        place = (self.path, key.line, key.column)
        if not isinstance(key, Scalar) or (not key.text and not key.quoted):
            text = "a list or a block cannot be a name"
            raise _Stop(Problem("wrong-kind", text, "write 'name: value'", *place))
        if key.text == "<<" and not key.quoted:
            text = "'<<' (a merge) is not read"
            raise _Stop(Problem("not-allowed", text, "write the lines out", *place))
        if key.text in found.keys:
            first = found.keys[key.text].line
            text = f"'{key.text}' is written twice, on line {first} and line {key.line}"
            self.problems.append(Problem("key-twice", text, "keep one of them", *place))
            return
        if isinstance(value, Scalar) and _is_nothing(value):
            self._no_value(f"'{key.text}'", key.line, value, key)
            found.keys[key.text] = key
            return
        found.keys[key.text] = key
        found.values[key.text] = value

    def _no_value(self, what: str, line: int, value: Scalar, key: Scalar | None = None) -> None:
        at = value if value.text or key is None else key
        hint = "write a value, or delete the line"
        lines = self.text.splitlines()
        if not value.text and key is not None and "#" in lines[line - 1][key.column :]:
            hint = "everything after '#' is a remark"
        problem = Problem("no-value", f"{what} has no value", hint, self.path, at.line, at.column)
        self.problems.append(problem)

    def _refused(self, event: Event, what: str) -> Problem:
        hint = "write the value itself"
        return Problem("not-allowed", f"{what} is not read", hint, self.path, *_place(event))


def _place(event: Event) -> tuple[int, int]:
    return event.start_mark.line + 1, event.start_mark.column + 1


def _is_nothing(value: Scalar) -> bool:
    return not value.quoted and value.text in NO_VALUE
