"""What a command answers, and how every end of a command is said."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from intake.cli.parser import Globals
from intake.science.problem import Problem, Refused
from intake.science.text import inert

FINE, PROBLEMS, USAGE, REFUSED, ROOM = 0, 1, 2, 3, 4
"""Exit codes; 70, a bug, belongs to the entry point."""


@dataclass(frozen=True, slots=True)
class Reply:
    """An answer as keys, the lines a person reads, and the exit code."""

    answer: dict[str, Any]
    lines: Callable[[dict[str, Any]], list[str]] | None = None
    code: int = FINE


def show_json(value: dict[str, Any]) -> None:
    """One JSON object on stdout, ASCII."""
    import json

    print(json.dumps(value, ensure_ascii=True, allow_nan=False))


def say(line: str) -> None:
    """A line of talk on stderr, with nothing in it that a terminal obeys."""
    from intake.cli.plain import folded

    for part in folded(inert(line)):
        print(part, file=sys.stderr)


def give(reply: Reply, options: Globals) -> int:
    """Shows an answer the way it was asked for."""
    if options.json:
        show_json(reply.answer)
        return reply.code
    from intake.cli.plain import aligned, cares, folded, notes

    lines = reply.lines(reply.answer) if reply.lines else aligned(reply.answer)
    for line in lines:
        for part in folded(inert(line)):
            print(part)
    # A warning is never asked away: only what explains the answer is.
    for line in [*cares(reply.answer), *([] if options.quiet else notes(reply.answer))]:
        say(line)
    return reply.code


def tell_problems(problems: Sequence[Problem], options: Globals, code: int = PROBLEMS) -> int:
    """Every problem, in the order of the files or options."""
    if options.json:
        keys = ("path", "line", "column", "code", "text", "hint")
        show_json({"problems": [{k: getattr(p, k) for k in keys} for p in problems]})
    else:
        for problem in problems:
            say(str(problem))
    return code


def tell_refusal(refused: Refused, options: Globals) -> int:
    """What was refused, the limit, who says so, and the way out."""
    keys = ("code", "text", "limit", "value", "unit", "source", "way_out")
    if options.json:
        show_json({"refused": {k: getattr(refused, k) for k in keys}})
        return REFUSED
    say(f"refused: {refused.code}: {refused.text}")
    if refused.source:
        say(f"  source   {refused.source}")
    if refused.way_out:
        say(f"  way out  {refused.way_out}")
    say("Never held back: stopping a treatment, a water change, moving a fish out.")
    return REFUSED


def tell_usage(text: str, options: Globals) -> int:
    """What is wrong with the words of the command."""
    if options.json:
        show_json({"usage": text})
    else:
        say(f"usage: {text}")
    return USAGE
