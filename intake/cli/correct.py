"""`intake correct ENTRY --why TEXT (--void | options of that entry's kind)`."""

from __future__ import annotations

from collections.abc import Sequence

from intake.cli.asked import desk_of
from intake.cli.parser import Globals
from intake.cli.record import COMMON, as_typed, correcting_parser
from intake.cli.reply import Reply
from intake.flows.correct import correct, form_of
from intake.flows.record import Said
from intake.flows.usage import Usage
from intake.science.problem import Problem, Unreadable


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:  # noqa: ARG001
    """Writes a correction and answers with what it touches."""
    if not tokens or tokens[0].startswith("-"):
        raise Usage("intake correct ENTRY --why TEXT, and --void or what is different")
    if not (tokens[0].isascii() and tokens[0].isdigit()):
        text = f"'{tokens[0][:40]}' is not the number of an entry"
        raise Unreadable(Problem("not-a-number", text, "a whole number", "ENTRY"))
    desk, number = desk_of(options), int(tokens[0])
    form = form_of(desk, number)
    parser = correcting_parser(form)
    for name, help_ in COMMON:
        parser.option(name, help_)
    if form.field("void") is None:
        parser.flag("void", "it never counted")
    parser.option("clear", "a value that is removed", many=False)
    parser.option("set-why", "a new reason for the entry itself")
    typed = parser.read(tokens)
    typed.pop("entry")
    said = Said(*(typed.pop(name, None) for name, _ in COMMON))
    void = typed.get("void") is True
    if void:
        del typed["void"]
    clear = tuple(filter(None, [typed.pop("clear", None)]))
    set_why = typed.pop("set_why", None)
    changes = as_typed(form, typed)
    return Reply(correct(desk, number, changes, said, void=void, clear=clear, set_why=set_why))
