"""The calendar as a file other calendars read (RFC 5545); read again, it replaces what it was.

No METHOD is written, since nobody organises or is invited: RFC 5546 keeps that for messages. An
event is the same one by its UID, newer by its SEQUENCE, then by its DTSTAMP (RFC 5546 section
2.1.5).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from icalendar import Alarm, Calendar, Event, vText

from intake.report.calendar_events import (
    ENDED,
    GONE_DAYS,
    KEPT_DAYS,
    LARGEST,
    CalendarEvent,
    EventList,
    uid_of,
)
from intake.report.calendar_kept import PRODID, ROOM, STATE, Kept, Moment
from intake.report.calendar_zone import zone_component
from intake.science.schedule import instant
from intake.science.text import inert

CANCELLED = "CANCELLED"
UTC_NAMES = ("UTC", "Etc/UTC")


def as_ics(listed: EventList, before: Mapping[str, Kept]) -> tuple[bytes, int]:
    """The whole file, and how many events of the file before are cancelled in it."""
    zone = ZoneInfo(listed.time_zone)
    fresh = [(_fresh(listed, e, before), e.alarms) for e in listed.events]
    asked = {kept.uid for kept, _ in fresh}
    gone = [_let_go(listed, k) for k in before.values() if k.uid not in asked]
    kept = [k for k in gone if abs((listed.today - k.over).days) <= GONE_DAYS]
    written = sorted([*fresh, *((k, ()) for k in kept)], key=lambda w: (str(w[0].start), w[0].uid))
    calendar = _calendar(listed)
    days = [listed.today, *(d for k, _ in written for d in (_day(k.start), k.over))]
    if zone.key not in UTC_NAMES:
        calendar.add_component(zone_component(zone, min(days), max(days)))
    for event, alarms in written:
        calendar.add_component(_component(event, alarms, zone))
    dropped = sum(1 for k in kept if k.status == CANCELLED and k.stamp == listed.now_utc)
    return calendar.to_ical(), dropped


def _calendar(listed: EventList) -> Calendar:
    calendar = Calendar()
    calendar.add("prodid", PRODID)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    # Of a name it does not know the library writes a text without its escapes.
    calendar.add("name", vText(inert(listed.name)))
    calendar.add("x-wr-calname", vText(inert(listed.name)))
    calendar.add("x-wr-timezone", vText(listed.time_zone))
    calendar.add(ROOM, vText(listed.room))
    return calendar


def _day(moment: Moment) -> date:
    return moment.date() if isinstance(moment, datetime) else moment


def _fresh(listed: EventList, event: CalendarEvent, before: Mapping[str, Kept]) -> Kept:
    """An event as it is written now; never an older revision than the file before has of it."""
    uid = uid_of(listed.room, event.key)
    start: Moment = event.day
    end: Moment = event.last + timedelta(1)
    if event.at_utc is not None:
        start, end = event.at_utc, event.at_utc + timedelta(minutes=event.minutes)
    made = Kept(
        uid, listed.sequence, listed.now_utc, start, end, "CONFIRMED", event.state, event.kind,
        inert(event.summary), "\n".join(inert(line) for line in event.lines),
    )  # fmt: skip
    old = before.get(uid)
    if old is None:
        return made
    same = (old.start, old.end, old.status) == (made.start, made.end, made.status)
    return replace(made, sequence=max(made.sequence, min(old.sequence + (not same), LARGEST)))


def _let_go(listed: EventList, old: Kept) -> Kept:
    """An event no longer asked for: cancelled, but for what was done longer ago than is asked."""
    long_ago = (listed.today - old.over).days > KEPT_DAYS
    if old.status == CANCELLED or (old.state in ENDED and long_ago):
        return old
    higher = max(listed.sequence, min(old.sequence + 1, LARGEST))
    return replace(old, sequence=higher, stamp=listed.now_utc, status=CANCELLED)


def _component(kept: Kept, alarms: tuple[datetime, ...], zone: ZoneInfo) -> Event:
    event = Event()
    event.add("uid", kept.uid)
    event.add("dtstamp", kept.stamp)
    event.add("last-modified", kept.stamp)
    event.add("sequence", kept.sequence)
    event.add("status", kept.status)
    # A chore keeps nobody from being busy with something else.
    event.add("transp", "TRANSPARENT")
    event.add("summary", inert(kept.summary))
    event.add("description", "\n".join(inert(line) for line in kept.text.split("\n")))
    event.add("categories", [inert(kept.kind)])
    event.add(STATE, vText(inert(kept.state)))
    start, end = _written(kept.start, kept.end, zone)
    event.add("dtstart", start)
    event.add("dtend", end)
    for trigger in dict.fromkeys(_triggers(kept.start, alarms, zone)):
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", inert(kept.summary))
        alarm.add("trigger", trigger)
        event.add_component(alarm)
    return event


def _written(start: Moment, end: Moment, zone: ZoneInfo) -> tuple[Moment, Moment]:
    """Times by the room's clock; by UTC where that clock shows the hour twice.

    RFC 5545 section 3.3.5 then means the first of the two, but not every program does.
    """
    if not isinstance(start, datetime) or not isinstance(end, datetime):
        return start, end
    there = start.astimezone(zone), end.astimezone(zone)
    if zone.key in UTC_NAMES or any(map(_comes_twice, there)):
        return start.astimezone(UTC), end.astimezone(UTC)
    return there


def _comes_twice(there: datetime) -> bool:
    return there.replace(fold=0).utcoffset() != there.replace(fold=1).utcoffset()


def _triggers(start: Moment, alarms: tuple[datetime, ...], zone: ZoneInfo) -> Iterator[timedelta]:
    """How long before or after the start each alarm rings.

    Relative ones are what most calendars take in; a day begins at its first instant.
    """
    begins = start if isinstance(start, datetime) else instant(start, time(), zone)
    for moment in alarms:
        yield moment - begins
