"""Shipped treatments known by their fingerprint: checked when shipped, read when asked for.

A room asks for few of them, and reading all of them would make every command wait. A file that
is not exactly the shipped one is read and checked at once, like any other.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from intake.rules.one_file import parse_path
from intake.rules.protocol_file import read_file
from intake.science.problem import Problem, Unreadable
from intake.science.treatment import Treatment

KNOWN = "known.json"
"""The fingerprints, in the folder of protocols."""
FOLDER = "treatments"


@dataclass(frozen=True, slots=True)
class Later:
    """A treatment file that is read when it is asked for, and its SHA-256."""

    path: Path
    sha256: str


class Treatments(Mapping[str, Treatment]):
    """Treatments by id; those that are for later are read the first time."""

    def __init__(self, found: Mapping[str, Treatment | Later]) -> None:
        self._found = dict(found)

    def __getitem__(self, id_: str) -> Treatment:
        found = self._found[id_]
        if isinstance(found, Later):
            found = self._found[id_] = _read(found)
        return found

    def __contains__(self, id_: object) -> bool:
        return id_ in self._found

    def __iter__(self) -> Iterator[str]:
        return iter(self._found)

    def __len__(self) -> int:
        return len(self._found)


def _read(later: Later) -> Treatment:
    """The treatment of a known file.

    Raises
    ------
    Unreadable
        It is not the file any more that was known.
    """
    parsed = parse_path(later.path, "treatment")
    if isinstance(parsed.content, Treatment) and parsed.content.sha256 == later.sha256:
        return parsed.content
    text = "the file was changed while the program ran"
    changed = Problem("not-a-file", text, "start again", str(later.path))
    raise Unreadable(*(parsed.problems or (changed,)))


def known(folder: Path) -> Mapping[str, str]:
    """The fingerprints of a folder's treatments by id; none where the list cannot be read."""
    try:
        read = json.loads((folder / KNOWN).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return read if isinstance(read, dict) else {}


def later(path: Path, prints: Mapping[str, str]) -> Later | None:
    """The file as one for later, where it is exactly the known one."""
    expected = prints.get(path.stem)
    if expected is None:
        return None
    read = read_file(path)
    if isinstance(read, Problem) or read.sha256 != expected:
        return None
    return Later(path, expected)


def write_known(folder: Path) -> None:
    """Writes the list of a folder of protocols anew."""
    (folder / KNOWN).write_text(fingerprints(folder), encoding="utf-8")


def fingerprints(folder: Path) -> str:
    """The text of the list for a folder of protocols."""
    prints = {}
    for path in sorted((folder / FOLDER).glob("*.yaml")):
        read = read_file(path)
        if not isinstance(read, Problem):
            prints[path.stem] = read.sha256
    return json.dumps(prints, indent=2, sort_keys=True) + "\n"
