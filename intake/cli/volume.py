"""`intake volume SHAPE ...`: the true water of one vessel."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import fill
from typing import Any

from intake.cli.parser import Globals, Parser
from intake.cli.reply import Reply
from intake.flows.one_volume import volume
from intake.flows.sizes import shape_named
from intake.flows.usage import Usage
from intake.science.problem import Problem, Unreadable
from intake.science.show import show
from intake.science.volume import INSIDE, SHAPES, Shape, SizeSpec
from intake.science.volume.how_to import how_to
from intake.science.volume.trade import RING_POOLS, STOCK_TANKS, TANKS, Published, brim_us_gal


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:  # noqa: ARG001
    """Answers with the volume, its doubt, and the size that adds most of it."""
    if not tokens or tokens[0].startswith("-"):
        raise Usage("intake volume SHAPE ...; shapes: " + ", ".join(SHAPES))
    if tokens[0] == SALT_NEEDED:
        return _salt_needed(tokens[1:], options)
    shape = shape_named(tokens[0])
    if isinstance(shape, Problem):
        raise Unreadable(shape.placed("SHAPE"))
    parser = Parser(f"intake volume {shape.name}", shape.how)
    parser.epilog = _epilog(shape)
    for spec in (*shape.sizes, *INSIDE):
        _add(parser, spec)
    if shape.size("points") is not None:
        parser.option("unit", "unit of --points: mm, cm, m, in or ft", needed=True)
    return Reply(volume(shape, parser.read(tokens[1:])), _lines)


def _epilog(shape: Shape) -> str:
    """How each size is measured, and the sizes it is sold in."""
    lines = ["how to measure"]
    for spec in (*shape.sizes, *INSIDE):
        lines += fill(
            f"{spec.option}: {how_to(shape.name, spec.name)}", 78,
            initial_indent="  ", subsequent_indent="    ",
        ).splitlines()  # fmt: skip
    if shape.size("trade") is not None:
        lines.append("sizes as sold, outside: length x width x height")
        for t in TANKS.values():
            sizes = f"{t.length_in} x {t.width_in} x {t.height_in} in"
            lines.append(f"  {t.name:<12} {sizes:<18} the {t.sold_us_gal} US gal are never used")
    if shape.name == "round":
        lines.append(
            "sold by a figure that is not its water: printed, and the cylinder to the brim"
        )
        for what, sold in (("stock tank", STOCK_TANKS), ("ring pool", RING_POOLS)):
            lines += [f"  {what:<11} {_printed(p)}" for p in sold]
    return "\n".join(lines)


def _printed(sold: Published) -> str:
    low, high = sold.us_gal
    said = str(low) if low == high else f"{low} to {high}"
    size = f"{sold.diameter_ft} ft x {sold.height_in} in"
    return f"{size:<14} {said:>12} US gal, brim {brim_us_gal(sold):.0f}"


SALT_NEEDED = "salt-needed"


def _salt_needed(tokens: Sequence[str], options: Globals) -> Reply:
    from intake.cli.asked import desk_of
    from intake.flows.salt_needed import needed_anywhere, needed_in_room

    parser = Parser(f"intake volume {SALT_NEEDED}", "The salt that tells a volume to 5 %.")
    parser.option("about", "the volume as far as it is known")
    parser.option("vessel", "instead, a vessel of the room")
    parser.option("before", "what the meter reads now")
    parser.option("meter", 'how far it can be off: "2 %", "1 % + 5 uS/cm"')
    parser.option("limit", "the most salt that may be there")
    parser.option("temp", "the water, where the meter does not compensate")
    parser.option("factor", "of a meter that reads ppm")
    parser.option("tool", "the step of the scale, or its name in the room")
    typed = parser.read(tokens)
    if "vessel" in typed and {"about", "limit"} & set(typed):
        raise Usage("--vessel has its own water and limit: leave --about and --limit out")
    if "vessel" in typed:
        return Reply(needed_in_room(desk_of(options), typed))
    return Reply(needed_anywhere(typed))


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
