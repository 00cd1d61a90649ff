"""What is told of a logger's file before it is kept and after."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

from intake.flows.imports.logged import UNKNOWN_H, LoggedDay, gaps, longest_gap_h
from intake.flows.imports.logger import Logged
from intake.flows.notes import Notes
from intake.science.text import inert, quoted

GAPS_SHOWN = 20
"""Gaps told one by one."""


def told(read: Logged, where: ZoneInfo) -> dict[str, Any]:
    """Rows, ends, days and gaps, with times of the room's clocks."""
    return {
        "kind": "log",
        "file": inert(read.source.name)[:200],
        "sha256": read.source.sha256,
        "rows": sum(d.rows for d in read.days),
        "skipped": {"no_temperature": read.missing, "before_vessel": read.before},
        "first": read.days[0].first_utc.astimezone(where).isoformat(),
        "last": read.days[-1].last_utc.astimezone(where).isoformat(),
        "longest_gap_h": longest_gap_h(read.days),
        "gaps": [
            {
                "from": a.astimezone(where).isoformat(),
                "to": b.astimezone(where).isoformat(),
                "gap_h": round((b - a).total_seconds() / 3600, 1),
            }
            for a, b in list(gaps(read.days))[:GAPS_SHOWN]
        ],
        "days": [_day(d, where) for d in read.days],
    }


def counted(number: int, what: str) -> str:
    """``1 row``, ``2 rows``."""
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def _day(d: LoggedDay, where: ZoneInfo) -> dict[str, Any]:
    return {
        **d.kept(),
        "first": d.first_utc.astimezone(where).isoformat(),
        "last": d.last_utc.astimezone(where).isoformat(),
        "fall_from": d.fall_from_utc.astimezone(where).isoformat(),
        "fall_to": d.fall_to_utc.astimezone(where).isoformat(),
    }


def say(read: Logged, notes: Notes) -> None:
    """How the file was read, and what was left out of it."""
    *times, degrees = (quoted(name) for name in read.layout.named)
    notes.assume(f"times from {' and '.join(times)}, temperatures from {degrees}, in {read.unit}")
    if read.order:
        notes.assume(f"dates are read {read.order.replace('-', ' ')}")
    if read.clock:
        notes.assume(read.clock)
    if read.source.encoding == "cp1252":
        notes.assume("its letters are read as those of Western Europe")
    if read.missing:
        notes.assume(f"{counted(read.missing, 'row')} without a temperature left out")
    if read.before:
        notes.assume(
            f"{counted(read.before, 'row')} of a time before the vessel was there left out, "
            f"up to {read.before_until:%Y-%m-%d %H:%M}"
        )
    if read.doubled:
        notes.assume(
            "the hour that comes twice when clocks go back was told by the order of its rows"
        )
    found = list(gaps(read.days))
    if found:
        notes.because.append(
            f"{counted(len(found), 'gap')} of more than {UNKNOWN_H} h: "
            "nothing is known of the days between"
        )
