"""`intake check [FILE|FOLDER ...]`: reads protocol files and says what is wrong."""

from __future__ import annotations

from collections.abc import Sequence

from intake.cli.parser import Globals, Parser
from intake.cli.reply import FINE, PROBLEMS, Reply
from intake.flows.protocols import from_memory_in, problems_in


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:  # noqa: ARG001
    """Answers with every problem at its line and column."""
    parser = Parser("intake check", "Without names: the shipped protocols and your own.")
    parser.places("path", "files or folders")
    parser.flag("from-memory", "list the figures that are from memory, with their lines")
    typed = parser.read(tokens)
    named = typed.get("path", [])
    problems, remembered = problems_in(named), from_memory_in(named)
    keys = ("path", "line", "column", "code", "text", "hint")
    answer = {
        "problems": [{k: getattr(p, k) for k in keys} for p in problems],
        "from_memory": [
            {k: getattr(f, k) for k in (*keys[:3], "name", "text", "source")} for f in remembered
        ],
        "assumptions": [],
        "warnings": [],
        "because": [],
    }
    shown = [str(p) for p in problems] or ["every file reads"]
    if typed.get("from_memory"):
        shown += [f"{f.path}:{f.line}: {f.name} {f.text} ({f.source})" for f in remembered]
        shown.append(f"{len(remembered)} figures from memory, whole or in part")
    return Reply(answer, lambda _: shown, PROBLEMS if problems else FINE)
