"""What stands in a file of events that was written before, so that it can be replaced."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from icalendar import Calendar, Event

from intake.report.calendar_events import GONE_DAYS, LARGEST

PRODID = "-//intake//calendar of a fish room//EN"
ROOM = "X-INTAKE-ROOM"
STATE = "X-INTAKE-STATE"
LONGEST = 16_000_000
"""A larger file is none of ours [byte]."""
_UID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")

Moment = date | datetime
"""A whole day, or an instant in UTC."""


@dataclass(frozen=True, slots=True)
class Kept:
    """One event of the file, as far as it is written again."""

    uid: str
    sequence: int
    stamp: datetime
    start: Moment
    end: Moment
    status: str
    state: str
    kind: str
    summary: str
    text: str

    @property
    def over(self) -> date:
        """The day by which it is over."""
        return self.end.date() if isinstance(self.end, datetime) else self.end


def read_kept(data: bytes, room: str) -> dict[str, Kept] | None:
    """The events of a file this room wrote, by UID; None where it is anything else.

    What cannot be read of them is left out: the file may have been changed by hand.
    """
    if len(data) > LONGEST or not data.lstrip().startswith(b"BEGIN:VCALENDAR"):
        return None
    try:
        calendars = Calendar.from_ical(data, multiple=True)
    except (ValueError, KeyError, IndexError, TypeError, RecursionError):
        return None
    if len(calendars) != 1:
        return None
    (calendar,) = calendars
    if str(calendar.get("PRODID")) != PRODID or str(calendar.get(ROOM)) != room:
        return None
    found = (_kept(event) for event in calendar.subcomponents if isinstance(event, Event))
    return {kept.uid: kept for kept in found if kept is not None}


def _kept(event: Event) -> Kept | None:
    try:
        start, end, stamp = (_moment(event.decoded(n)) for n in ("dtstart", "dtend", "dtstamp"))
        sequence = int(event.decoded("sequence"))
        lasts = end - start  # TypeError for a day and an instant
    except (KeyError, ValueError, TypeError, AttributeError, OverflowError):
        return None
    uid = str(event.get("UID"))
    if not _UID.fullmatch(uid) or not isinstance(stamp, datetime):
        return None
    if not (timedelta(0) < lasts <= timedelta(GONE_DAYS) and 0 <= sequence <= LARGEST):
        return None
    return Kept(
        uid, sequence, stamp, start, end,
        status=str(event.get("STATUS", "")),
        state=str(event.get(STATE, "")),
        kind="".join(map(str, getattr(event.get("CATEGORIES"), "cats", ()))),
        summary=str(event.get("SUMMARY", "")),
        text=str(event.get("DESCRIPTION", "")),
    )  # fmt: skip


def _moment(found: object) -> Moment:
    if isinstance(found, datetime):
        if found.tzinfo is None:
            raise ValueError("a time without its zone")
        return found.astimezone(UTC)
    if isinstance(found, date):
        return found
    raise TypeError("no day and no time")
