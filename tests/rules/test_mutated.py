"""Whatever is done to the text of a protocol, it gives problems or a shelf, never a traceback."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from intake.rules.one_file import parse_bytes
from intake.rules.protocol_file import FileBytes
from intake.science.treatment import Treatment
from tests.rules.sample import TREATMENT

SHIPPED = Path(__file__).resolve().parents[2] / "protocols"
TEXTS = {
    "treatment": TREATMENT,
    "water": (SHIPPED / "water.yaml").read_text("utf-8"),
    "never-mix": (SHIPPED / "never-mix.yaml").read_text("utf-8"),
    "signs": "".join((SHIPPED / "signs.yaml").read_text("utf-8").partition("id: yawning")[0]),
    "parasites": (SHIPPED / "parasites.yaml").read_text("utf-8"),
    "plan": (SHIPPED / "plans" / "standard.yaml").read_text("utf-8"),
}
SCRAPS = [
    "", " ", "\n", "\t", "- ", ": ", "#", "~", "null", "[", "]", "{", "}", "'", '"', "|", ">",
    "&a ", "*a", "<<: ", "!x ", "%YAML 1.1\n", "---\n", "...\n", "? ", "@", "\\", "\x00", "\x1b",
    "\ufeff", "\u202e", "-1", "1e400", ".nan", "1,5", "010", "5 g/L", "5 kg", "yes", "no", "ü",
    "<5", "1..2", "9" * 50, "a" * 700, "[[[[[[[[[[[[[[[[[[[[[[", "{a: ", "12:30", "0 h", "-1 d",
]  # fmt: skip

edits = st.lists(
    st.tuples(st.integers(0, 10**6), st.integers(0, 60), st.sampled_from(SCRAPS)),
    min_size=1,
    max_size=4,
)


def check(content: bytes, kind: str) -> None:
    read = parse_bytes(FileBytes("x.yaml", content, "0" * 64), kind, "sample")
    assert (read.content is None) or not read.problems
    lines = content.replace(b"\r\n", b"\n").replace(b"\r", b"\n").count(b"\n") + 1
    for problem in read.problems:
        assert problem.path == "x.yaml"
        assert problem.code
        assert problem.text
        assert 1 <= problem.line <= lines + 1
        assert problem.column >= 1
    if isinstance(read.content, Treatment):
        for course in read.content.courses:
            hard = [b.value for b in course.bounds if b.hard]
            assert hard
            assert 0 < course.low <= course.usual < min(hard)


@pytest.mark.parametrize("kind", sorted(TEXTS))
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(edits=edits)
def test_cut_and_pasted(kind: str, edits: list[tuple[int, int, str]]) -> None:
    text = TEXTS[kind]
    for at, length, scrap in edits:
        start = at % (len(text) + 1)
        text = text[:start] + scrap + text[start + length :]
    check(text.encode("utf-8", "surrogatepass"), kind)


@pytest.mark.parametrize("kind", sorted(TEXTS))
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(picks=st.lists(st.tuples(st.integers(0, 10**6), st.sampled_from(SCRAPS)), max_size=3))
def test_values_swapped(kind: str, picks: list[tuple[int, str]]) -> None:
    lines = TEXTS[kind].split("\n")
    for at, scrap in picks:
        n = at % len(lines)
        key, colon, _ = lines[n].partition(": ")
        lines[n] = key + colon + scrap
    check("\n".join(lines).encode("utf-8", "surrogatepass"), kind)


@settings(max_examples=150, deadline=None)
@given(content=st.binary(max_size=300))
def test_any_bytes(content: bytes) -> None:
    for kind in (*TEXTS, ""):
        check(content, kind)


@settings(max_examples=150, deadline=None)
@given(content=st.text(max_size=200))
def test_any_text(content: str) -> None:
    check(content.encode("utf-8", "surrogatepass"), "")
