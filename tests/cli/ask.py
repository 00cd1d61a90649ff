"""Runs a command line inside the test and reads its answer, as a script outside would."""

from __future__ import annotations

import contextlib
import io
import json
import shlex
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from intake.cli import main

Answer = dict[str, Any]


def run(*argv: str) -> tuple[int, str, str]:
    """Exit code, stdout and stderr."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            code = main(list(argv))
        except SystemExit as ended:
            code = int(ended.code or 0)
    return code, out.getvalue(), err.getvalue()


def ask(line: str, *more: str) -> tuple[int, Answer]:
    """The exit code and the one JSON object on stdout; anything else there fails."""
    code, out, _ = run(*shlex.split(line), *more, "--json")
    assert out.isascii()
    assert out.count("\n") == 1, out
    answer = json.loads(out)
    assert isinstance(answer, dict)
    check_shape(code, answer)
    return code, answer


def check_shape(code: int, answer: Answer) -> None:
    """What every answer, list of problems, refusal and usage looks like, by its exit code."""
    if code == 2:
        assert set(answer) == {"usage"}
        assert isinstance(answer["usage"], str)
    elif code == 3:
        assert set(answer) == {"refused"}
        keys = {"code", "text", "limit", "value", "unit", "source", "way_out"}
        assert set(answer["refused"]) == keys
    elif code in (1, 4) and "problems" in answer:
        assert answer["problems"]
        for p in answer["problems"]:
            assert set(p) >= {"path", "line", "column", "code", "text", "hint"}
            assert p["path"]
            assert p["line"] >= 1
            assert p["column"] >= 1
    else:
        assert code in (0, 1)
        for key in ("assumptions", "because"):
            assert all(isinstance(text, str) and text for text in answer[key])
        for warning in answer["warnings"]:
            assert set(warning) == {"code", "text"}
        floats(answer)
        with_ends(answer)


def with_ends(value: Any) -> None:
    """A volume of water never stands without its ends; what the journal keeps is its own."""
    if isinstance(value, dict):
        if "volume_l" in value:
            assert {"volume_l_low", "volume_l_high"} <= set(value), value
            low, volume, high = (value[f"volume_l{end}"] for end in ("_low", "", "_high"))
            assert volume is None or low <= volume <= high
        for key, inner in value.items():
            if key != "content":
                with_ends(inner)
    elif isinstance(value, list):
        for inner in value:
            with_ends(inner)


ENDINGS = ("_l", "_cm", "_g", "_mg", "_ml", "_mg_l", "_g_l", "_c", "_meq_l", "_mmol_l")


def floats(value: Any) -> None:
    """Every number under a key with a unit is a plain float, or an int of whole minutes."""
    for key, found in pairs(value):
        if key.removesuffix("_low").removesuffix("_high").endswith(ENDINGS) and found is not None:
            assert isinstance(found, float), (key, found)


def pairs(value: Any) -> Iterator[tuple[str, Any]]:
    """Every key and value at any depth."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield key, inner
            yield from pairs(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from pairs(inner)


class Room:
    """A room of its own; each line says when it is typed, the options come after."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.at("2026-03-01 09:00", "--keeper Ana room new --time-zone Europe/Lisbon")

    def ask(self, when: str, line: str) -> tuple[int, Answer]:
        return ask(line, "--room", str(self.path), "--at", when)

    def at(self, when: str, line: str) -> Answer:
        """The answer of a line that has to succeed."""
        code, answer = self.ask(when, line)
        assert code == 0, f"{line}\n{answer}"
        return answer

    def fails(self, when: str, line: str, code: int, word: str) -> Answer:
        """The first problem, or the refusal, of a line that has to fail with that word."""
        found, answer = self.ask(when, line)
        assert found == code, f"{line}\n{answer}"
        told: Answer = answer["refused"] if code == 3 else answer["problems"][0]
        assert told["code"] == word, told
        return told
