"""The calendar as events for other programs: what a file of them holds, in our own terms."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID, uuid5

GONE_DAYS = 366
"""An event of the file before that is further off is left out of the new one [d]
(common practice)."""
KEPT_DAYS = 14
"""For so long what was done is asked for by name [d]; older, it stays as it was written."""
TIMED_MIN = 15
"""What a task at a time of day takes in a calendar [min] (common practice)."""
ENDED = frozenset({"done", "skipped"})
LARGEST = 2**31 - 1
"""The largest whole number iCalendar has (RFC 5545 section 3.3.8)."""
DAYS_AN_ENTRY = 1000
"""Room for the days after an entry in which dates move without another one."""


@dataclass(frozen=True, slots=True)
class CalendarEvent:
    """One thing with a date.

    `key` names it in its room and holds no date. It lasts from `day` to `last`, both included,
    or begins at `at_utc` and, for `minutes`, goes on. `state` is that of its task, or "fact".
    `alarms` are the moments somebody is reminded.
    """

    key: str
    kind: str
    state: str
    summary: str
    lines: tuple[str, ...]
    day: date
    last: date
    at_utc: datetime | None = None
    minutes: int = TIMED_MIN
    alarms: tuple[datetime, ...] = ()


@dataclass(frozen=True, slots=True)
class EventList:
    """All events of a room, as its journal stood.

    `room` is the hash of the journal's first entry, which two rooms do not share; `sequence`
    never goes down and goes up with every entry.
    """

    room: str
    time_zone: str
    now_utc: datetime
    today: date
    sequence: int
    name: str
    events: tuple[CalendarEvent, ...]


def sequence_of(entry: int, entered_utc: datetime, now_utc: datetime) -> int:
    """The revision of a room whose newest entry is `entry`, written down at `entered_utc`.

    Dates also move by themselves, when a proposed restart begins to stand, so the days since
    the newest entry count as well.
    """
    days = max(0, min((now_utc - entered_utc).days, DAYS_AN_ENTRY - 1))
    return min(entry * DAYS_AN_ENTRY + days, LARGEST)


def uid_of(room: str, key: str) -> str:
    """The same for the same thing of the same room, whenever and wherever it is written."""
    return str(uuid5(UUID(hex=room[:32]), key))
