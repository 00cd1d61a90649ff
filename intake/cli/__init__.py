"""The command line: one module per group of words, imported only when its word is typed."""

from __future__ import annotations

import importlib
import io
import sys
from collections.abc import Sequence

from intake.cli.parser import Globals, split_globals
from intake.cli.reply import (
    ROOM,
    give,
    tell_problems,
    tell_refusal,
    tell_usage,
)
from intake.flows.usage import RoomTrouble, Usage
from intake.science.problem import Problem, Refused, Unreadable

WORDS = {
    "volume": "volume",
    "water": "water",
    "acclimate": "acclimate",
    "dose": "dose",
    "plan": "plan",
    "rescue": "rescue",
    "check": "check",
    "room": "room",
    "demo": "demo",
    "record": "record",
    "correct": "correct",
    "import": "imports",
    "today": "asking",
    "tasks": "asking",
    "residue": "residue",
    "forecast": "forecast",
    "checks": "asking",
    "calendar": "calendar",
    "report": "report",
    "history": "history",
    "verify": "history",
    "open": "screens",
}
"""Every first word and the module that answers it."""
REHEARSED = ("record", "correct", "import")
"""Words that take --dry-run."""


def main(argv: Sequence[str] | None = None) -> int:
    """Runs one command line and answers its exit code; with no word the screens open."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="replace")
    given = list(sys.argv[1:] if argv is None else argv)
    options = Globals(json="--json" in given)
    try:
        options, rest = split_globals(given)
        return _run(options, rest)
    except Usage as usage:
        return tell_usage(str(usage), options)
    except Unreadable as unreadable:
        return tell_problems(unreadable.problems, options)
    except Refused as refused:
        return tell_refusal(refused, options)
    except RoomTrouble as trouble:
        problem = Problem(trouble.code, trouble.text, trouble.hint, _room_path(options))
        return tell_problems([problem], options, ROOM)


def _room_path(options: Globals) -> str:
    from intake.cli.asked import room_of

    return str(room_of(options))


def _run(options: Globals, rest: list[str]) -> int:
    if not rest:
        if options.json or options.dry_run:
            raise Usage("intake alone opens the screens; name a command")
        from intake.cli.asked import open_screens

        return open_screens(options)
    word, *tokens = rest
    if word in ("-h", "--help", "help"):
        from intake.cli.help import overview

        print(overview())
        return 0
    if word not in WORDS:
        from difflib import get_close_matches

        near = get_close_matches(word, WORDS, n=1)
        hint = f"did you mean {near[0]}?" if near else "one of " + ", ".join(WORDS)
        raise Usage(f"'{word[:40]}' is not a command; {hint}")
    if options.dry_run and word not in REHEARSED:
        raise Usage(f"--dry-run is for {', '.join(REHEARSED)}")
    if tokens[:1] in (["-h"], ["--help"]):
        from intake.cli.help import choices

        if told := choices(word):
            print(f"intake {word} ...", *told, sep="\n")
            return 0
    module = importlib.import_module(f"intake.cli.{WORDS[word]}")
    return give(module.run(word, tokens, options), options)
