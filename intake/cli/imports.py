"""`intake import FILE --vessel NAME`: a file of another program, all of it or nothing."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from intake.cli.asked import desk_of
from intake.cli.parser import Globals, Parser
from intake.cli.plain import aligned
from intake.cli.reply import Reply
from intake.flows.imported import import_file
from intake.flows.record import Said

DAYS_SHOWN = 20
"""Days told one by one before the middle ones are left to --json."""


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:
    """Reads a logger's temperatures into the room; --dry-run only tells what they are."""
    parser = Parser(f"intake {word}", "A logger's temperatures, from its CSV file.")
    parser.place("file", "the logger's CSV file")
    parser.option("vessel", "the vessel or water system it hung in", needed=True)
    parser.option("dates", "day-first or month-first, for dates such as 3/4/2026")
    parser.option("unit", "C or F, where the heading does not say")
    parser.option("column", "which temperatures, by the column's heading or number")
    parser.option("offset", "of a clock that kept no summer time, as +00:00")
    parser.option("why", "a reason of your own")
    parser.option("note", "a note in your own words")
    typed = parser.read(tokens)
    said = Said(why=typed.pop("why", None), note=typed.pop("note", None))
    return Reply(import_file(desk_of(options), typed, said), _lines)


def _lines(a: dict[str, Any]) -> list[str]:
    head = {k: v for k, v in a.items() if k not in ("days", "gaps", "skipped", "kind", "sha256")}
    lines = aligned(head)
    days = a["days"]
    lines += [f"{'day':<12}{'low, C':>8}{'high, C':>9}{'mean, C':>9}{'rows':>8}  longest gap, h"]
    left = max(0, len(days) - DAYS_SHOWN)
    for number, d in enumerate(days):
        if left and number == DAYS_SHOWN // 2:
            lines.append(f"... {left} days more, all of them under --json")
        if not left or not DAYS_SHOWN // 2 <= number < DAYS_SHOWN // 2 + left:
            lines.append(
                f"{d['day']:<12}{d['low_c']:>8.1f}{d['high_c']:>9.1f}{d['mean_c']:>9.1f}"
                f"{d['rows']:>8}  {d['longest_gap_h']:g}"
            )
    lines += [f"unknown from {g['from']} to {g['to']}, {g['gap_h']:g} h" for g in a["gaps"]]
    return lines
