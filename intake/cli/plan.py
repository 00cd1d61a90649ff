"""`intake plan PLAN --start DATE --temp Q`: the dates of a plan."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

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


def _offer(p: dict[str, Any]) -> str:
    days = f"day {p['from_day']} to {p['to_day']}"
    told = f"{p['treatment']}, course {p['course']}, {days}, against {', '.join(p['against'])}"
    return f"on offer, only where chosen: {told}"


def _lines(a: dict[str, Any]) -> list[str]:
    lines = [a["used_for"]] if a["used_for"] else []
    for t in a["tasks"]:
        window = "" if t["to"] == t["from"] else f" to {t['to']}"
        lines.append(f"{t['date']}{window}  {t['task']}")
    lines += [_offer(p) for p in a["preventive"]]
    lines += [f"release check not asked for: {c['check']}, {c['because']}" for c in a["left_out"]]
    return [*lines, f"earliest release {a['earliest_release']}", *window_lines(a["windows"])]
