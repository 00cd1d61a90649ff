"""`intake room new|set|show`."""

from __future__ import annotations

from collections.abc import Sequence

from intake.cli.asked import desk_of
from intake.cli.parser import Globals, Parser
from intake.cli.reply import Reply
from intake.flows import rooms
from intake.flows.record import Said
from intake.flows.usage import Usage

NEW = ("time-zone", "units", "tape", "decimal")
SET = (*NEW, "night-drop", "quiet", "round-order")


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:  # noqa: ARG001
    """Makes a room, changes its settings, or shows what is in it."""
    name = tokens[0] if tokens else ""
    if name not in ("new", "set", "show"):
        raise Usage("intake room new|set|show")
    parser = Parser(f"intake room {name}")
    if name == "show":
        parser.read(tokens[1:])
        return Reply(rooms.show_room(desk_of(options)))
    for option in NEW if name == "new" else SET:
        parser.option(option)
    if name == "set":
        parser.option("when")
        parser.option("why")
    typed = parser.read(tokens[1:])
    if name == "new":
        return Reply(rooms.new_room(desk_of(options), typed))
    said = Said(typed.pop("when", None), typed.pop("why", None))
    return Reply(rooms.set_room(desk_of(options), typed, said))
