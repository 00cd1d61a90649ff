"""A zone's published offsets, read without `zoneinfo`: an independent count of days and times.

Format of the files: RFC 8536 (TZif), with the rule for later years as a POSIX TZ string in the
footer. The reader knows rules of the form Mm.w.d, which are all that the zones of the tests use.
"""

from __future__ import annotations

import re
import struct
from bisect import bisect_right
from importlib.resources import files
from pathlib import Path
from zoneinfo import TZPATH

DAY_S = 86400
LAST_YEAR = 2045
RULE = re.compile(r"M(\d+)\.(\d+)\.(\d+)(?:/(-?\d+)(?::(\d+))?)?")
NAME = r"(?:<[^>]+>|[A-Za-z]+)"
FOOTER = re.compile(rf"{NAME}(-?[\d:]+)(?:{NAME}(-?[\d:]+)?,([^,]+),([^,]+))?")

Transition = tuple[int, int]
"""The UTC second from which an offset [s] holds."""


def day_number(year: int, month: int, day: int) -> int:
    """Days since 1970-01-01 in the Gregorian calendar, by its leap rule alone."""
    months = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
    past = year - 1
    leaps = past // 4 - past // 100 + past // 400
    days = 365 * past + leaps + sum(months[: month - 1]) + day - 1
    if month > 2 and _leap(year):
        days += 1
    return days - 719162  # the same sum for 1970-01-01


def _leap(year: int) -> bool:
    return year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)


def civil(number: int) -> tuple[int, int, int]:
    """Year, month and day of a day number; the other way round, by trying."""
    year = 1970 + number * 400 // 146097
    while day_number(year + 1, 1, 1) <= number:
        year += 1
    while day_number(year, 1, 1) > number:
        year -= 1
    month = max(m for m in range(1, 13) if day_number(year, m, 1) <= number)
    return year, month, number - day_number(year, month, 1) + 1


class Offsets:
    """What one zone's file says: which offset from UTC holds from which second."""

    def __init__(self, name: str) -> None:
        raw = _file(name)
        self.changes = _block(raw)
        footer = FOOTER.fullmatch(raw.rsplit(b"\n", 2)[-2].decode("ascii"))
        assert footer, name
        last = self.changes[-1][0]
        self.changes += sorted(c for c in _later(footer) if c[0] > last)
        self.seconds = [at for at, _ in self.changes]

    def offset(self, utc_s: int) -> int:
        """Seconds east of UTC at that UTC second."""
        return self.changes[bisect_right(self.seconds, utc_s) - 1][1]

    def days(self) -> dict[int, tuple[int, int]]:
        """The first and last UTC second of each local day; a day that was left out is missing."""
        found: dict[int, tuple[int, int]] = {}
        begin, end = day_number(1999, 12, 1) * DAY_S, day_number(2042, 1, 1) * DAY_S
        ends = [*self.seconds[1:], end]
        for (since, offset), until in zip(self.changes, ends, strict=True):
            low, high = max(since, begin), min(until, end)
            for day in range((low + offset) // DAY_S, (high - 1 + offset) // DAY_S + 1):
                first = max(low, day * DAY_S - offset)
                last = min(high, (day + 1) * DAY_S - offset) - 1
                if first <= last:
                    earlier = found.get(day, (first, last))
                    found[day] = min(first, earlier[0]), max(last, earlier[1])
        return found


def _file(name: str) -> bytes:
    for folder in TZPATH:
        path = Path(folder) / name
        if path.is_file():
            return path.read_bytes()
    return files("tzdata").joinpath("zoneinfo", *name.split("/")).read_bytes()


def _counts(raw: bytes, at: int) -> tuple[int, ...]:
    assert raw[at : at + 4] == b"TZif"
    return struct.unpack(">6l", raw[at + 20 : at + 44])


def _block(raw: bytes) -> list[Transition]:
    """The transitions of the second block, whose times have 64 bits."""
    utc, std, leap, times, types, chars = _counts(raw, 0)
    at = 44 + times * 5 + types * 6 + chars + leap * 8 + std + utc
    utc, std, leap, times, types, chars = _counts(raw, at)
    at += 44
    moments = struct.unpack(f">{times}q", raw[at : at + 8 * times])
    which = raw[at + 8 * times : at + 9 * times]
    at += 9 * times
    offsets = [struct.unpack(">l", raw[at + 6 * n : at + 6 * n + 4])[0] for n in range(types)]
    return [(-(2**62), offsets[0])] + [
        (moment, offsets[n]) for moment, n in zip(moments, which, strict=True)
    ]


def _later(footer: re.Match[str]) -> list[Transition]:
    """What the rule of the footer gives year by year."""
    standard = -_seconds(footer[1])
    if footer[3] is None:
        return []
    summer = -_seconds(footer[2]) if footer[2] else standard + 3600
    found = []
    for year in range(2000, LAST_YEAR):
        found.append((_moment(footer[3], year) - standard, summer))
        found.append((_moment(footer[4], year) - summer, standard))
    return found


def _seconds(text: str) -> int:
    hours, _, minutes = text.partition(":")
    sign = -1 if hours.startswith("-") else 1
    return sign * (abs(int(hours)) * 3600 + int(minutes or 0) * 60)


def _moment(rule: str, year: int) -> int:
    """The wall second of Mm.w.d/h: the w-th weekday d of month m, w = 5 being the last."""
    found = RULE.fullmatch(rule)
    assert found, rule
    month, week, weekday = int(found[1]), int(found[2]), int(found[3])
    first = day_number(year, month, 1)
    day = first + (weekday - (first + 4)) % 7  # day 0, 1970-01-01, was a Thursday
    day += 7 * (week - 1)
    after = day_number(year + month // 12, month % 12 + 1, 1)
    while day >= after:
        day -= 7
    hours = int(found[4]) if found[4] else 2
    return day * DAY_S + hours * 3600 + int(found[5] or 0) * 60
