"""`intake check [FILE|FOLDER ...]`: reads protocol files and says what is wrong."""

from __future__ import annotations

from collections.abc import Sequence

from intake.cli.parser import Globals, Parser
from intake.cli.reply import FINE, PROBLEMS, Reply
from intake.flows.protocols import problems_in


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:  # noqa: ARG001
    """Answers with every problem at its line and column."""
    parser = Parser("intake check", "Without names: the shipped protocols and your own.")
    parser.places("path", "files or folders")
    named = parser.read(tokens).get("path", [])
    problems = problems_in(named)
    keys = ("path", "line", "column", "code", "text", "hint")
    answer = {
        "problems": [{k: getattr(p, k) for k in keys} for p in problems],
        "assumptions": [],
        "warnings": [],
        "because": [],
    }
    shown = [str(p) for p in problems] or ["every file reads"]
    return Reply(answer, lambda _: shown, PROBLEMS if problems else FINE)
