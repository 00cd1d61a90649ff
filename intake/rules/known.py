"""Shipped treatments and plans known by their fingerprint: checked when shipped, read when asked.

A room asks for few of them, and reading all of them would make every command wait. A file that
is not exactly the shipped one is read and checked at once, like any other.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Generic, TypeVar

from intake.rules.one_file import parse_path
from intake.rules.protocol_file import read_file
from intake.science.plan import Plan
from intake.science.problem import Problem, Unreadable
from intake.science.treatment import Treatment

KNOWN = "known.json"
"""The fingerprints, in the folder of protocols."""
FOLDERS = {"treatment": "treatments", "plan": "plans"}
"""The folder of each kind of file that can wait."""
T = TypeVar("T", bound=Treatment | Plan)


@dataclass(frozen=True, slots=True)
class Later:
    """A file of one kind that is read when it is asked for, and its SHA-256."""

    path: Path
    kind: str
    sha256: str


class WhenAsked(Mapping[str, T], Generic[T]):
    """Treatments or plans by id; those that are for later are read the first time."""

    def __init__(self, kind: type[T], found: Mapping[str, T | Later]) -> None:
        self._kind = kind
        self._found = dict(found)

    def __getitem__(self, id_: str) -> T:
        found = self._found[id_]
        if isinstance(found, Later):
            found = self._found[id_] = _read(found, self._kind)
        return found

    def __contains__(self, id_: object) -> bool:
        return id_ in self._found

    def __iter__(self) -> Iterator[str]:
        return iter(self._found)

    def __len__(self) -> int:
        return len(self._found)


def _read(later: Later, kind: type[T]) -> T:
    """What a known file says.

    Raises
    ------
    Unreadable
        It is not the file any more that was known.
    """
    parsed = parse_path(later.path, later.kind)
    if isinstance(parsed.content, kind) and parsed.content.sha256 == later.sha256:
        return parsed.content
    text = "the file was changed while the program ran"
    changed = Problem("not-a-file", text, "start again", str(later.path))
    raise Unreadable(*(parsed.problems or (changed,)))


def known(folder: Path) -> Mapping[str, str]:
    """The fingerprints of a folder's files, by folder and name; none where it cannot be read."""
    try:
        read = json.loads((folder / KNOWN).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return read if isinstance(read, dict) else {}


def later(path: Path, kind: str, prints: Mapping[str, str]) -> Later | None:
    """The file as one for later, where it is exactly the known one."""
    expected = prints.get(f"{FOLDERS[kind]}/{path.stem}")
    if expected is None:
        return None
    read = read_file(path)
    if isinstance(read, Problem) or read.sha256 != expected:
        return None
    return Later(path, kind, expected)


def write_known(folder: Path) -> None:
    """Writes the list of a folder of protocols anew."""
    (folder / KNOWN).write_text(fingerprints(folder), encoding="utf-8")


def fingerprints(folder: Path) -> str:
    """The text of the list for a folder of protocols."""
    prints = {}
    for within in FOLDERS.values():
        for path in (folder / within).glob("*.yaml"):
            read = read_file(path)
            if not isinstance(read, Problem):
                prints[f"{within}/{path.stem}"] = read.sha256
    return json.dumps(prints, indent=2, sort_keys=True) + "\n"
