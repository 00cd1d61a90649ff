"""`intake history SUBJECT` and `intake verify`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from intake.cli.asked import desk_of
from intake.cli.parser import Globals, Parser
from intake.cli.reply import FINE, PROBLEMS, Reply
from intake.flows import history, rooms


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:
    """Shows what was written of a subject, or proves that nothing was changed."""
    parser = Parser(f"intake {word}")
    if word == "history":
        parser.place("subject", "a name, or NAME#ENTRY")
        return Reply(history.history(desk_of(options), parser.read(tokens)["subject"]), _lines)
    parser.flag("replay", "fold the projections again and compare")
    answer = rooms.verify(desk_of(options), replay=bool(parser.read(tokens).get("replay")))
    return Reply(answer, code=FINE if answer["ok"] else PROBLEMS)


def _lines(a: dict[str, Any]) -> list[str]:
    lines = []
    for e in a["entries"]:
        mark = f" corrects {e['corrects']}" if e["corrects"] else ""
        why = f"  why: {e['why']}" if e["why"] else ""
        lines.append(f"{e['entry']:>6}  {e['at']}  {e['kind']:<12} {e['keeper']}{mark}{why}")
        note = e["content"].get("note")
        if note:
            lines.append(f"        {note}")
    return lines
