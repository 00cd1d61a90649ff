"""pydantic's complaints, and the flaws of blocks, as problems at their line and column."""

from __future__ import annotations

import difflib
from collections.abc import Sequence as Items
from typing import TypeVar, Union, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from intake.rules.fields import Flaw, dashed, written
from intake.rules.yaml_tree import Mapping, Node, Scalar, Sequence
from intake.science.problem import Problem

Where = Items[str | int]
M = TypeVar("M", bound=BaseModel)
Data = Union[str, list["Data"], dict[str, "Data"]]  # noqa: UP007 (a recursive alias)

_MISSING = {
    "hard-limits": ("hard-limit-missing", "there is no hard limit, so it cannot be dosed"),
    "source": ("source-missing", "nothing says where this comes from"),
    "mark": ("source-missing", "nothing says how far the source can be trusted"),
    "version": ("missing-key", "the file has no version"),
}
_MISSING_HINTS = {
    "mark": "add 'mark: published', 'mark: common practice' or 'mark: from memory'",
    "source": "add a line 'source: ...'",
}


def as_data(node: Node) -> Data:
    """The tree as plain dicts, lists and texts, for a model to check."""
    if isinstance(node, Scalar):
        return written(node.text, node.quoted)
    if isinstance(node, Sequence):
        return [as_data(item) for item in node.items]
    return {key: as_data(value) for key, value in node.values.items()}


def place(tree: Node, where: Where, at_key: bool = False) -> tuple[int, int]:
    """Line and column of the value (or its key) as far down as the file goes."""
    node: Node = tree
    for n, step in enumerate(where):
        below: Node | None = None
        if isinstance(node, Mapping):
            below = node.values.get(str(step))
            key = node.keys.get(str(step))
            if key is not None and (below is None or (at_key and n == len(where) - 1)):
                return key.line, key.column
        elif isinstance(node, Sequence) and isinstance(step, int) and step < len(node.items):
            below = node.items[step]
        if below is None:
            break
        node = below
    return node.line, node.column


def check_model(model: type[M], tree: Mapping, path: str) -> tuple[M | None, list[Problem]]:
    """The checked model of a file, or every mistake in it.

    Unknown keys are told and then left out, so that they do not hide what else is wrong.
    """
    data = as_data(tree)
    problems: list[Problem] = []
    try:
        return model.model_validate(data), []
    except ValidationError as error:
        details = error.errors(include_url=False)
    unknown = [d for d in details if d["type"] == "extra_forbidden"]
    if unknown:
        problems += [_unknown_key(model, tree, d["loc"], path) for d in unknown]
        for detail in unknown:
            _delete(data, detail["loc"])
        try:
            model.model_validate(data)
            details = []
        except ValidationError as error:
            details = error.errors(include_url=False)
    for detail in details:
        problems += _explain(tree, detail, path)
    return None, sorted(set(problems), key=lambda p: (p.line, p.column, p.code, p.text))


def flaw_problem(tree: Node, base: Where, flaw: Flaw, path: str) -> Problem:
    """A flaw of a block at its place in the file."""
    where = (*base, *(dashed(w) if isinstance(w, str) else w for w in flaw.where))
    line, column = place(tree, where, flaw.at_key)
    at = _node_at(tree, where)
    if isinstance(at, Scalar) and not at.quoted:
        column += flaw.offset
    return Problem(flaw.code, flaw.text, flaw.hint, path, line, column)


def _explain(tree: Node, detail: ErrorDetails, path: str) -> list[Problem]:
    where = detail["loc"]
    if detail["type"] == "flaws":
        return [flaw_problem(tree, where, f, path) for f in detail["ctx"]["flaws"]]
    if detail["type"] == "missing":
        return _missing(tree, where, path)
    code, text, hint = _words(detail)
    return [Problem(code, text, hint, path, *place(tree, where))]


def _missing(tree: Node, where: Where, path: str) -> list[Problem]:
    block = _node_at(tree, where[:-1])
    if isinstance(block, Mapping) and str(where[-1]) in block.keys:
        return []
    name = str(where[-1])
    code, text = _MISSING.get(name, ("missing-key", f"'{name}' is missing"))
    hint = _MISSING_HINTS.get(name, f"add a line '{name}: ...'")
    return [Problem(code, text, hint, path, *place(tree, where[:-1], at_key=True))]


def _words(detail: ErrorDetails) -> tuple[str, str, str]:
    kind, given, context = detail["type"], detail["input"], detail.get("ctx", {})
    if kind == "literal_error":
        return _not_one_of(str(given), str(context["expected"]))
    if kind == "string_pattern_mismatch":
        if isinstance(given, str) and detail["loc"][-1] == "version":
            return "wrong-kind", f"'{given}' is not a version", "write it like 1 or 1.2"
        hint = "small letters, digits and single dashes, as in long-bath"
        return "wrong-kind", f"'{given}' cannot be a name here", hint
    if kind == "string_too_long":
        return "too-big", f"more than {context['max_length']} characters", "say it shorter"
    if kind == "string_too_short":
        return "no-value", "the quotes are empty", "write a value, or delete the line"
    if kind == "too_short":
        few = "one item" if context["min_length"] == 1 else f"{context['min_length']} items"
        return "missing-key", f"at least {few} must be in this list", ""
    if kind == "too_long":
        return "too-big", f"at most {context['max_length']} items may be in this list", ""
    wanted = {
        "string_type": "a single value",
        "list_type": "a list, each item on a line beginning with '- '",
        "dict_type": "a block of 'name: value' lines",
        "model_type": "a block of 'name: value' lines",
        "model_attributes_type": "a block of 'name: value' lines",
    }.get(kind, "something else")
    return "wrong-kind", f"{wanted} is meant here", ""


def _not_one_of(given: str, expected: str) -> tuple[str, str, str]:
    choices = [c.strip(" '") for c in expected.replace(" or ", ", ").split(",")]
    near = difflib.get_close_matches(given, choices, 1, 0.6)
    hint = f"did you mean '{near[0]}'?" if near else "one of " + ", ".join(choices)
    return "no-such-name", f"'{given}' is not known here", hint


def _unknown_key(model: type[BaseModel], tree: Node, where: Where, path: str) -> Problem:
    name = str(where[-1])
    owner = _model_at(model, where[:-1])
    keys = [dashed(field) for field in owner.model_fields] if owner else []
    near = difflib.get_close_matches(name, keys, 1, 0.5)
    known = ", ".join(keys)
    hint = f"did you mean '{near[0]}'?" if near else f"known here: {known}"
    line, column = place(tree, where, at_key=True)
    return Problem("unknown-key", f"'{name}' is not known here", hint, path, line, column)


def _model_at(model: type[BaseModel], where: Where) -> type[BaseModel] | None:
    current: type[BaseModel] | None = model
    for step in where:
        if isinstance(step, int):
            continue
        field = current.model_fields.get(step.replace("-", "_")) if current is not None else None
        current = None if field is None else _model_in(field.annotation)
    return current


def _model_in(annotation: object) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    found = (_model_in(inner) for inner in get_args(annotation))
    return next((m for m in found if m is not None), None)


def _node_at(tree: Node, where: Where) -> Node | None:
    node: Node | None = tree
    for step in where:
        if isinstance(node, Mapping):
            node = node.values.get(str(step))
        elif isinstance(node, Sequence) and isinstance(step, int) and step < len(node.items):
            node = node.items[step]
        else:
            return None
    return node


def _delete(data: Data, where: Where) -> None:
    for step in where[:-1]:
        if isinstance(data, dict):
            data = data[str(step)]
        elif isinstance(data, list) and isinstance(step, int):
            data = data[step]
    if isinstance(data, dict):
        data.pop(str(where[-1]), None)
