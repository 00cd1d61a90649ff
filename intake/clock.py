"""The only reader of wall time, and the rules for times that keepers type."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from intake.science.problem import Problem

_TIME = re.compile(
    r"(\d{4})-(\d{2})-(\d{2})(?:[ T](\d{2}):(\d{2})(?::(\d{2}))?)?(Z|[+-]\d{2}:\d{2})?", re.ASCII
)
FIRST_YEAR = 2000
"""Years before this are slips of the hand (common practice)."""
YEARS_AHEAD = 2
"""Dates further ahead than this are slips of the hand (common practice)."""


@dataclass(frozen=True, slots=True)
class Clock:
    """The program's time: the wall clock, or the one moment it was told (`--at`)."""

    fixed: datetime | None = None

    def now(self) -> datetime:
        """The time now, UTC, whole seconds."""
        moment = self.fixed or datetime.now(UTC)  # noqa: TID251 - the one allowed reader
        return moment.astimezone(UTC).replace(microsecond=0)


def zone(name: str) -> ZoneInfo | Problem:
    """The time zone of that name, or a problem naming what would be right."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return Problem(
            "no-such-name",
            f"'{name[:40]}' is not a time zone",
            "write it like Europe/Lisbon or UTC",
        )


def local_zone_name() -> str:
    """The name of this computer's time zone, UTC where it cannot be told."""
    import os
    from pathlib import Path

    named = os.environ.get("TZ", "").lstrip(":")
    if named and not isinstance(zone(named), Problem):
        return named
    link = Path("/etc/localtime")
    if link.is_symlink():
        name = str(link.resolve()).partition("zoneinfo/")[2]
        if name and not isinstance(zone(name), Problem):
            return name
    return "UTC"


def utc_text(moment: datetime) -> str:
    """The moment as the journal stores it: UTC, whole seconds, ending in Z."""
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def from_utc_text(text: str) -> datetime:
    """The moment a stored text stands for."""
    return datetime.strptime(text, "%Y-%m-%dT%H:%M:%SZ").replace(tzinfo=UTC)


def local_date(moment: datetime, where: tzinfo) -> date:
    """The date on the wall calendar of the room at that moment."""
    return moment.astimezone(where).date()


def dated(day: date) -> str:
    """A date with its weekday, by which a slip shows: ``Sat 28 Nov 2026``."""
    return f"{day:%a} {day.day} {day:%b %Y}"


def shown(moment: datetime, where: tzinfo) -> str:
    """A moment with its weekday and year: ``Sat 28 Nov 2026 18:40``."""
    there = moment.astimezone(where)
    return f"{dated(there.date())} {there:%H:%M}"


def utc_offset(moment: datetime, where: tzinfo) -> timedelta:
    """How far the clocks on the wall are ahead of UTC at that moment."""
    return moment.astimezone(where).utcoffset() or timedelta()


def read_date(text: str, *, now: datetime) -> date | Problem:
    """The date typed as YYYY-MM-DD, or a problem (bad day, slash form, year out of range)."""
    moment = read_time(text, UTC, now=now, date_only=True)
    return moment if isinstance(moment, Problem) else moment.date()


def read_time(
    text: str, where: tzinfo, *, now: datetime, date_only: bool = False
) -> datetime | Problem:
    """The UTC moment typed as ``YYYY-MM-DD HH:MM[+HH:MM]`` in the room's time zone.

    A date alone is its midnight, moved forward where that midnight does not exist. A day or time
    that the zone skips is `no-such-time`; one that comes twice is `ambiguous-time` unless the
    offset is given.
    """
    shown = text[:40]
    found = _TIME.fullmatch(text.strip())
    if not found or (date_only and (found[4] or found[7])):
        wanted = "YYYY-MM-DD" if date_only else "YYYY-MM-DD HH:MM"
        return Problem("no-such-time", f"'{shown}' is not a date this program reads", wanted)
    year, month, day = int(found[1]), int(found[2]), int(found[3])
    if not FIRST_YEAR <= year <= now.year + YEARS_AHEAD:
        return Problem(
            "no-such-time",
            f"the year in '{shown}' is outside {FIRST_YEAR} to {now.year + YEARS_AHEAD}",
            "check the year",
        )
    if not 1 <= month <= 12:
        return Problem("no-such-time", f"'{shown}': there is no month {month}", "months are 01-12")
    last = ((date(year + month // 12, month % 12 + 1, 1)) - timedelta(days=1)).day
    if not 1 <= day <= last:
        return Problem(
            "no-such-time",
            f"'{shown}' does not exist",
            f"the last day of that month is {year}-{month:02}-{last}",
        )
    hour, minute, second = int(found[4] or 0), int(found[5] or 0), int(found[6] or 0)
    if hour > 23 or minute > 59 or second > 59:
        return Problem("no-such-time", f"'{shown}' is not a time of day", "00:00 to 23:59")
    wall = datetime(year, month, day, hour, minute, second)  # noqa: DTZ001 - zone comes next
    return _placed(wall, found[7], where, shown, whole_day=found[4] is None)


def _placed(
    wall: datetime, offset: str | None, where: tzinfo, shown: str, *, whole_day: bool
) -> datetime | Problem:
    if offset == "Z":
        return wall.replace(tzinfo=UTC)
    if offset:
        hours, minutes = int(offset[1:3]), int(offset[4:6])
        if hours > 14 or minutes > 59:
            return Problem("no-such-time", f"'{offset}' is not an offset", "like +01:00")
        sign = -1 if offset[0] == "-" else 1
        zone_ = timezone(sign * timedelta(hours=hours, minutes=minutes))
        return wall.replace(tzinfo=zone_).astimezone(UTC)
    first = wall.replace(tzinfo=where, fold=0)
    second = wall.replace(tzinfo=where, fold=1)
    early, late = first.astimezone(UTC), second.astimezone(UTC)
    there = early.astimezone(where)
    if early == late or (whole_day and there.date() == wall.date()):
        return early
    if there.replace(tzinfo=None) != wall:
        return Problem(
            "no-such-time",
            f"{shown} does not exist: the clocks go forward over it",
            f"did you mean {there:%Y-%m-%d %H:%M}?",
        )
    names = " or ".join(f"{shown}{m.isoformat()[-6:]}" for m in (first, second))
    return Problem("ambiguous-time", f"{shown} comes twice that day", f"write {names}")
