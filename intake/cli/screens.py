"""`intake open MODE`: the screens, begun on one mode."""

from __future__ import annotations

from collections.abc import Sequence

from intake.cli.asked import open_screens
from intake.cli.parser import Globals, Parser
from intake.cli.reply import Reply
from intake.flows.usage import Usage

MODES = ("today", "receive", "dose", "calendar", "fish", "vessels", "protocols")


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:  # noqa: ARG001
    """Opens the screens on a mode; `intake` alone opens them on today."""
    parser = Parser("intake open", "The screens, begun on one mode.")
    parser.place("mode", ", ".join(MODES))
    mode = parser.read(tokens)["mode"]
    if mode not in MODES:
        raise Usage("intake open " + "|".join(MODES))
    return Reply({}, lambda _: [], open_screens(options, mode))
