"""Shipped protocol files with something wrong in them: never a traceback, a hang, a silent change.

A change goes *unnoticed* where a file is taken and a number of its loaded shape is not the one
another reader finds in the text: strengths, shares, densities, targets, limits with their
temperatures, durations, repeats, intervals, steps, half-lives, days. 200 files by default, 100,000
in `full`; the treatments are cut to one course each, in turn, so that every line is reached often.
"""

from __future__ import annotations

import re
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from random import Random
from types import FrameType

import pytest

from intake.paths import shipped_protocols
from intake.rules.one_file import Parsed, parse_bytes
from intake.rules.protocol_file import FileBytes
from tests.rules.mutations import MUTATIONS, mutated
from tests.rules.own_reading import Unread, loaded, written

HANGS_S = 60
"""Nothing takes a thirtieth of it, on a machine however busy; a file that does is killed."""
SHIPPED = shipped_protocols()


@lru_cache(maxsize=1)
def texts() -> list[tuple[str, str, bytes]]:
    """Kind, stem and text of what is mutated."""
    found = []
    for path in sorted(SHIPPED.rglob("*.yaml")):
        text = path.read_text(encoding="utf-8")
        kind = parsed(path.stem, "", text.encode()).kind
        parts = one_course_each(text) if kind == "treatment" else [text]
        found += [(kind, path.stem, part.encode()) for part in parts]
    return found


def one_course_each(text: str) -> list[str]:
    head, courses, tail = text.partition("\ncourses:\n")
    parts = re.split(r"(?m)^(?=  - name:)", tail)
    first, each = parts[0], parts[1:]
    if not each:  # a pointer to a vet
        return [text]
    return [f"{head}{courses}{first}{part}" for part in each]


def parsed(stem: str, kind: str, content: bytes) -> Parsed:
    return parse_bytes(FileBytes(f"{stem}.yaml", content, "0" * 64), kind, stem)


@contextmanager
def killed_after(seconds: int) -> Iterator[None]:
    if not hasattr(signal, "setitimer"):
        yield
        return

    def stop(number: int, frame: FrameType | None) -> None:
        raise TimeoutError(f"a file took over {seconds} s")

    before = signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def tried(seed: int, files: int) -> tuple[int, set[str]]:
    """How many of so many mutated files were taken, and which kinds of change were made."""
    hand, taken, kinds = Random(seed), 0, set()
    for n in range(files):
        kind, stem, text = hand.choice(texts())
        content, made = mutated(text, hand)
        kinds |= set(made)
        with killed_after(HANGS_S):
            read = parsed(stem, kind, content)
        where = f"seed {seed} file {n} {stem} {made}"
        assert (read.content is None) == bool(read.problems), where
        for problem in read.problems:
            assert problem.code, where
            assert problem.text, where
            assert problem.line >= 1, where
            assert problem.column >= 1, where
        if read.content is not None:
            taken += 1
            faithful(read, content, kind, where)
    return taken, kinds


def faithful(read: Parsed, content: bytes, kind: str, where: str) -> None:
    assert read.content is not None
    try:
        text = written(content.decode("utf-8-sig"), kind)
    except Unread as unread:
        pytest.fail(f"{where}: taken, though another reader finds no figure in {unread}")
    assert loaded(read.content) == text, where


def test_the_files_as_shipped_are_read_alike() -> None:
    figures = 0
    for kind, stem, content in texts():
        read = parsed(stem, kind, content)
        assert read.problems == (), stem
        faithful(read, content, kind, stem)
        figures += len(written(content.decode(), kind))
    assert figures > 500


def test_two_hundred_mutated_files() -> None:
    taken, kinds = tried(0, 200)
    assert 20 < taken < 180
    assert kinds == set(MUTATIONS)


@pytest.mark.full
@pytest.mark.parametrize("thousand", range(1, 101))
def test_a_hundred_thousand_mutated_files(thousand: int) -> None:
    taken, _ = tried(thousand, 1000)
    assert taken > 20


def test_a_number_loaded_as_another_is_noticed() -> None:
    """The check can fail: the shape of one text against the figures of another."""
    kind, stem, content = next(t for t in texts() if t[1] == "salt")
    other = content.replace(b"value: 5 g/L", b"value: 6 g/L")
    assert other != content
    read = parsed(stem, kind, content)
    assert read.content is not None
    assert loaded(read.content) != written(other.decode(), kind)
