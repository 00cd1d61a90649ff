"""`intake demo --out FILE`: a room to try things in."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from intake.cli.parser import Globals, Parser
from intake.cli.reply import Reply
from intake.flows.demo import build


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:  # noqa: ARG001
    """Builds the demo room and says what is in it."""
    parser = Parser("intake demo", "An invented keeper's room, with dates counted from today.")
    parser.option("out", "the file to make", needed=True)
    return Reply(build(Path(parser.read(tokens)["out"]).expanduser().absolute()))
