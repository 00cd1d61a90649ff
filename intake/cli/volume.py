"""`intake volume SHAPE ...`: the true water of one vessel."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from intake.cli.parser import Globals, Parser
from intake.cli.reply import Reply
from intake.flows.one_volume import volume
from intake.flows.sizes import shape_named
from intake.flows.usage import Usage
from intake.science.problem import Problem, Unreadable
from intake.science.show import show
from intake.science.volume import INSIDE, SHAPES, SizeSpec


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:  # noqa: ARG001
    """Answers with the volume, its doubt, and the size that adds most of it."""
    if not tokens or tokens[0].startswith("-"):
        raise Usage("intake volume SHAPE ...; shapes: " + ", ".join(SHAPES))
    shape = shape_named(tokens[0])
    if isinstance(shape, Problem):
        raise Unreadable(shape.placed("SHAPE"))
    parser = Parser(f"intake volume {shape.name}", shape.how)
    for spec in (*shape.sizes, *INSIDE):
        _add(parser, spec)
    if shape.size("points") is not None:
        parser.option("unit", "unit of --points: mm, cm, m, in or ft", needed=True)
    return Reply(volume(shape, parser.read(tokens[1:])), _lines)


def _add(parser: Parser, spec: SizeSpec) -> None:
    parser.option(spec.option, spec.how, many=spec.repeats)


def _lines(a: dict[str, Any]) -> list[str]:
    half = (a["volume_l_high"] - a["volume_l_low"]) / 2
    lines = [f"{show(a['volume_l'], 'L', half=half)}   {a['method']}"]
    ends = f"{show(a['volume_l_low'], '')} to {show(a['volume_l_high'], 'L')}"
    lines.append(f"  likely between   {ends}")
    if a["displaced_l"]:
        full, off = show(a["gross_l"], "L"), show(a["displaced_l"], "L")
        lines.append(f"  full to the line {full}, less {off} taken up")
    if a["connected_l"]:
        lines.append(f"  connected        {show(a['connected_l'], 'L')} added")
    if a["doubt_from"]:
        lines.append(f"  most doubt from  {a['doubt_from']}: measure that better")
    return lines
