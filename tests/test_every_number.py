"""Every number of every shipped protocol file says where it comes from, figures and prose."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from intake.paths import shipped_protocols
from intake.rules.whence import NO_FIGURE, CitedFigure, figures_in, figures_of
from intake.rules.yaml_tree import Mapping, Node, Scalar, read_tree
from intake.science.course_parts import MARKS
from tests.cli.ask import ask, run
from tests.test_sources import MARKED, YEAR, names

SHIPPED = shipped_protocols()
FILES = sorted(SHIPPED.rglob("*.yaml"))
IDS = [str(f.relative_to(SHIPPED)) for f in FILES]
UNITS = (
    r"%|°?[CF]|[gmun]?g/L|uL/L|mL/L|mL|L|mg|g|kg|cm|mm|m|h|min|s|d|hours?|minutes?|days?|weeks?"
    r"|months?|dKH|dGH|ppm|drops?|times|fold|feet|in"
)
QUANTITY = re.compile(
    rf"(?<![\w.:/-])\d[\d.,]*(?:(?: to | or |-)\d[\d.,]*)? ?(?:{UNITS})(?![\w/])"
)
"""A number with its unit in the middle of words."""
NUMBER = re.compile(r"\d+(?:\.\d+)?")
REASONS = (
    "common practice", "from memory", "label", "worked out", "trader", "hobby page", "koi author",
    "printed", "in print", "merck",
)  # fmt: skip
"""Words by which a sentence says where its numbers are from; `disagree` names the trade so."""


def tree_of(path: Path) -> Mapping:
    tree, problems = read_tree(path.read_bytes(), str(path))
    assert tree is not None, problems
    return tree


# Figures


def loaded_figures(node: object, key: str = "") -> Iterator[object]:
    """What another reader of YAML takes for a number, or for a text that begins with one."""
    if isinstance(node, dict):
        for name, inner in node.items():
            if name not in NO_FIGURE:
                yield from loaded_figures(inner, str(name))
    elif isinstance(node, list):
        for inner in node:
            yield from loaded_figures(inner, key)
    elif re.match(r"[-+<>~]?\.?\d", str(node)):
        yield node


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_every_figure_has_a_source_and_a_mark(path: Path) -> None:
    figures = [f for f in figures_in([path]) if not says_why(f.text)]  # prose is held below
    bare = [f"{f.line}: {f.name} {f.text}" for f in figures if not f.source or f.mark not in MARKS]
    assert bare == [], "these figures have no source and mark in their block or around it"


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_no_figure_is_walked_past(path: Path) -> None:
    """As many as another reader of YAML finds; long texts that begin with a number are prose."""
    loaded = list(loaded_figures(YAML(typ="safe").load(path.read_text("utf-8"))))
    short = [v for v in loaded if len(str(v).split()) <= 7]
    found = [f for f in figures_of(tree_of(path), str(path)) if re.match(r"[-+<>~]?\.?\d", f.text)]
    assert len(found) >= len(short)
    assert {str(v) for v in short if isinstance(v, str)} <= {f.text for f in found}


def test_there_are_figures_in_every_treatment_and_hundreds_in_all() -> None:
    found = figures_in([SHIPPED])
    assert len(found) > 300
    for path in (SHIPPED / "treatments").glob("*.yaml"):
        without = "courses: []" in path.read_text("utf-8")  # what only a vet gives has none
        assert without or any(f.path == str(path) for f in found), path


SALT = (SHIPPED / "treatments" / "salt.yaml").read_text("utf-8")


def cited_blocks(node: Node) -> Iterator[Mapping]:
    """Every block with a source and mark of its own."""
    if isinstance(node, Mapping):
        if {"source", "mark"} <= set(node.values):
            yield node
        for inner in node.values.values():
            yield from cited_blocks(inner)
    elif not isinstance(node, Scalar):
        for inner in node.items:
            yield from cited_blocks(inner)


@pytest.mark.parametrize("gone", ["source", "mark"])
def test_a_figure_whose_source_or_mark_is_taken_away_is_found(gone: str) -> None:
    """Each source and mark of the salt file once, where its block holds a figure."""
    tree = tree_of(SHIPPED / "treatments" / "salt.yaml")
    tried = 0
    for block in cited_blocks(tree):
        inside = {f.line for f in figures_of(block, "")}
        taken = block.values.pop(gone)
        bare = {f.line for f in figures_of(tree, "salt.yaml") if not f.source}
        assert bare == inside
        block.values[gone] = taken
        tried += bool(inside)
    assert tried > 20


# Prose


def prose(node: Node, cited: bool = False) -> Iterator[tuple[int, str]]:
    """Words that stand in no block with a source, with their lines."""
    if isinstance(node, Scalar):
        if not cited:
            yield node.line, " ".join(node.text.split())
    elif isinstance(node, Mapping):
        here = cited or {"source", "mark"} <= set(node.values)
        for key, inner in node.values.items():
            if key not in (*NO_FIGURE, "command"):
                yield from prose(inner, here)
    else:
        for inner in node.items:
            yield from prose(inner, cited)


def says_why(text: str) -> bool:
    """Whether words say themselves where their numbers are from."""
    plain = text.lower()
    if any(r in plain for r in REASONS) or YEAR.search(text) or MARKED.search(text):
        return True
    return any(name.lower() in plain for name in names())


def unborne(tree: Mapping, path: str) -> list[str]:
    """Numbers in prose that nothing in the file says the source of.

    A number is borne out where its words say why, and where other words or a figure of the same
    file that say why have it too.
    """
    bare = list(prose(tree))
    cited = {f"{f.text} {f.source}" for f in figures_of(tree, path)} | set(cited_words(tree))
    cited |= {text for _, text in bare if says_why(text)}
    known = {n for text in cited for n in NUMBER.findall(text)}
    return [
        f"{line}: {quantity} in {text!r}"
        for line, text in bare
        for quantity in QUANTITY.findall(text)
        if not says_why(text) and not set(NUMBER.findall(quantity)) <= known
    ]


def cited_words(node: Node, cited: bool = False) -> Iterator[str]:
    """Words of blocks that have a source."""
    if isinstance(node, Scalar):
        if cited:
            yield node.text
    elif isinstance(node, Mapping):
        here = cited or {"source", "mark"} <= set(node.values)
        for inner in node.values.values():
            yield from cited_words(inner, here)
    else:
        for inner in node.items:
            yield from cited_words(inner, cited)


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_every_number_in_prose_is_borne_out(path: Path) -> None:
    hint = "name the source in the words, or say 'common practice' or 'from memory' in brackets"
    assert unborne(tree_of(path), str(path)) == [], hint


def test_a_number_in_prose_without_a_reason_is_found() -> None:
    text = SALT.replace("neutraliser: ", "neutraliser: after 77 h, ")
    tree, _ = read_tree(text.encode(), "salt.yaml")
    assert tree is not None
    assert [u for u in unborne(tree, "salt.yaml") if "77 h" in u]


# From memory


def remembered() -> list[CitedFigure]:
    return [f for f in figures_in([SHIPPED]) if f.from_memory]


def test_the_report_has_every_line_that_says_so() -> None:
    """No mark, source or words `from memory` in any file without a figure or words listed."""
    code, answer = ask("check", str(SHIPPED))
    assert code == 0
    told = {(f["path"], f["line"]) for f in answer["from_memory"]}
    assert told == {(f.path, f.line) for f in remembered()}
    for path in FILES:
        for line, text in with_mark(tree_of(path)):
            assert any(p == str(path) and at == line for p, at in told), (path, line, text)


def with_mark(node: Node) -> Iterator[tuple[int, str]]:
    """The figures of every block whose mark is `from memory`, by a walk of the test's own."""
    if isinstance(node, Mapping):
        mark = node.values.get("mark")
        here = isinstance(mark, Scalar) and mark.text == "from memory"
        for inner in node.values.values():
            if here and isinstance(inner, Scalar) and re.fullmatch(r"[\d.]+( \S+)?", inner.text):
                yield inner.line, inner.text
            yield from with_mark(inner)
    elif not isinstance(node, Scalar):
        for inner in node.items:
            yield from with_mark(inner)


def test_the_words_list_each_with_its_file_line_and_source() -> None:
    path = str(SHIPPED / "treatments" / "formalin.yaml")
    _, short, _ = run("check", path)
    assert "memory" not in short
    code, long, _ = run("check", path, "--from-memory")
    assert code == 0
    said = " ".join(long.split())
    here = [f for f in remembered() if f.path == path]
    figure = next(f for f in here if f.name == "courses long-bath repeat every")
    assert f"{figure.path}:{figure.line}: {figure.name} 48 h ({figure.source})" in said
