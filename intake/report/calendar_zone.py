"""A time zone as iCalendar tells it: each change of the clock in the days that are needed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

_Rule = tuple[timedelta, timedelta, str]
"""Offset from UTC, daylight saving, name."""


def zone_component(zone: ZoneInfo, first: date, last: date) -> Timezone:
    """The VTIMEZONE of a zone, true from a day before `first` to a day after `last`.

    The library's own tells a change by the clock after it; RFC 5545 section 3.6.5 wants the
    clock before it, as its examples do.
    """
    begin = datetime.combine(first - timedelta(1), time(), UTC)
    end = datetime.combine(last + timedelta(2), time(), UTC)
    made = Timezone()
    made.add("tzid", zone.key)
    rule = _rule(begin, zone)
    made.add_component(_observance(begin, rule, rule))
    for moment in _changes(zone, begin, end):
        before, rule = rule, _rule(moment, zone)
        made.add_component(_observance(moment, before, rule))
    return made


def _rule(moment: datetime, zone: ZoneInfo) -> _Rule:
    there = moment.astimezone(zone)
    return there.utcoffset() or timedelta(), there.dst() or timedelta(), there.tzname() or zone.key


def _observance(
    moment: datetime, before: _Rule, after: _Rule
) -> TimezoneStandard | TimezoneDaylight:
    made = TimezoneDaylight() if after[1] else TimezoneStandard()
    made.add("dtstart", (moment + before[0]).replace(tzinfo=None))
    made.add("tzoffsetfrom", before[0])
    made.add("tzoffsetto", after[0])
    made.add("tzname", after[2])
    return made


def _changes(zone: ZoneInfo, begin: datetime, end: datetime) -> Iterator[datetime]:
    """The instants at which the zone's rule changes, to the second."""
    day = timedelta(1)
    while begin < end:
        if _rule(begin, zone) != _rule(begin + day, zone):
            low, high = begin, begin + day
            while high - low > timedelta(seconds=1):
                middle = low + (high - low) // 2
                middle = middle.replace(microsecond=0)
                low, high = (
                    (middle, high) if _rule(middle, zone) == _rule(begin, zone) else (low, middle)
                )
            yield high
        begin += day
