"""`intake residue SYSTEM`: what is left of every treatment, now and ahead, and changes planned."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from intake.cli.asked import desk_of
from intake.cli.parser import Globals, Parser
from intake.cli.reply import Reply
from intake.flows.residue_ahead import residue
from intake.science.figures import figure
from intake.science.show import show, show_range

TINY_SHARE = 1e-3
"""A low end under this share of the high one is told as nothing."""


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:
    """Answers what is left in one water."""
    parser = Parser(f"intake {word}")
    parser.place("system", "water system, or a vessel in it")
    parser.flag("plan", "the changes to come that keep ammonia and medicines in their limits")
    parser.option("days", "how many days ahead, 7 where nothing is said")
    parser.option("treatment", "the levels of one treatment only")
    parser.option("changes-per-day", "how often water may be changed in a day")
    typed = parser.read(tokens)
    return Reply(residue(desk_of(options), str(typed.pop("system")), typed), _told)


def _told(a: dict[str, Any]) -> list[str]:
    return [*_now(a), *_ahead(a), *(_plan(a["plan"]) if "plan" in a else ())]


def _level(level: Mapping[str, Any]) -> str:
    if level["low"] == level["high"]:
        return show(level["now"], level["unit"], digits=3)
    low = level["low"] if level["low"] > level["high"] * TINY_SHARE else None
    ends = show_range(low, level["high"], level["unit"], digits=3)
    return f"{figure(level['now'], 3)} ({ends})"


def _now(a: Mapping[str, Any]) -> Iterator[str]:
    low, high = a["volume_l_low"], a["volume_l_high"]
    yield f"{a['system']}  {show(a['volume_l'], 'L')} ({show_range(low, high, 'L', digits=3)})"
    if not a["substances"]:
        yield "  nothing that was dosed is left"
    for s in a["substances"]:
        yield f"  {s['treatment']:<16}  {_level(s)}"


def _ahead(a: Mapping[str, Any]) -> Iterator[str]:
    if a["ahead"]:
        yield "ahead, with no change and no dose"
    for then in a["ahead"]:
        levels = "  ".join(f"{s['treatment']} {_level(s)}" for s in then["substances"])
        yield f"  {_when(then['at'])}  {levels}"


def _when(at: str) -> str:
    return f"{at[:10]} {at[11:16]}"


def _plan(p: Mapping[str, Any]) -> Iterator[str]:
    yield f"plan  {p['text']}"
    if p["failure"]:
        yield f"  failure  {p['failure']}"
    if p["way_out"]:
        yield f"  way out  {p['way_out']}"
    if p["changes"]:
        yield "  when              out            NH3 before > after"
    for c in p["changes"]:
        size = f"{show(c['change_l'], 'L')}, {c['percent']} %"
        nh3 = f"{figure(c['nh3_n_mg_l_before'], 2)} > {figure(c['nh3_n_mg_l_after'], 2)}"
        yield f"  {_when(c['at'])}  {size:<13}  {nh3}"
        yield from (f"                    {_one(m)}" for m in c["medicines"])


def _one(m: Mapping[str, Any]) -> str:
    """What goes into the new water before it goes in, and the level before and after."""
    put = f"{show(m['amount'], m['amount_unit'], digits=3)} of" if m["amount"] else "no"
    before, after = (_level({**m, **_ends(m, end)}) for end in ("before", "after"))
    return f"{put} {m['treatment']} into the new water: {before} > {after}"


def _ends(m: Mapping[str, Any], end: str) -> dict[str, Any]:
    return {"now": m[end], "low": m[f"{end}_low"], "high": m[f"{end}_high"]}
