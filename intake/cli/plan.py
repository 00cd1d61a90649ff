"""`intake plan PLAN --start DATE`: the dates of a plan."""

from __future__ import annotations

from collections.abc import Sequence

from intake.cli.parser import Globals, Parser
from intake.cli.reply import Reply
from intake.flows.plans import dates


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:  # noqa: ARG001
    """Answers with every dated task of a plan and its earliest release."""
    parser = Parser("intake plan")
    parser.place("plan", "standard")
    parser.option("start", "the day the fish go in, YYYY-MM-DD", needed=True)
    return Reply(dates(parser.read(tokens)))
