"""What Protocols shows: the files, what is the keeper's own, and what a change would do."""

from __future__ import annotations

from dataclasses import dataclass

from intake.science.problem import Problem


@dataclass(frozen=True, slots=True)
class ProtocolLine:
    """One file."""

    id: str  # "treatments/salt"
    status: str  # "label" | "common practice" | "vet only" | "not advised" | ""
    in_use: str  # "2 courses", "no"
    own: str  # "yours since 12 Nov", ""
    problems: int
    path: str


@dataclass(frozen=True, slots=True)
class Effect:
    """One row of the sample tub before and after. `mark`: "" | care | stop."""

    label: str
    shipped: str
    yours: str
    said: str
    mark: str = ""


@dataclass(frozen=True, slots=True)
class ProtocolText:
    """One file opened: its text, its problems, what it does on a sample tub."""

    id: str
    path: str
    text: str
    shipped_text: str
    problems: tuple[Problem, ...]
    sample: str  # "praziquantel on a tub of 100 L, 19 C"
    effects: tuple[Effect, ...]
    limit_moved: bool  # a reason is asked when saving
    writable: bool
    because: str


@dataclass(frozen=True, slots=True)
class ProtocolsView:
    """All files. `files`, `problem_files`, `own_files` are the counts of the headline."""

    lines: tuple[ProtocolLine, ...]
    files: int
    problem_files: int
    own_files: int
    because: str
