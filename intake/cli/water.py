"""`intake water ...`: what is in a water, and what mixing it makes."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from intake.cli.parser import Globals, Parser
from intake.cli.reply import Reply
from intake.flows import blended, water_change, workings
from intake.flows.nitrite import nitrite
from intake.flows.usage import Usage

_SIDE = ("ph", "kh", "temp")
_SIDE_MORE = ("tan", "salt", "gh")
OPTIONS: Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "ammonia": (("tan", "ph", "temp"), ("diluted", "salt")),
    "blend": (
        ("share", *(f"{s}-{n}" for s in "ab" for n in _SIDE)),
        tuple(f"{s}-{n}" for s in "ab" for n in _SIDE_MORE),
    ),
    "oxygen": (("temp",), ("salt", "altitude", "pressure")),
    "salt": ((), ("temp",)),
    "dechlorinate": (("volume", "free", "using"), ("combined",)),
    "nitrite": (("no2",), ("salt", "chloride", "volume")),
    "change": (
        ("volume", "ph", "kh", "temp"),
        (
            *("feed", "protein", "tan", "diluted", "salt", "limit", "percent"),
            *(f"tap-{n}" for n in ("ph", "kh", "tan", "temp", "salt", "chlorine", "chloramine")),
        ),
    ),
}
"""What each question needs, and what it also takes."""
ANSWERS: Mapping[str, Callable[[Mapping[str, Any]], dict[str, Any]]] = {
    "ammonia": workings.ammonia,
    "blend": blended.blended,
    "oxygen": workings.oxygen,
    "dechlorinate": workings.dechlorinate,
    "nitrite": nitrite,
    "change": water_change.change,
}


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:  # noqa: ARG001
    """Answers one question about water."""
    name = tokens[0] if tokens else ""
    if name not in OPTIONS:
        raise Usage("intake water " + "|".join(OPTIONS))
    parser = Parser(f"intake water {name}")
    needed, more = OPTIONS[name]
    if name == "salt":
        parser.place("salt", '"3 g/L", "5694 uS/cm" or "1.002 SG"')
    for option in needed:
        parser.option(option, needed=True)
    for option in more:
        parser.option(option)
    typed = parser.read(tokens[1:])
    if name == "salt":
        return Reply(workings.salt(str(typed.pop("salt")), typed))
    return Reply(ANSWERS[name](typed))
