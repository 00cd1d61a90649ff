"""How jobs say numbers, times and what was recorded, for every screen alike."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.things import ReadingFact, System
from intake.flows.kits import SHORT, reading_doubt
from intake.flows.record import Said, record
from intake.flows.views.parts import Recorded, Shown
from intake.science.show import show, show_range

UNIT_OF = {"temp": "C", "temp_min": "C", "temp_max": "C", "ph": "", "kh": "dKH", "gh": "dGH",
           "tan": "mg/L", "no2": "mg/L", "no3": "mg/L", "oxygen": "mg/L", "salt": "g/L",
           "chlorine": "mg/L", "combined": "mg/L",
           "demand": "mg/L"}  # fmt: skip
MEQ_PER_DEGREE = 0.356634
"""One German degree of hardness [meq/L]."""


def clock_text(book: Book, moment: datetime) -> str:
    """A moment as the wall clock of the room shows it: ``18:42``."""
    return f"{moment.astimezone(book.facts.zone):%H:%M}"


def day_text(day: date) -> str:
    """A day as people read it: ``Sat 28 Nov``."""
    return f"{day:%a} {day.day} {day:%b}"


def when_text(book: Book, moment: datetime) -> str:
    """``07:10 today``, else ``Sat 28 Nov 07:10``."""
    there, now = moment.astimezone(book.facts.zone), book.now.astimezone(book.facts.zone)
    if there.date() == now.date():
        return f"{there:%H:%M} today"
    return f"{day_text(there.date())} {there:%H:%M}"


def with_doubt(value: float, low: float, high: float, unit: str) -> Shown:
    """A number with the larger half of its spread, rounded to what the spread leaves."""
    half = max(value - low, high - value)
    text = show(value, "", half=half) if half > 0 else show(value, "", digits=4)
    return Shown(text, unit)


def reading_shown(
    book: Book, reading: ReadingFact | None, old_h: float = 24, system: System | None = None
) -> Shown:
    """A reading as it is shown, with when it was read; "?" where there is none.

    `system` is the water it was of, where what is in it may have fooled its kit.
    """
    if reading is None or reading.value is None:
        return Shown("?", "", "not read", doubtful=True)
    unit = UNIT_OF[reading.quantity]
    per = MEQ_PER_DEGREE if unit in ("dKH", "dGH") else 1.0
    low, high = reading.low, reading.high
    if low != high:
        text = show_range(
            None if low is None else low / per, None if high is None else high / per, ""
        )
    else:
        text = show(reading.value / per, "", digits=3)
    old = (book.now - reading.at).total_seconds() > old_h * 3600
    doubt = reading_doubt(book, system, reading) if system is not None else None
    origin = f"read {when_text(book, reading.at)}"
    if doubt is not None:
        origin = f"{SHORT[doubt[0]]}, {origin}"
    return Shown(text, unit, origin, doubtful=old or doubt is not None)


def write(
    desk: Desk, kind: str, typed: dict[str, Any], text: str, said: Said | None = None
) -> Recorded:
    """Records one entry and answers as a screen shows it."""
    return recorded(desk, record(desk, kind, typed, said), text)


def recorded(
    desk: Desk, answer: dict[str, Any], text: str, *, next_text: str = "", offer: str = ""
) -> Recorded:
    """An answer of a record as a screen shows it."""
    with at_work(desk) as book:
        at = clock_text(book, book.now)
    warnings = tuple(w["text"] for w in answer["warnings"])
    return Recorded(answer["entry"] or 0, at, text, next_text, offer, warnings)
