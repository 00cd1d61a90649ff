from __future__ import annotations

import tracemalloc

import pytest

from intake.rules.yaml_tree import DEPTH_MAX, NODES_MAX, Mapping, Scalar, read_tree
from intake.science.problem import Problem


def problems(text: str | bytes) -> list[Problem]:
    content = text if isinstance(text, bytes) else text.encode("utf-8")
    return read_tree(content, "p.yaml")[1]


def tree(text: str | bytes) -> Mapping:
    content = text if isinstance(text, bytes) else text.encode("utf-8")
    found, wrong = read_tree(content, "p.yaml")
    assert wrong == []
    assert found is not None
    return found


def scalar(found: Mapping, key: str) -> Scalar:
    value = found.values[key]
    assert isinstance(value, Scalar)
    return value


BOMB = "a: &a [x, x]\n" + "".join(
    f"{chr(98 + n)}: &{chr(98 + n)} [*{chr(97 + n)}, *{chr(97 + n)}]\n" for n in range(20)
)
MERGE = "a: {x: 1}\nb:\n  <<: {y: 2}\n"

CASES: list[tuple[str, str | bytes, int, int, str]] = [
    ("alias bomb", BOMB, 1, 4, "not-allowed"),
    ("alias", "a: *x\n", 1, 4, "not-allowed"),
    ("self reference", "a: &a [*a]\n", 1, 4, "not-allowed"),
    ("merge key", MERGE, 3, 3, "not-allowed"),
    ("anchor on a key", "&k a: 1\n", 1, 1, "not-allowed"),
    ("python tag", "a: 1\nb: !!python/object/apply:os.system [x]\n", 2, 4, "not-allowed"),
    ("own tag", "a: !foo 1\n", 1, 4, "not-allowed"),
    ("standard tag", "a: !!int 1\n", 1, 4, "not-allowed"),
    ("YAML directive", "%YAML 1.1\n---\na: 1\n", 1, 1, "not-allowed"),
    ("TAG directive", "%TAG ! tag:x,2000:\n---\na: 1\n", 1, 1, "not-allowed"),
    ("duplicate key", "dose: 1\nx: 2\ndose: 10\n", 3, 1, "key-twice"),
    ("duplicate key deep", "a:\n  - b: 1\n    b: 2\n", 3, 5, "key-twice"),
    ("empty file", "", 1, 1, "no-value"),
    ("comments only", "# nothing\n# here\n", 1, 1, "no-value"),
    ("dashes only", "---\n", 1, 1, "no-value"),
    ("null document", "~\n", 1, 1, "no-value"),
    ("tilde", "a: 1\nb: ~\n", 2, 4, "no-value"),
    ("null", "a: null\n", 1, 4, "no-value"),
    ("nothing", "a:\nb: 1\n", 1, 1, "no-value"),
    ("eaten by a remark", "dose: #5\nb: 1\n", 1, 1, "no-value"),
    ("null in a list", "a:\n  - 1\n  -\n", 3, 4, "no-value"),
    ("UTF-16 with mark", "a: 1\n".encode("utf-16"), 1, 1, "not-text"),
    ("UTF-16 without mark", "a: 1\n".encode("utf-16-le"), 1, 2, "not-text"),
    ("latin-1", b"a: 1\nb: caf\xe9\n", 2, 7, "not-text"),
    ("NUL", b"a: 1\nb: x\x00\n", 2, 5, "not-text"),
    ("raw escape", b"a: \x1b[31mred\n", 1, 4, "not-text"),
    ("escape code", 'a: 1\nb: "\\e[31m"\n', 2, 4, "not-text"),
    ("hex escape code", 'b: "\\x1b"\n', 1, 4, "not-text"),
    ("surrogate code", 'b: "\\ud800"\n', 1, 4, "not-text"),
    ("right-to-left override", "b: a\u202eb\n", 1, 5, "not-text"),
    ("right-to-left code", 'b: "\\u202e"\n', 1, 4, "not-text"),
    ("code out of range", 'b: "\\UFFFFFFFF"\n', 1, 1, "not-yaml"),
    ("tab to indent", "a:\n\tb: 1\n", 2, 1, "not-text"),
    ("tab after spaces", "a:\n  \tb: 1\n", 2, 3, "not-text"),
    ("second mark", "a: \ufeffb\n", 1, 4, "not-text"),
    ("two documents", "a: 1\n---\nb: 2\n", 2, 1, "not-allowed"),
    ("list at top", "- a\n- b\n", 1, 1, "wrong-kind"),
    ("bare value", "hello\n", 1, 1, "wrong-kind"),
    ("list as a key", "? [a]\n: b\n", 1, 3, "wrong-kind"),
    ("colon in words", "note: salt: a dip\n", 1, 11, "not-yaml"),
    ("open quote", "a: 'x\nb: 1\n", 3, 1, "not-yaml"),
    ("at sign", "a: @x\n", 1, 4, "not-yaml"),
    ("back quote", "a: `x\n", 1, 4, "not-yaml"),
    ("words after a quote", "a: 'x' y\n", 1, 8, "not-yaml"),
    ("open bracket", "a: [1, 2\nb: 3\n", 2, 2, "not-yaml"),
    ("dash after a value", "a: b\n- c\n", 2, 1, "not-yaml"),
    ("bad backslash", 'a: "\\q"\n', 1, 6, "not-yaml"),
]


@pytest.mark.parametrize(("name", "text", "line", "column", "code"), CASES)
def test_refused_at_its_place(
    name: str, text: str | bytes, line: int, column: int, code: str
) -> None:
    found = problems(text)
    assert [(p.line, p.column, p.code) for p in found] == [(line, column, code)], found
    assert found[0].path == "p.yaml"
    assert found[0].text


def test_a_duplicate_key_names_both_lines() -> None:
    (found,) = problems("dose: 1\nx: 2\ndose: 10\n")
    assert "line 1" in found.text
    assert "line 3" in found.text


def test_a_value_eaten_by_a_remark_says_so() -> None:
    (found,) = problems("dose: #5\n")
    assert "#" in found.hint


@pytest.mark.parametrize(
    "text",
    [
        "a: " + "[" * 100_000,
        "a: " + "{x: " * 50_000,
        "".join(" " * n + "a:\n" for n in range(300)),
        "a: [" + "x," * 25_000 + "]",
        "k" * 40_000 + ": 1\n",
        "a." * 20_000 + "b: 1\n",
        BOMB * 100,
        "<<: " * 1000,
        "? " * 50_000,
        "- " * 50_000,
    ],
    ids=str.__len__,
)
def test_a_file_meant_to_blow_up_is_refused_in_little_memory(text: str) -> None:
    tracemalloc.start()
    found = problems(text)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert found
    assert peak < 100_000_000


def test_depth_and_number_of_values_have_a_limit() -> None:
    # the top block is level 1, so that many brackets fit below it
    fits = "a: " + "[" * (DEPTH_MAX - 2) + "x" + "]" * (DEPTH_MAX - 2)
    assert problems(fits) == []
    over = "a: " + "[" * (DEPTH_MAX - 1) + "x" + "]" * (DEPTH_MAX - 1)
    assert [p.code for p in problems(over)] == ["too-big"]
    many = "a:\n" + "- x\n" * (NODES_MAX - 3)
    assert problems(many) == []
    assert [p.code for p in problems(many + "- x\n")] == ["too-big"]


@pytest.mark.parametrize("text", ["\ufeffa: 1\r\nb: x\r\n", "a: 1\r\nb: x\r\n", "a: 1\rb: x\r"])
def test_marks_and_windows_line_ends_are_fine(text: str) -> None:
    found = tree(text)
    assert (scalar(found, "b").text, scalar(found, "b").line) == ("x", 2)


@pytest.mark.parametrize(
    "text", ["NO", "yes", "on", "010", "0x10", "1_000", "1:30", "2026-02-29", ".nan", "1e400"]
)
def test_every_value_stays_the_text_it_is(text: str) -> None:
    assert scalar(tree(f"a: {text}\n"), "a") == Scalar(text, False, 1, 4)


def test_quoted_and_block_values_are_told_apart_from_plain_ones() -> None:
    found = tree("a: \"5\"\nb: '~'\nc: |\n  one\n  two\nd: >-\n  three\n  four\n")
    assert scalar(found, "a").quoted
    assert scalar(found, "b") == Scalar("~", True, 2, 4)
    assert scalar(found, "c").text == "one\ntwo"
    assert scalar(found, "d").text == "three four"


def test_one_file_tells_all_its_duplicates_and_empty_values_at_once() -> None:
    found = problems("a: 1\na: 2\nb:\nc: ~\na: 3\n")
    assert [(p.line, p.code) for p in found] == [
        (2, "key-twice"),
        (3, "no-value"),
        (4, "no-value"),
        (5, "key-twice"),
    ]
