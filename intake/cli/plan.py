"""`intake plan PLAN --start DATE --temp Q`: the dates of a plan."""

from __future__ import annotations

from collections.abc import Sequence

from intake.cli.parser import Globals, Parser
from intake.cli.reply import Reply
from intake.flows.plans import dates
from intake.flows.windows_said import window_lines


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:  # noqa: ARG001
    """Answers with every dated task of a plan and its earliest release."""
    parser = Parser("intake plan")
    parser.place("plan", "standard")
    parser.option("start", "the day the fish go in, YYYY-MM-DD", needed=True)
    parser.option("temp", "water temperature by day", needed=True)
    parser.option("night", "the lowest at night, where it is colder")
    parser.option("for", "a parasite: the treatments it needs at these temperatures")
    parser.option("with", "the treatment used")
    return Reply(dates(parser.read(tokens)), _lines)


def _lines(a: dict[str, object]) -> list[str]:
    tasks = a["tasks"]
    assert isinstance(tasks, list)
    lines = []
    for t in tasks:
        window = "" if t["to"] == t["from"] else f" to {t['to']}"
        lines.append(f"{t['date']}{window}  {t['task']}")
    found = a["windows"]
    assert isinstance(found, list)
    return [*lines, f"earliest release {a['earliest_release']}", *window_lines(found)]
