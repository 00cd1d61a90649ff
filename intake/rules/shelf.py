"""The shelf: all that the protocol files of some folders say, later folders over earlier ones."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from intake.rules.folder import find_files
from intake.rules.known import FOLDERS, Later, WhenAsked, known, later
from intake.rules.names import unknown_names
from intake.rules.one_file import Parsed, named_twice, parse_path, parse_plan
from intake.science.parasite import Parasite
from intake.science.plan import Plan
from intake.science.problem import Problem
from intake.science.rescue import Rescue
from intake.science.signs import Sign
from intake.science.targets import WaterTargets
from intake.science.treatment import NeverMix, Treatment

__all__ = ["Shelf", "check", "load_shelf", "parse_plan"]


@dataclass(frozen=True, slots=True)
class Shelf:
    """Everything that can be looked up by id: what is not here cannot be dosed or started."""

    treatments: Mapping[str, Treatment] = field(default_factory=dict)
    plans: Mapping[str, Plan] = field(default_factory=dict)
    signs: Mapping[str, Sign] = field(default_factory=dict)
    water: WaterTargets = field(default_factory=WaterTargets)
    never_mix: tuple[NeverMix, ...] = ()
    rescues: Mapping[str, Rescue] = field(default_factory=dict)
    parasites: Mapping[str, Parasite] = field(default_factory=dict)


@dataclass(slots=True)
class _Gathering:
    """What has been read so far; a later file takes the place of an earlier one."""

    treatments: dict[str, Treatment | Later] = field(default_factory=dict)
    plans: dict[str, Plan | Later] = field(default_factory=dict)
    signs: dict[str, Sign] = field(default_factory=dict)
    water: WaterTargets = field(default_factory=WaterTargets)
    never_mix: dict[frozenset[str], NeverMix] = field(default_factory=dict)
    rescues: dict[str, Rescue] = field(default_factory=dict)
    parasites: dict[str, Parasite] = field(default_factory=dict)

    def take(self, parsed: Parsed) -> None:
        """Add a file. One with problems takes away what it was meant to replace: a limit somebody
        wrote down and mistyped must not silently become the looser one it stood in for.
        """
        content = parsed.content
        if content is None:
            if parsed.kind == "treatment":
                self.treatments.pop(parsed.id, None)
            elif parsed.kind == "plan":
                self.plans.pop(parsed.id, None)
            elif parsed.kind == "rescue":
                self.rescues.pop(parsed.id, None)
        elif isinstance(content, Treatment):
            self.treatments[content.id] = content
        elif isinstance(content, Plan):
            self.plans[content.id] = content
        elif isinstance(content, Rescue):
            self.rescues[content.id] = content
        elif isinstance(content, WaterTargets):
            self.water = content
        else:
            for each in content:
                if isinstance(each, Sign):
                    self.signs[each.id] = each
                elif isinstance(each, Parasite):
                    self.parasites[each.id] = each
                else:
                    self.never_mix[frozenset((each.first, each.second))] = each

    def put_off(self, waits: Later) -> None:
        """Add a file that is read when it is asked for."""
        if waits.kind == "plan":
            self.plans[waits.path.stem] = waits
        else:
            self.treatments[waits.path.stem] = waits

    def shelf(self) -> Shelf:
        return Shelf(
            treatments=WhenAsked(Treatment, self.treatments),
            plans=WhenAsked(Plan, self.plans),
            signs=self.signs,
            water=self.water,
            never_mix=tuple(self.never_mix.values()),
            rescues=self.rescues,
            parasites=self.parasites,
        )


def load_shelf(folders: Sequence[Path]) -> tuple[Shelf, list[Problem]]:
    """The shelf of these folders and every problem in them.

    Parameters
    ----------
    folders
        The shipped folder first, then the keeper's own; the first has to exist, the others may.

    Returns
    -------
    tuple
        The shelf holds only files without problems. A file with problems also takes what it was
        meant to replace off the shelf.
    """
    gathering = _Gathering()
    problems: list[Problem] = []
    read: list[Parsed] = []
    for n, folder in enumerate(folders):
        if n > 0 and not folder.exists():
            continue
        files, trouble, waiting = _read_shipped(folder) if n == 0 else (*_read_folder(folder), [])
        for waits in waiting:
            gathering.put_off(waits)
        problems += trouble
        read += files
        for parsed in files:
            gathering.take(parsed)
            problems += parsed.problems
    named = unknown_names(read, tuple(gathering.treatments))
    return gathering.shelf(), _sorted([*problems, *named])


def check(paths: Sequence[Path]) -> list[Problem]:
    """Every problem in these files and folders, sorted by file and place."""
    problems: list[Problem] = []
    read: list[Parsed] = []
    for path in paths:
        if path.is_dir():
            files, trouble = _read_folder(path)
            problems += trouble
            read += files
        else:
            read.append(parse_path(path))
    problems += [problem for parsed in read for problem in parsed.problems]
    return _sorted([*problems, *unknown_names(read)])


def _read_folder(folder: Path) -> tuple[list[Parsed], list[Problem]]:
    found, problems = find_files(folder)
    files = [parse_path(f.path, f.kind) for f in found]
    return _without_twins(files), problems


def _read_shipped(folder: Path) -> tuple[list[Parsed], list[Problem], list[Later]]:
    """As `_read_folder`, without the treatments and plans that are known; those are for later."""
    found, problems = find_files(folder)
    prints = known(folder)
    names = Counter((f.kind, f.path.stem) for f in found)
    waiting = [
        as_known
        for f in found
        if f.kind in FOLDERS and names[f.kind, f.path.stem] == 1
        and (as_known := later(f.path, f.kind, prints)) is not None
    ]  # fmt: skip
    put_off = {waits.path for waits in waiting}
    files = [parse_path(f.path, f.kind) for f in found if f.path not in put_off]
    return _without_twins(files), problems, waiting


def _without_twins(files: list[Parsed]) -> list[Parsed]:
    kept: list[Parsed] = []
    for n, parsed in enumerate(files):
        others = files[:n] + files[n + 1 :]
        same = (o for o in others if (o.kind, o.id) == (parsed.kind, parsed.id) and o.kind)
        twin = next((o for o in same if o.kind != "text-only"), None)
        kept.append(parsed if twin is None else named_twice(parsed, twin))
    return kept


def _sorted(problems: list[Problem]) -> list[Problem]:
    return sorted(set(problems), key=lambda p: (p.path, p.line, p.column, p.code, p.text))
