"""One protocol file, read and checked whole."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from intake.rules.explain import check_model, place
from intake.rules.fields import Block
from intake.rules.folder import kind_by_content, kind_of
from intake.rules.never_mix_file import NeverMixFile
from intake.rules.parasite_file import ParasiteFile
from intake.rules.plain_text import decode
from intake.rules.plan_file import PlanFile
from intake.rules.protocol_file import FileBytes, read_file
from intake.rules.rescue_file import RescueFile
from intake.rules.sign_file import SignFile
from intake.rules.treatment_file import TreatmentFile
from intake.rules.water_file import WaterFile
from intake.rules.yaml_tree import Mapping, Node, Scalar, Sequence, read_tree
from intake.science.parasite import Parasite
from intake.science.plan import Plan
from intake.science.problem import Problem
from intake.science.rescue import Rescue
from intake.science.signs import Sign
from intake.science.targets import WaterTargets
from intake.science.treatment import NeverMix, Treatment

Content = (
    Treatment
    | Plan
    | tuple[Sign, ...]
    | WaterTargets
    | tuple[NeverMix, ...]
    | tuple[Parasite, ...]
    | Rescue
)


_MODELS: dict[str, type[Block]] = {
    "treatment": TreatmentFile,
    "plan": PlanFile,
    "rescue": RescueFile,
    "signs": SignFile,
    "water": WaterFile,
    "never-mix": NeverMixFile,
    "parasites": ParasiteFile,
}


@dataclass(frozen=True, slots=True)
class Mention:
    """A treatment named in a file that does not describe it, and where."""

    name: str
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Parsed:
    """What one file says: its kind, the id it claims, its content when it has no problems."""

    path: str
    kind: str
    id: str
    content: Content | None
    problems: tuple[Problem, ...]
    mentions: tuple[Mention, ...] = ()


def parse_path(path: Path, kind: str = "") -> Parsed:
    """The file at a path, as `kind` or as what its place, name or content makes it."""
    read = read_file(path)
    kind = kind or kind_of(path)
    if isinstance(read, Problem):
        return Parsed(str(path), kind, path.stem, None, (read,))
    return parse_bytes(read, kind, path.stem)


def parse_bytes(read: FileBytes, kind: str, stem: str) -> Parsed:
    """The content of a file; `stem` is its name without ending, which its id has to equal."""
    tree, problems = read_tree(read.content, read.path)
    if tree is None:
        return Parsed(read.path, kind, stem, None, tuple(problems))
    kind = kind or kind_by_content(tree)
    if kind == "text-only":
        return Parsed(read.path, kind, stem, None, tuple(problems))
    if not kind:
        text, hint = "this is no kind of protocol known here", "is it in the right folder?"
        problems.append(Problem("no-such-name", text, hint, read.path))
        return Parsed(read.path, kind, stem, None, tuple(problems))
    content, found = _content(read, kind, tree)
    problems += found
    id, mismatch = _claimed_id(tree, kind, stem, read.path)
    problems += mismatch
    problems.sort(key=lambda p: (p.line, p.column))
    kept = None if problems else content
    return Parsed(read.path, kind, id, kept, tuple(problems), _mentions(kind, tree))


def parse_plan(text: str, path: str) -> Plan | list[Problem]:
    """The plan a text says, or everything wrong with it; the id may differ from the file's name.

    Plans kept with a started quarantine are read through here as well.
    """
    content = text.encode("utf-8", "surrogatepass")
    read = FileBytes(path, content, hashlib.sha256(content).hexdigest())
    tree, problems = read_tree(content, path)
    if tree is None:
        return problems
    plan, found = _content(read, "plan", tree)
    if isinstance(plan, Plan) and not problems:
        return plan
    return sorted([*problems, *found], key=lambda p: (p.line, p.column))


def _content(read: FileBytes, kind: str, tree: Mapping) -> tuple[Content | None, list[Problem]]:
    model, problems = check_model(_MODELS[kind], tree, read.path)
    if isinstance(model, TreatmentFile):
        return model.treatment(read.path, read.sha256), problems
    if isinstance(model, PlanFile):
        text = decode(read.content, read.path)
        kept = text if isinstance(text, str) else ""
        return model.plan(kept, read.path, read.sha256), problems
    if isinstance(model, RescueFile):
        return model.rescue(read.path, read.sha256), problems
    if isinstance(model, SignFile):
        return tuple(s.sign() for s in model.signs), problems
    if isinstance(model, WaterFile):
        return model.water(read.path, read.sha256), problems
    if isinstance(model, ParasiteFile):
        return tuple(p.parasite() for p in model.parasites), problems
    if isinstance(model, NeverMixFile):
        return tuple(p.shape() for p in model.pairs), problems
    return None, problems


def _mentions(kind: str, tree: Mapping) -> tuple[Mention, ...]:
    names = _paired(tree) if kind == "never-mix" else _offered(tree) if kind == "plan" else ()
    return tuple(Mention(n.text, n.line, n.column) for n in names if isinstance(n, Scalar))


def _paired(tree: Mapping) -> Iterator[Node]:
    for pair in _blocks(tree, "pairs"):
        both = pair.values.get("pair")
        yield from both.items if isinstance(both, Sequence) else ()


def _offered(tree: Mapping) -> Iterator[Node]:
    for offer in _blocks(tree, "preventive"):
        if "treatment" in offer.values:
            yield offer.values["treatment"]


def _blocks(tree: Mapping, key: str) -> Iterator[Mapping]:
    listed = tree.values.get(key)
    for block in listed.items if isinstance(listed, Sequence) else ():
        if isinstance(block, Mapping):
            yield block


def _claimed_id(tree: Mapping, kind: str, stem: str, path: str) -> tuple[str, list[Problem]]:
    if kind not in ("treatment", "plan", "rescue"):
        return kind, []
    written = tree.values.get("id")
    if not isinstance(written, Scalar) or written.text == stem:
        return stem, []
    text = f"the id '{written.text}' is not the name of the file"
    hint = f"write 'id: {stem}' or name the file {written.text}.yaml"
    return written.text, [Problem("wrong-kind", text, hint, path, *place(tree, ("id",)))]


def named_twice(parsed: Parsed, other: Parsed) -> Parsed:
    """A file refused because another one of its folder has the same id."""
    text = f"'{parsed.id}' is described in two files, {parsed.path} and {other.path}"
    problem = Problem("name-taken", text, "keep one of them", parsed.path)
    return replace(parsed, content=None, problems=(*parsed.problems, problem))
