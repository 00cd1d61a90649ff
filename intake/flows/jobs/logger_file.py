"""A logger's file from a screen: looked at first, then recorded as the command does."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime
from pathlib import Path
from typing import Any

from intake.flows.desk import Desk, rehearsed
from intake.flows.imported import import_file
from intake.flows.jobs.words import day_text, recorded
from intake.flows.record import Said
from intake.flows.views.logged import DayLogged, LogLook
from intake.flows.views.parts import Recorded


def look(
    desk: Desk, vessel: str, typed: Mapping[str, str], progress: Callable[[float], None]
) -> LogLook:
    """What a file says; nothing is recorded.

    Raises
    ------
    Unreadable, Refused
        As importing it would.
    """
    a = import_file(rehearsed(desk), _given(vessel, typed), Said(), progress)
    gaps = [
        f"unknown from {_when(g['from'])} to {_when(g['to'])}, {g['gap_h']:g} h" for g in a["gaps"]
    ]
    return LogLook(
        vessel=vessel,
        file=a["file"],
        said=f"{a['rows']:,} rows, {_when(a['first'])} to {_when(a['last'])}",
        days=tuple(_day(d) for d in a["days"]),
        told=(*a["assumptions"], *a["because"], *gaps),
        care=tuple(w["text"] for w in a["warnings"]),
        same=a["entry"] or 0,
    )


def write(desk: Desk, vessel: str, typed: Mapping[str, str]) -> Recorded:
    """One entry of all its days.

    Raises
    ------
    Unreadable, Refused
        And then nothing is written.
    """
    answer = import_file(desk, _given(vessel, typed), Said())
    days = len(answer["days"])
    text = f"{vessel}: {answer['rows']:,} rows of {answer['file']}, {days} days"
    return recorded(desk, answer, text)


def _given(vessel: str, typed: Mapping[str, str]) -> dict[str, str]:
    given = {name: text.strip() for name, text in typed.items() if text.strip()}
    return {**given, "file": str(Path(given.get("file", "")).expanduser()), "vessel": vessel}


def _day(d: Mapping[str, Any]) -> DayLogged:
    return DayLogged(
        day_text(date.fromisoformat(d["day"])),
        f"{d['low_c']:.1f}",
        f"{d['high_c']:.1f}",
        f"{d['mean_c']:.1f}",
        f"{d['rows']:,}",
        f"{d['longest_gap_h']:g} h",
    )


def _when(text: str) -> str:
    moment = datetime.fromisoformat(text)
    return f"{day_text(moment.date())} {moment:%H:%M}"
