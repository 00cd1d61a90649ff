"""`intake rescue NAME`: what to do now, how much, and what to write down afterwards."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from intake.cli.asked import desk_of
from intake.cli.parser import Globals, Parser
from intake.cli.reply import Reply
from intake.flows import rescues


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:
    """Answers one rescue; nothing is asked and nothing held back."""
    parser = Parser(f"intake {word}")
    parser.place("name", "gasping, ph-crash, or one of your own rescue files")
    parser.option("vessel", "the vessel its amounts are for")
    typed = parser.read(tokens)
    answer = rescues.rescue(desk_of(options), str(typed["name"]), typed.get("vessel"))
    return Reply(answer, _told)


def _told(a: dict[str, Any]) -> list[str]:
    where = f"  {a['vessel']}" if a["vessel"] else ""
    lines = [f"{a['title']}{where}", ""]
    lines += [f"  {number}  {text}" for number, text in enumerate(a["do"], 1)]
    if a["amounts"]["said"]:
        lines += ["", *(f"  {text}" for text in a["amounts"]["said"])]
    lines += ["", "then"]
    lines += [f"  {command}" for command in a["then_record"]]
    return [*lines, "", a["caution"]]
