"""Which files of a folder are protocols, and of what kind."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from intake.rules.yaml_tree import Mapping
from intake.science.problem import Problem

FOLDERS = {"treatments": "treatment", "plans": "plan", "rescues": "rescue"}
FILES = {
    "signs": "signs",
    "water": "water",
    "never-mix": "never-mix",
    "parasites": "parasites",
}
"""Folders and files whose kind is known by their name."""

SKIPPED_FOLDERS = ("schema",)
"""Folders that stand beside protocols and hold none."""

TEXT_ONLY = ("escalation", "upkeep", "disinfection")
"""Protocols read for their words alone: their text is checked, nothing is computed from it."""

ENDINGS = (".yaml", ".yml")
FILES_MAX = 500
"""Most files read from one folder (common practice: the shipped folder has under 100)."""

_BY_KEY = (
    ("courses", "treatment"),
    ("restarts", "plan"),
    ("signs", "signs"),
    ("thresholds", "water"),
    ("pairs", "never-mix"),
    ("parasites", "parasites"),
    ("then-record", "rescue"),
)


@dataclass(frozen=True, slots=True)
class Found:
    """A protocol file and its kind; "" where only its content can tell."""

    path: Path
    kind: str


def find_files(folder: Path) -> tuple[list[Found], list[Problem]]:
    """The protocol files of a folder in the order of their names, and what cannot be one."""
    found: list[Found] = []
    problems: list[Problem] = []
    try:
        entries = sorted(os.scandir(folder), key=lambda e: e.name)
    except OSError as error:
        what = f"the folder cannot be read: {error.strerror}"
        return [], [Problem("not-a-file", what, path=str(folder))]
    for entry in entries:
        path = Path(entry.path)
        if entry.name.startswith("."):
            continue
        if entry.is_symlink() and path.suffix not in ENDINGS:
            text, hint = "this is a link", "only real files and folders are read"
            problems.append(Problem("not-a-file", text, hint, str(path)))
        elif not entry.is_dir(follow_symlinks=False):
            if path.suffix in ENDINGS:
                found.append(Found(path, kind_of(path)))
        elif entry.name in FOLDERS or entry.name in TEXT_ONLY:
            inside, trouble = _inside(path)
            found += inside
            problems += trouble
        elif entry.name not in SKIPPED_FOLDERS:
            hint = "treatments, plans and rescues are the folders read"
            problems.append(Problem("no-such-name", "not a folder of protocols", hint, str(path)))
    if len(found) > FILES_MAX:
        text = f"{len(found)} files; at most {FILES_MAX} are read"
        return [], [Problem("too-big", text, path=str(folder))]
    return found, problems


def _inside(folder: Path) -> tuple[list[Found], list[Problem]]:
    try:
        entries = sorted(os.scandir(folder), key=lambda e: e.name)
    except OSError as error:
        what = f"the folder cannot be read: {error.strerror}"
        return [], [Problem("not-a-file", what, path=str(folder))]
    paths = [Path(e.path) for e in entries if not e.name.startswith(".")]
    return [Found(p, kind_of(p)) for p in paths if p.suffix in ENDINGS], []


def kind_of(path: Path) -> str:
    """The kind a file has by where it stands or how it is named; "" where that does not tell."""
    if path.parent.name in FOLDERS:
        return FOLDERS[path.parent.name]
    if path.parent.name in TEXT_ONLY or path.stem in TEXT_ONLY:
        return "text-only"
    return FILES.get(path.stem, "")


def kind_by_content(tree: Mapping) -> str:
    """The kind a file has by its keys; "" where none is telling."""
    return next((kind for key, kind in _BY_KEY if key in tree.keys), "")
